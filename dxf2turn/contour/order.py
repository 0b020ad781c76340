"""The profile's order: where it starts and the role of each segment (see `contour/model.py`)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from dxf2turn.contour.model import Profile
from dxf2turn.geometry.segment import Arc, Segment

_DISH = math.radians(20.0)  # a hollow around the axis that is nowhere steeper is a dished face, not a hole
_HUB = 0.5  # of a recess's depth: least height of a hub in it


def in_order(loop: Sequence[Segment], same: float) -> Profile:
    """A closed counter-clockwise loop in (z, r) as a profile.

    "front" runs from the first to the last place with the largest z, "back" from the first to the last with
    the smallest; from front to back lies "outside", from back to front "inside" and "axis". A simple loop
    touches both ends in one go each, so these four stretches follow each other. A shallow hollow around the
    axis counts to its face, and so does a ring-shaped one around a hub: it is a recess, no hole. same: how
    far from the largest z a place may lie and count as reaching it, mm.
    """
    last_back = max(_places(loop, -1.0, same), key=lambda place: (place - _top(loop, same)) % len(loop))
    start = math.ceil(last_back) % len(loop)
    turned = (*loop[start:], *loop[:start])
    front = [place for place in _places(turned, 1.0, same)]
    back = [place for place in _places(turned, -1.0, same) if place >= max(front)]
    roles = ["outside"] * len(turned)
    for index, segment in enumerate(turned):
        if index < math.floor(min(front)):
            roles[index] = "axis" if _on_axis(segment) else "inside"
        elif index < math.ceil(max(front)):
            roles[index] = "front"
        elif back and index >= math.floor(min(back)):
            roles[index] = "back"
    roles = _with_recesses(turned, roles, same)
    first = next((i for i, role in enumerate(roles) if _begins_front(roles, i)), 0)
    return Profile(turned[first:] + turned[:first], tuple(roles[first:] + roles[:first]))


_WITHIN = ("axis", "inside")


def _begins_front(roles: list[str], index: int) -> bool:
    return roles[index] not in _WITHIN and roles[index - 1] in _WITHIN


def _top(loop: Sequence[Segment], same: float) -> float:
    return next(_places(loop, 1.0, same))


def _places(loop: Sequence[Segment], sign: float, same: float) -> Iterator[float]:
    """Where the loop reaches its largest z (sign 1) or smallest (-1): i at the start of segment i, i + 0.5
    inside it."""
    most = max(max(sign * s.bounds.min_x, sign * s.bounds.max_x) for s in loop)
    for index, segment in enumerate(loop):
        if sign * segment.start.x >= most - same:
            yield float(index)
        elif isinstance(segment, Arc) and sign * segment.end.x < most - same:
            box = segment.bounds
            if max(sign * box.min_x, sign * box.max_x) >= most - same:
                yield index + 0.5


def _on_axis(segment: Segment) -> bool:
    return segment.start.y == 0.0 and segment.end.y == 0.0 and not isinstance(segment, Arc)


def _with_recesses(loop: Sequence[Segment], roles: list[str], same: float) -> list[str]:
    """Roles with a dish around the axis, or a recess around a hub on it, counted to the face."""
    axis = [index for index, role in enumerate(roles) if role == "axis"]
    if not axis:
        return roles
    out = list(roles)
    behind = range(axis[0])
    before = [i for i in range(axis[-1] + 1, len(roles)) if roles[i] == "inside"]
    for hollow, face, sign in ((behind, "back", -1.0), (before, "front", 1.0)):
        pieces = [loop[index] for index in hollow]
        hub = sign * (loop[axis[0]].start.x if face == "back" else loop[axis[-1]].end.x)
        if all(map(_is_flat, pieces)) or _is_around_hub(pieces, sign, hub, same):
            for index in hollow:
                out[index] = face
    return out


def _is_around_hub(pieces: Sequence[Segment], sign: float, hub: float, same: float) -> bool:
    """Whether a hollow goes around a hub on the axis that fills at least half its depth; a lower boss stands
    at the bottom of a hole. sign, hub: outward z is sign times z; the hub's face."""
    boxes = [piece.bounds for piece in pieces]
    deepest = min((min(sign * b.min_x, sign * b.max_x) for b in boxes), default=hub)
    top = max((max(sign * b.min_x, sign * b.max_x) for b in boxes), default=hub)
    return deepest < hub - same and hub - deepest >= _HUB * (top - deepest)


def _is_flat(segment: Segment) -> bool:
    """Whether a segment is nowhere steeper to the face than a dish."""
    tangents = (segment.tangent_at(0.0), segment.tangent_at(1.0))
    return all(abs(t.dx) <= math.sin(_DISH) for t in tangents)
