"""Which tool would cut what none of the crib reaches, in words for a finding."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shapely import LineString, Polygon

from dxf2turn.features.model import Feature, Groove, TurnedPart
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import flatten_segment
from dxf2turn.geometry.segment import Segment
from dxf2turn.planning.bench import FAR
from dxf2turn.planning.rest import OVERLAYS
from dxf2turn.planning.work import SAGITTA
from dxf2turn.units import plain_text

NEAR = 0.05  # a wall this close to an area borders it, mm
LEVEL = 1e-6  # mm
PLAIN_EDGE = math.radians(5.0)  # a wall that opens away less than this asks for no special edge


@dataclass(frozen=True, slots=True)
class WayIn:
    """How a bar gets to a place inside: the narrowest radius before it, and how far its far side is in; mm.

    opens: the steepest wall that opens away from the bar's end, radians.
    """

    radius: float
    deep: float
    opens: float


def tool_wanted(part: TurnedPart, area: Polygon) -> str:
    """Which tool would cut an area, by the feature that it belongs to and the way to it."""
    segments, roles = part.target.segments, part.target.roles
    own = [f for f in part.features if f.kind not in OVERLAYS]
    near = max(own, key=lambda f: _borders([segments[i] for i in f.segments], area))
    ways = list(_ways_in(segments, roles, area)) if _is_inside(near, roles) else []
    way = min(ways, key=lambda way: way.deep / way.radius, default=None)
    if isinstance(near, Groove):
        return _blade(near, way)
    if way is not None:
        return _flat_drill(segments, area, way) or _bar(area, way)
    if all(roles[i] in ("front", "back") for i in near.segments):
        return _face_blade(area)
    return "add a slimmer or more pointed tool, or give the place a relief"


def _borders(walls: Sequence[Segment], area: Polygon) -> tuple[float, float]:
    """How much of some walls borders an area, and how near they come to it (negative), mm."""
    near = area.buffer(NEAR)
    along = sum(LineString(flatten_segment(wall, SAGITTA)).intersection(near).length for wall in walls)
    return along, -min((_distance(wall, area) for wall in walls), default=FAR)


def _is_inside(feature: Feature, roles: Sequence[str]) -> bool:
    return any(roles[i] == "inside" for i in feature.segments)


def _ways_in(segments: Sequence[Segment], roles: Sequence[str], area: Polygon) -> Iterator[WayIn]:
    """From the open ends of the bore that an area lies in."""
    run = min(_bores(segments, roles), key=lambda run: min(_distance(s, area) for s in run), default=())
    points = [Point(*p) for s in run for p in flatten_segment(s, SAGITTA)]
    if not points:
        return
    low, _, high, _ = area.bounds
    walls = [
        (a, b) for s in run if _distance(s, area) < NEAR for a, b in pairwise(flatten_segment(s, SAGITTA))
    ]
    slopes = [math.atan2(a[1] - b[1], b[0] - a[0]) for a, b in walls]  # Rising towards the back: positive.
    for mouth, way, inner in ((points[-1], 1.0, high), (points[0], -1.0, low)):
        before = [p.y for p in points if way * (p.x - inner) >= -LEVEL]
        if mouth.y > LEVEL and before:
            far = low if way > 0.0 else high
            yield WayIn(min(before), abs(mouth.x - far), max((way * slope for slope in slopes), default=0.0))


def _bores(segments: Sequence[Segment], roles: Sequence[str]) -> Iterator[tuple[Segment, ...]]:
    """The inside runs of a profile, each from its back to its front."""
    run: list[Segment] = []
    for segment, role in zip(segments, roles):
        if role == "inside" and (not run or run[-1].end.distance(segment.start) < LEVEL):
            run.append(segment)
            continue
        if run:
            yield tuple(run)
        run = [segment] if role == "inside" else []
    if run:
        yield tuple(run)


def _blade(groove: Groove, way: WayIn | None) -> str:
    kind = {"out": "grooving blade", "in": "inside grooving blade"}.get(groove.opens, "face grooving blade")
    corners = f" with corners of {plain_text(groove.corner_radius)} mm" if groove.corner_radius > 0.0 else ""
    article = "an" if kind.startswith("inside") else "a"
    wide, deep = plain_text(groove.width), plain_text(groove.depth)
    enters = f" and enters at {plain_text(2.0 * groove.r_large)} mm" if kind.startswith("face") else ""
    bar = (
        f" on a bar for a bore of {_bore(way)}, {plain_text(way.deep, 1)} mm long" if way is not None else ""
    )
    return (
        f"add {article} {kind} at most {wide} mm wide{corners} that reaches {deep} mm deep{enters}{bar}, "
        "or give the place more room"
    )


def _face_blade(area: Polygon) -> str:
    """For a hollow in an end face that is no groove by its shape."""
    low, inner, high, outer = area.bounds
    return (
        f"add a face grooving blade at most {plain_text(outer - inner, 1)} mm wide that reaches "
        f"{plain_text(high - low, 1)} mm deep and enters at {plain_text(2.0 * outer, 1)} mm, or give the "
        "place more room"
    )


def _flat_drill(segments: Sequence[Segment], area: Polygon, way: WayIn) -> str | None:
    """For the flat floor of a blind bore down to the axis."""
    floor = next((s for s in segments if _is_floor(s) and _distance(s, area) < NEAR), None)
    wide = 0.0 if floor is None else 2.0 * max(floor.start.y, floor.end.y)
    if floor is None or 0.5 * wide > way.radius + NEAR:
        return None  # No floor, or no drill of that size gets in.
    return (
        f"add a flat drill of {plain_text(wide)} mm that reaches {plain_text(way.deep, 1)} mm, or draw the "
        f"cone of a drill; a boring bar would have to cut to the axis in a bore of {_bore(way)}"
    )


def _is_floor(segment: Segment) -> bool:
    low = min(segment.start.y, segment.end.y)
    return abs(segment.start.x - segment.end.x) < LEVEL and low < LEVEL


def _bar(area: Polygon, way: WayIn) -> str:
    out = area.bounds[3] - way.radius
    tip = f", its tip {plain_text(out, 1)} mm clear of the bar" if out > NEAR else ""
    opens = math.degrees(way.opens)
    edge = (
        f", its trailing edge free for a wall of {plain_text(opens, 0)} degrees"
        if way.opens > PLAIN_EDGE
        else ""
    )
    return (
        f"add a boring bar for a bore of {_bore(way)} that sticks out {plain_text(way.deep, 1)} mm{tip}{edge}"
        "; or break the edge by hand where that will do"
    )


def _bore(way: WayIn) -> str:
    return f"{plain_text(2.0 * way.radius)} mm"


def _distance(segment: Segment, area: Polygon) -> float:
    return float(LineString(flatten_segment(segment, SAGITTA)).distance(area))
