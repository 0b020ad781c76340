"""The axis by symmetry: a line about which linework is its own mirror image."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from dxf2turn.contour.axis import EAST, NORTH, tidy
from dxf2turn.contour.components import Component
from dxf2turn.contour.frame import Axis, mirrored_point
from dxf2turn.contour.hexagon import find_hexagon
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import ORIGIN, Point, Vector, same_point
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.options import Tolerances

SYMMETRICAL = 0.9  # least share of the outer border, by length, that has its mirror image
_WHOLLY = 0.99  # share from which an outline is symmetrical in all; such an axis goes before others
_SLOPPY = 0.03  # of the part's diameter: how far a centre line may lie off the symmetry
_CLEARLY_LONGER = 1.05


def symmetry_axes(component: Component, tolerances: Tolerances) -> list[Axis]:
    """Lines about which a component's outer border is symmetrical, the likeliest turning axis first."""
    found = []
    for axis in _lines_to_try(component.border):
        share = mirrored_share(component.border, axis, tolerances.gap)
        if share >= SYMMETRICAL:
            wholly = 1.0 if share >= _WHOLLY else 0.0
            found.append(((wholly, *_likelihood(component, axis, tolerances)), axis))
    return [axis for _, axis in sorted(found, key=lambda entry: entry[0], reverse=True)]


def is_beside(axis: Axis, drawn: Iterable[Axis], component: Component) -> bool:
    """Whether one of some drawn centre lines runs close beside an axis of symmetry of a component."""
    box = path_bounds([axis.segment(segment) for segment in component.border])
    near = _SLOPPY * (box.max_y - box.min_y)
    ends = [axis.drawing_mm(Point(z, 0.0)) for z in (box.min_x, box.max_x)]
    return any(all(abs(line.z_r(end).y) <= near for end in ends) for line in drawn)


def passes_origin(axis: Axis, tolerances: Tolerances) -> bool:
    """Whether an axis is the drawing's own x or y axis."""
    own = axis.direction in (EAST, NORTH)
    return own and abs(axis.z_r(ORIGIN).y) <= tolerances.gap


def _lines_to_try(segments: Sequence[Segment]) -> Iterator[Axis]:
    """Level and upright through the middle of the box, then along the main direction of the linework."""
    box = path_bounds(segments)
    middle = Point(0.5 * (box.min_x + box.max_x), 0.5 * (box.min_y + box.max_y))
    yield Axis(middle, EAST, "symmetry")
    yield Axis(middle, NORTH, "symmetry")
    centroid, direction = main_direction(segments)
    if direction not in (EAST, NORTH):
        yield Axis(centroid, direction, "symmetry")
        yield Axis(centroid, direction.left, "symmetry")


def main_direction(segments: Sequence[Segment]) -> tuple[Point, Vector]:
    """Centre of mass of the linework (as a wire) and the direction in which it reaches furthest."""
    weights = [segment.length for segment in segments]
    total = math.fsum(weights)
    places = [segment.point_at(0.5) for segment in segments]
    x = math.fsum(w * p.x for w, p in zip(weights, places)) / total
    y = math.fsum(w * p.y for w, p in zip(weights, places)) / total
    xx = math.fsum(w * (p.x - x) ** 2 for w, p in zip(weights, places))
    yy = math.fsum(w * (p.y - y) ** 2 for w, p in zip(weights, places))
    xy = math.fsum(w * (p.x - x) * (p.y - y) for w, p in zip(weights, places))
    return Point(x, y), tidy(Vector.from_angle(0.5 * math.atan2(2.0 * xy, xx - yy)))


