"""Where the turning axis may lie, best evidence first.

1. the axis that was asked for; 2. centre lines; 3. the line along which the linework is symmetrical;
4. a half profile's own: the line through its two open ends, or a straight edge along its whole length.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from dxf2turn.cleaning.model import Piece
from dxf2turn.contour.frame import Axis
from dxf2turn.errors import BadOptions
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.options import DrawingOptions, Tolerances

_MIRRORED = 0.9  # least share of the linework, by length, that has its mirror image
_WHOLE = 0.999  # share of a half profile's length that its edge on the axis must have
EAST, NORTH = Vector(1.0, 0.0), Vector(0.0, 1.0)
_UPRIGHT = math.sin(math.radians(45.0))


def asked_axis(options: DrawingOptions, mm_per_unit: float) -> Axis | None:
    """The axis given by two points, None for a word. Raises BadOptions for two equal points."""
    if isinstance(options.axis, str):
        return None
    x0, y0, x1, y1 = (value * mm_per_unit for value in options.axis)
    direction = Vector(x1 - x0, y1 - y0).unit()
    if direction is None:
        raise BadOptions("--axis: the two points are the same; give two different points of the axis.")
    return Axis(Point(x0, y0), direction, "as asked for")


def allowed(axis: Axis, options: DrawingOptions) -> bool:
    """Whether an axis suits `--axis horizontal` or `--axis vertical`."""
    if not isinstance(options.axis, str) or options.axis == "auto":
        return True
    return is_upright(axis) == (options.axis == "vertical")


def is_upright(axis: Axis) -> bool:
    return abs(axis.direction.dy) > _UPRIGHT


def centre_axes(centres: Sequence[Piece], tolerances: Tolerances) -> list[Axis]:
    """One axis for each line on which centre lines lie, the longest first; their pieces are put together."""
    lines = [piece for piece in centres if isinstance(piece.segment, Line)]
    groups: list[list[Piece]] = []
    for piece in sorted(lines, key=lambda p: -p.segment.length):
        group = next((g for g in groups if _on_one_line(g[0].segment, piece.segment, tolerances)), None)
        if group is None:
            groups.append([piece])
        else:
            group.append(piece)
    return [_axis_of(group) for group in groups]


def _on_one_line(long: Segment, short: Segment, tolerances: Tolerances) -> bool:
    along = (long.end - long.start).unit()
    if along is None:
        return False
    return all(abs(along.cross(end - long.start)) <= tolerances.gap for end in (short.start, short.end))


def _axis_of(group: list[Piece]) -> Axis:
    longest = group[0].segment
    direction = (longest.end - longest.start).unit() or EAST
    ends = [
        (end - longest.start).dot(direction)
        for piece in group
        for end in (piece.segment.start, piece.segment.end)
    ]
    handles = tuple(dict.fromkeys(piece.origin.handle for piece in group))
    return Axis(longest.start, tidy(direction), "centre line", handles, (min(ends), max(ends)))


def tidy(direction: Vector) -> Vector:
    """A direction that is level or upright but for rounding, made exactly so."""
    if abs(direction.dy) <= _ROUNDING:
        return Vector(math.copysign(1.0, direction.dx), 0.0)
    if abs(direction.dx) <= _ROUNDING:
        return Vector(0.0, math.copysign(1.0, direction.dy))
    return direction


_ROUNDING = 1e-12


def symmetry_axes(segments: Sequence[Segment], tolerances: Tolerances) -> list[Axis]:
    """Lines along which the linework is its own mirror image: level, upright or along its main direction."""
    if not segments:
        return []
    box = path_bounds(segments)
    middle = Point(0.5 * (box.min_x + box.max_x), 0.5 * (box.min_y + box.max_y))
    found = []
    for direction in (EAST, NORTH):
        axis = Axis(middle, direction, "symmetry")
        share = mirrored_share(segments, axis, tolerances.gap)
        if share >= _MIRRORED:
            found.append((share, axis))
    return [axis for _, axis in sorted(found, key=lambda entry: -entry[0])]


def mirrored_share(segments: Sequence[Segment], axis: Axis, gap: float) -> float:
    """Share of the linework, by length, whose mirror image is also there."""
    size = 2.0 * gap
    seen: Counter[tuple[int, int]] = Counter()
    middles = [axis.z_r(segment.point_at(0.5)) for segment in segments]
    for middle in middles:
        seen[_cell(middle, size)] += 1
    total = math.fsum(segment.length for segment in segments)
    matched = math.fsum(
        segment.length
        for segment, middle in zip(segments, middles)
        if any(cell in seen for cell in _cells_around(Point(middle.x, -middle.y), size))
    )
    return matched / total if total else 0.0


def _cell(point: Point, size: float) -> tuple[int, int]:
    return round(point.x / size), round(point.y / size)


def _cells_around(point: Point, size: float) -> Iterator[tuple[int, int]]:
    x, y = _cell(point, size)
    return ((x + dx, y + dy) for dx in (0, -1, 1) for dy in (0, -1, 1))


def open_end_axes(segments: Iterable[Segment], tolerances: Tolerances) -> list[Axis]:
    """The line through the two open ends of a half profile, when everything lies on one side of it."""
    segments = list(segments)
    met = Counter(end for segment in segments for end in (segment.start, segment.end))
    free = [end for end, count in met.items() if count == 1]
    if len(free) != 2:
        return []
    direction = (free[1] - free[0]).unit()
    if direction is None:
        return []
    axis = Axis(free[0], tidy(direction), "through the open ends of the outline")
    return [axis] if one_sided(segments, axis, tolerances) else []


def edge_axes(segments: Iterable[Segment], tolerances: Tolerances) -> list[Axis]:
    """Straight edges that run along the whole length of a closed outline, all of it on one side of them."""
    segments = list(segments)
    found = []
    for direction in (EAST, NORTH):
        for low in (True, False):
            axis = _supporting_axis(segments, direction, low)
            onto = [axis.segment(s) for s in segments]
            lying = [
                s for s in onto if max(abs(s.start.y), abs(s.end.y)) <= tolerances.gap and isinstance(s, Line)
            ]
            box = path_bounds(onto)
            if lying and math.fsum(s.length for s in lying) >= _WHOLE * (box.max_x - box.min_x):
                found.append(axis)
    return found


def _supporting_axis(segments: list[Segment], direction: Vector, low: bool) -> Axis:
    box = path_bounds(segments)
    corner = Point(box.min_x, box.min_y) if low else Point(box.max_x, box.max_y)
    return Axis(corner, direction, "the outline's own straight edge")


def one_sided(segments: Iterable[Segment], axis: Axis, tolerances: Tolerances) -> bool:
    boxes = [axis.segment(segment).bounds for segment in segments]
    low, high = min(b.min_y for b in boxes), max(b.max_y for b in boxes)
    return low >= -tolerances.gap or high <= tolerances.gap
