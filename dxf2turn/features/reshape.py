"""New segments for moved vertices: same count, same order, closed to the last bit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from dxf2turn.features.outline import Outline
from dxf2turn.geometry import region
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Line, Segment


def reshaped(outline: Outline, moves: Sequence[Vector]) -> tuple[Segment, ...]:
    """The profile's segments with vertex i (the start of segment i) moved by moves[i]."""
    old = outline.profile.segments
    count = len(old)
    vertices = [_moved(segment.start, move) for segment, move in zip(old, moves)]
    return tuple(
        _segment(
            old[i],
            (vertices[i], vertices[(i + 1) % count]),
            (moves[i], moves[(i + 1) % count]),
            outline.tolerances.same_point,
        )
        for i in range(count)
    )


def _moved(point: Point, move: Vector) -> Point:
    """A coordinate that does not move keeps its last bit."""
    return Point(
        point.x + move.dx if move.dx else point.x,
        point.y + move.dy if move.dy else point.y,
    )


def _segment(
    old: Segment, ends: tuple[Point, Point], moves: tuple[Vector, Vector], tolerance: float
) -> Segment:
    start, end = ends
    if isinstance(old, Line):
        return replace(old, start=start, end=end)
    if moves[0] == moves[1]:
        return replace(old, start=start, end=end, centre=_moved(old.centre, moves[0]))
    pole, other = (start, end) if start.y == 0.0 else (end, start)
    if pole.y == 0.0 and abs(old.centre.y) <= tolerance and other.x != pole.x:
        return _ball(old, start, end, (pole, other))
    return _same_radius(old, start, end)


def _ball(old: Arc, start: Point, end: Point, ends: tuple[Point, Point]) -> Arc:
    """A sphere on the axis stays one: its centre stays on the axis, as far from the pole as from its rim."""
    pole, rim = ends
    z = 0.5 * (rim.x + pole.x + rim.y * rim.y / (rim.x - pole.x))
    return replace(old, start=start, end=end, centre=Point(z, 0.0))


def _same_radius(old: Arc, start: Point, end: Point) -> Arc:
    """The arc between two new ends with its old radius, on its old side; a half circle stays one."""
    chord = end - start
    half = 0.5 * chord.length
    radius = half if abs(abs(old.sweep) - math.pi) <= HALF else max(old.radius, half)
    height = math.sqrt(max(0.0, radius * radius - half * half))
    left = chord.left.unit() or Vector(0.0, 0.0)
    middle = start.towards(end, 0.5)
    on_left = (old.centre - old.start).dot((old.end - old.start).left) >= 0.0
    return replace(old, start=start, end=end, centre=middle + left * (height if on_left else -height))


HALF = math.radians(0.1)  # an arc that sweeps this near to half a circle is the floor of a round groove


def is_sound(outline: Outline, segments: tuple[Segment, ...]) -> bool:
    """Whether no piece has vanished or turned round, none lies below the axis or before the front, and none
    crosses another."""
    if path_bounds(segments).max_x > outline.profile.bounds.max_x + outline.tolerances.same_point:
        return False
    for old, new in zip(outline.profile.segments, segments):
        chord, before = new.end - new.start, old.end - old.start
        if chord.dot(before) <= 0.0 or min(new.start.y, new.end.y) < 0.0:
            return False
        if isinstance(old, Arc) and isinstance(new, Arc) and abs(new.sweep - old.sweep) > math.pi / 2:
            return False
    return region.polygon(segments, outline.tolerances.fit).is_valid