def mirrored_share(segments: Sequence[Segment], axis: Axis, gap: float) -> float:
    """Share of the linework, by length, whose mirror image is there too; lines on the axis count."""
    size = 2.0 * gap
    seen: dict[tuple[int, int], list[tuple[Point, Point]]] = defaultdict(list)
    placed = [(axis.z_r(s.start), axis.z_r(s.end), axis.z_r(s.point_at(0.5)), s.length) for s in segments]
    for start, end, middle, _ in placed:
        seen[_cell(middle, size)].append((start, end))
    total = math.fsum(length for *_, length in placed)
    matched = math.fsum(
        length
        for start, end, middle, length in placed
        if any(
            _same_ends(mirrored_point(start), mirrored_point(end), ends, size)
            for cell in _cells_around(mirrored_point(middle), size)
            for ends in seen.get(cell, ())
        )
    )
    return matched / total if total else 0.0


def levels_share(segments: Sequence[Segment], axis: Axis, gap: float) -> float:
    """Share of the linework, by length, that runs along the axis with a mirror image beside it, whatever the
    ends: break lines end the two sides of a view at unlike places."""
    levels: dict[int, list[tuple[float, float]]] = defaultdict(list)
    total = math.fsum(segment.length for segment in segments)
    for segment in segments:
        a, b = axis.z_r(segment.start), axis.z_r(segment.end)
        if isinstance(segment, Line) and abs(a.y - b.y) <= gap < abs(a.y):
            levels[round(a.y / gap)].append((min(a.x, b.x), max(a.x, b.x)))
    matched = math.fsum(
        max(0.0, min(high, other_high) - max(low, other_low))
        for level, spans in levels.items()
        for low, high in spans
        for near in (-level - 1, -level, -level + 1)
        for other_low, other_high in levels.get(near, ())
    )
    return min(1.0, matched / total) if total else 0.0


def _same_ends(a: Point, b: Point, ends: tuple[Point, Point], near: float) -> bool:
    return any(same_point(a, first, near) and same_point(b, last, near) for first, last in (ends, ends[::-1]))


def _cell(point: Point, size: float) -> tuple[int, int]:
    return round(point.x / size), round(point.y / size)


def _cells_around(point: Point, size: float) -> Iterator[tuple[int, int]]:
    x, y = _cell(point, size)
    return ((x + dx, y + dy) for dx in (0, -1, 1) for dy in (0, -1, 1))


def _likelihood(component: Component, axis: Axis, tolerances: Tolerances) -> tuple[float, ...]:
    """Evidence for an axis of symmetry to be the turning axis: a hexagon along it; a line drawn on it; edges
    of more unlike lengths across it than across its rival; the longer way of the part; level first."""
    drawn = math.fsum(
        segment.length
        for segment in component.segments
        if isinstance(segment, Line) and _off(segment, axis) <= tolerances.gap
    )
    rival = replace(axis, direction=axis.direction.left)
    edges = len(_edges_across(component, axis, tolerances)) - len(_edges_across(component, rival, tolerances))
    box = path_bounds([axis.segment(segment) for segment in component.segments])
    length, height = box.max_x - box.min_x, box.max_y - box.min_y
    hexagon = find_hexagon(component.pieces, axis, tolerances) is not None
    return (
        1.0 if hexagon else 0.0,
        1.0 if drawn > _DRAWN * length else 0.0,
        math.copysign(1.0, edges) if abs(edges) >= _MORE_EDGES else 0.0,
        1.0 if length > _CLEARLY_LONGER * height else 0.0,
        abs(axis.direction.dx),
    )


def _off(line: Line, axis: Axis) -> float:
    return max(abs(axis.z_r(line.start).y), abs(axis.z_r(line.end).y))


def _edges_across(component: Component, axis: Axis, tolerances: Tolerances) -> set[int]:
    """Half lengths, in steps of the gap tolerance, of the lines that stand square across an axis."""
    found = set()
    for segment in component.segments:
        a, b = axis.z_r(segment.start), axis.z_r(segment.end)
        square = isinstance(segment, Line) and abs(a.x - b.x) <= tolerances.gap
        if square and a.y * b.y < 0.0 and abs(a.y + b.y) <= tolerances.gap:
            found.add(round(abs(a.y) / tolerances.gap))
    return found


_DRAWN = 0.5  # share of the part's length along which a line must be drawn on the axis
_MORE_EDGES = 2
