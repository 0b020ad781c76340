"""Where ends were joined, level and square lines come back exactly level and square.

Joining moves ends by up to the gap tolerance; a cylinder would be left a cone of a few seconds of arc. Lines
that are level or square but for that get one r or one z again, together with what runs on from them.
"""

from __future__ import annotations

from collections.abc import Sequence

from dxf2turn.contour.slack import Slack
from dxf2turn.geometry.crossing import with_ends
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line, Segment

_SLIGHT = 0.02  # of its length: a line that leans more is meant to lean
_GAPS = 2.0  # both ends of a line may have been moved


def straightened(loop: Sequence[Segment], slack: Slack) -> tuple[Segment, ...]:
    """The closed loop with lines beside joined ends made exactly level or square."""
    if slack.is_exact:
        return tuple(loop)
    corners = [segment.start for segment in loop]
    joined = [slack.at(corner) > slack.same for corner in corners]
    level = _Shared(len(loop))
    square = _Shared(len(loop))
    for index, segment in enumerate(loop):
        following = (index + 1) % len(loop)
        reach = _GAPS * max(slack.at(corners[index]), slack.at(corners[following]))
        if not isinstance(segment, Line) or reach <= _GAPS * slack.same:
            continue
        dz, dr = abs(segment.end.x - segment.start.x), abs(segment.end.y - segment.start.y)
        if dr <= reach and dr <= _SLIGHT * dz:
            level.join(index, following)
        elif dz <= reach and dz <= _SLIGHT * dr:
            square.join(index, following)
    z = square.values([corner.x for corner in corners], joined)
    r = level.values([corner.y for corner in corners], joined)
    moved = [Point(*place) for place in zip(z, r)]
    return tuple(
        with_ends(segment, moved[index], moved[(index + 1) % len(loop)]) for index, segment in enumerate(loop)
    )


class _Shared:
    """Corners that share a coordinate."""

    def __init__(self, count: int) -> None:
        self.group = [[index] for index in range(count)]

    def join(self, a: int, b: int) -> None:
        first, second = self.group[a], self.group[b]
        if first is second:
            return
        first.extend(second)
        for member in second:
            self.group[member] = first

    def values(self, drawn: list[float], joined: list[bool]) -> list[float]:
        """The coordinate of each corner: 0 (the axis), or of a corner of its group that stayed."""
        out = []
        for group in self.group:
            kept = [drawn[i] for i in group if drawn[i] == 0.0] or [drawn[i] for i in group if not joined[i]]
            out.append(kept[0] if kept else drawn[min(group)])
        return out
