"""Where a convex tool touches a profile: the exact curves of its controlled point.

The tool is a convex polygon (`core`) grown by a radius. Its controlled point may not enter the sum of the
body and the tool mirrored at that point. The edge of that sum is made of these curves only:

* a straight side of the body, moved out by the radius and by the corner of the core that rests on it;
* an arc of the body with its radius grown (convex) or shrunk (hollow), about a moved centre;
* the radius about a corner of the body;
* an edge of the tool, moved along a corner or a convex arc of the body.

Which parts of them are the edge is a question of topology, answered elsewhere; the curves themselves are
in closed form, so that a finishing path made of them has true arcs.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import TAU, Arc, Line, Segment

SAME_ANGLE = 1e-9  # two directions closer than this are one, radians
SAME = 1e-9  # lengths below this are none, mm


@dataclass(frozen=True, slots=True)
class Contact:
    """One curve of the controlled point while the tool touches the body at one kind of place.

    path: travelled with the body on the left, as the body's own profile is. source: index of the side that
    the tool touches; None at a corner of the body. corner: from the controlled point to the centre of the
    tool's radius. edge: whether the straight edge of the tool rests on a corner or arc of the body, so
    that the tool cuts no surface there.
    """

    path: Segment
    source: int | None
    corner: Vector
    edge: bool = False


@dataclass(frozen=True, slots=True)
class Feeler:
    """The mirrored tool: corners counter-clockwise, and the outward direction of each side (radians).

    directions[i] belongs to the side from corners[i] to the next one. A tool with one corner is a disc.
    """

    corners: tuple[Point, ...]
    directions: tuple[float, ...]
    radius: float

    def resting(self, direction: float) -> int:
        """Index of the corner that is furthest in a direction (the first one of a side at right angles)."""
        if len(self.corners) == 1:
            return 0
        for i, low in enumerate(self.directions[-1:] + self.directions[:-1]):
            span = (self.directions[i] - low) % TAU
            if SAME_ANGLE < (direction - low) % TAU <= span + SAME_ANGLE:
                return i
        return min(range(len(self.corners)), key=lambda i: abs(_turn(direction, self.directions[i])))


def feeler(core: Sequence[Point], radius: float) -> Feeler:
    """The mirrored tool from its convex core (counter-clockwise, relative to the controlled point)."""
    corners = tuple(Point(-p[0], -p[1]) for p in core)
    sides = zip(corners, corners[1:] + corners[:1])
    directions = tuple((-(b - a).left).angle for a, b in sides) if len(corners) > 1 else ()
    return Feeler(corners, directions, radius)


def contacts(profile: Sequence[Segment], tool: Feeler) -> Iterator[Contact]:
    """All curves for one closed counter-clockwise profile, in its order."""
    first, last = normals(tuple(profile))
    for index, segment in enumerate(profile):
        yield from _on_side(segment, first[index], index, tool)
        start = last[index]
        turn = _turn(start, first[(index + 1) % len(profile)])
        if turn > SAME_ANGLE:
            yield from _round(segment.end, tool.radius, (start, turn), None, tool)


@lru_cache(maxsize=64)  # Each feeler asks for those of the same profile.
def normals(profile: tuple[Segment, ...]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Directions out of the body at the starts and at the ends of its sides, radians."""
    first, last = (tuple(normal(segment, t) for segment in profile) for t in (0.0, 1.0))
    return first, last


def normal(segment: Segment, t: float) -> float:
    """Direction out of the body at a place of its profile, radians."""
    return (-segment.tangent_at(t).left).angle


def _on_side(segment: Segment, start: float, index: int, tool: Feeler) -> Iterator[Contact]:
    """start: direction out of the body where the side begins."""
    if isinstance(segment, Line):
        yield _on_line(segment, start, index, tool)
    elif not segment.clockwise:
        yield from _round(segment.centre, segment.radius + tool.radius, (start, segment.sweep), index, tool)
    elif segment.radius > tool.radius + SAME:
        yield from _in_hollow(segment, start, index, tool)


def _on_line(line: Line, direction: float, index: int, tool: Feeler) -> Contact:
    """A side of the tool that lies flat on the line lengthens the contact by itself."""
    i = tool.resting(direction)
    out = -line.tangent_at(0.0).left * tool.radius
    first = last = _vector(tool.corners[i])
    if tool.directions and abs(_turn(direction, tool.directions[i])) <= SAME_ANGLE:
        last = _vector(tool.corners[(i + 1) % len(tool.corners)])
    return Contact(Line(line.start + out + first, line.end + out + last), index, -first)


def _round(
    centre: Point, radius: float, way: tuple[float, float], source: int | None, tool: Feeler
) -> Iterator[Contact]:
    """Curves about a convex arc or a corner, while the direction out of the body turns: way = (from, by)."""
    angle, left = way
    i = tool.resting(angle)
    while True:
        corner = _vector(tool.corners[i])
        gap = _ahead(angle, tool.directions[i]) if tool.directions else math.inf
        step = min(gap, left)
        if step > SAME_ANGLE and radius > SAME:
            yield Contact(_arc(centre + corner, radius, angle, step), source, -corner)
        if gap >= left - SAME_ANGLE:
            return
        angle, left = angle + gap, left - gap
        i = (i + 1) % len(tool.corners)
        out = Vector.from_angle(angle, radius)
        following = _vector(tool.corners[i])
        yield Contact(Line(centre + out + corner, centre + out + following), source, -corner, edge=True)


def _in_hollow(arc: Arc, angle: float, index: int, tool: Feeler) -> Iterator[Contact]:
    """Curves in a hollow arc: only corners of the core reach it, one after the other."""
    left = -arc.sweep
    while left > SAME_ANGLE:
        i = tool.resting(angle)
        corner = _vector(tool.corners[i])
        step = min((angle - tool.directions[i - 1]) % TAU if tool.directions else math.inf, left)
        path = _arc(arc.centre + corner, arc.radius - tool.radius, angle + math.pi, -step)
        yield Contact(path, index, -corner)
        angle, left = angle - step, left - step


def _arc(centre: Point, radius: float, angle: float, turn: float) -> Arc:
    """Arc from an angle of its radius, turned by `turn` (positive counter-clockwise)."""
    start, end = Vector.from_angle(angle, radius), Vector.from_angle(angle + turn, radius)
    return Arc(centre + start, centre + end, centre, turn < 0.0)


def _vector(point: Point) -> Vector:
    return Vector(point.x, point.y)


def _ahead(start: float, end: float) -> float:
    """Turn from one direction counter-clockwise to another, 0 to 2 pi; a whole turn by rounding is none."""
    gap = (end - start) % TAU
    return 0.0 if gap > TAU - SAME_ANGLE else gap


def _turn(start: float, end: float) -> float:
    """Signed turn from one direction to another, -pi to pi."""
    return (end - start + math.pi) % TAU - math.pi
