"""What can be seen from a place along the axis or across it: the way a straight tool comes."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Segment

OUT, IN = Vector(0.0, 1.0), Vector(0.0, -1.0)
FRONT, BACK = Vector(1.0, 0.0), Vector(-1.0, 0.0)
ON_ARC = 1e-9  # relative distance of a point that lies on an arc


def blocked(segments: Iterable[Segment], start: Point, direction: Vector) -> bool:
    """Whether an axis-parallel ray from `start` meets a segment before it leaves (or meets the axis)."""
    return free_length(segments, start, direction) < math.inf


def free_length(segments: Iterable[Segment], start: Point, direction: Vector) -> float:
    """How far an axis-parallel ray runs from `start` to the first segment, mm; infinite in the open."""
    across = direction.dx == 0.0
    here = start.y if across else start.x
    sign = direction.dy if across else direction.dx
    nearest = math.inf
    for segment in segments:
        for place in radii_at(segment, start.x) if across else z_at(segment, start.y):
            ahead = (place - here) * sign
            if ahead > 0.0 and (not across or place > 0.0):
                nearest = min(nearest, ahead)
    return nearest


def abreast(
    segments: Iterable[tuple[int, Segment]], stations: Iterable[float]
) -> Iterator[tuple[float, tuple[int, ...]]]:
    """(z, keys of the segments that reach over it) for rising stations, by one sweep."""
    waiting = sorted((segment.bounds.min_x, segment.bounds.max_x, key) for key, segment in segments)
    active: list[tuple[float, int]] = []
    place = 0
    for z in stations:
        while place < len(waiting) and waiting[place][0] <= z:
            active.append((waiting[place][1], waiting[place][2]))
            place += 1
        active = [(end, key) for end, key in active if end >= z]
        yield z, tuple(key for _, key in active)


def radii_at(segment: Segment, z: float) -> Iterator[float]:
    """Radii at which a segment crosses a z; nothing for a face at that very z."""
    (z0, _), (z1, _) = segment.start, segment.end
    if not isinstance(segment, Arc):
        if min(z0, z1) < z < max(z0, z1):
            yield segment.point_at((z - z0) / (z1 - z0)).y
        return
    for lift in _lifts(segment, z - segment.centre.x):
        point = Point(z, segment.centre.y + lift)
        if segment.distance(point) <= ON_ARC * segment.radius:
            yield point.y


def z_at(segment: Segment, r: float) -> Iterator[float]:
    """z at which a segment crosses a radius; nothing for a cylinder of that very radius."""
    (_, r0), (_, r1) = segment.start, segment.end
    if not isinstance(segment, Arc):
        if min(r0, r1) < r < max(r0, r1):
            yield segment.point_at((r - r0) / (r1 - r0)).x
        return
    for lift in _lifts(segment, r - segment.centre.y):
        point = Point(segment.centre.x + lift, r)
        if segment.distance(point) <= ON_ARC * segment.radius:
            yield point.x


def _lifts(arc: Arc, off: float) -> tuple[float, ...]:
    """Both offsets from the centre of the points of the circle that lie `off` the other way."""
    square = arc.radius**2 - off**2
    return (math.sqrt(square), -math.sqrt(square)) if square > 0.0 else ()
