"""The turning axis as the drawing shows it: asked for, drawn as a centre line, or drawn as another line."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence

from dxf2turn.cleaning.model import Piece
from dxf2turn.contour.components import Component
from dxf2turn.contour.frame import Axis
from dxf2turn.errors import BadOptions
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.options import DrawingOptions, Tolerances

EAST, NORTH = Vector(1.0, 0.0), Vector(0.0, 1.0)
_TOWARDS = {"right": EAST, "left": -EAST, "top": NORTH, "bottom": -NORTH}
_UPRIGHT = math.sin(math.radians(45.0))
_SQUARE = 1e-6  # cosine below which a front word says nothing about an axis
_ROUNDING = 1e-12  # of a unit direction
_ENDS, _MEETINGS = 2, 2  # of a line through a part: its ends, and the faces it meets in between
_TRIED = 8
_LONG_ENOUGH = 0.8  # share of a half profile's length that an ordinary line must run along to be its axis


def asked_axis(options: DrawingOptions, mm_per_unit: float) -> Axis | None:
    """The axis given by two points, None for a word. Raises BadOptions for two equal points."""
    if isinstance(options.axis, str):
        return None
    x0, y0, x1, y1 = (value * mm_per_unit for value in options.axis)
    direction = Vector(x1 - x0, y1 - y0).unit()
    if direction is None:
        raise BadOptions("--axis: the two points are the same; give two different points of the axis.")
    return Axis(Point(x0, y0), tidy(direction), "as asked for")


def suits(axis: Axis, options: DrawingOptions) -> bool:
    """Whether an axis agrees with `--axis horizontal` or `vertical` and with the side that is the front."""
    if options.axis in ("horizontal", "vertical") and is_upright(axis) != (options.axis == "vertical"):
        return False
    towards = _TOWARDS.get(options.front)
    return towards is None or abs(axis.direction.dot(towards)) >= _SQUARE


def is_upright(axis: Axis) -> bool:
    return abs(axis.direction.dy) > _UPRIGHT


def facing_front(axis: Axis, options: DrawingOptions) -> Axis:
    """The axis with its direction towards the front. Raises BadOptions for a front square to the axis."""
    word = options.front
    if word == "auto":
        word = "top" if is_upright(axis) else "right"
    along = axis.direction.dot(_TOWARDS[word])
    if abs(along) < _SQUARE:
        lies = "upright" if is_upright(axis) else "level"
        good = "top or bottom" if is_upright(axis) else "right or left"
        raise BadOptions(f"--front {word}: the axis of this part is {lies}; its front can be {good}.")
    return axis if along > 0.0 else axis.reversed()


def centre_axes(centres: Sequence[Piece], tolerances: Tolerances) -> list[Axis]:
    """One axis for each line on which centre lines lie, the longest first; what lies on one line is one."""
    lines = [piece for piece in centres if isinstance(piece.segment, Line)]
    groups: list[list[Piece]] = []
    for piece in sorted(lines, key=lambda p: -p.segment.length):
        group = next((g for g in groups if _on_line(g[0].segment, piece.segment, tolerances)), None)
        if group is None:
            groups.append([piece])
        else:
            group.append(piece)
    return [_axis_along(group, "centre line") for group in groups]


def plain_line_axes(loose: Iterable[Piece], component: Component, tolerances: Tolerances) -> list[Axis]:
    """Single lines that touch nothing and run beside a half profile along its length, nearest first."""
    found = []
    for piece in loose:
        if not isinstance(piece.segment, Line):
            continue
        axis = _axis_along([piece], "a line beside the half profile")
        boxes = [axis.segment(segment).bounds for segment in component.segments]
        z = min(b.min_x for b in boxes), max(b.max_x for b in boxes)
        r = min(b.min_y for b in boxes), max(b.max_y for b in boxes)
        if r[0] < -tolerances.gap and r[1] > tolerances.gap:
            continue
        assert axis.extent is not None
        common = min(z[1], axis.extent[1]) - max(z[0], axis.extent[0])
        if common >= _LONG_ENOUGH * (z[1] - z[0]):
            found.append((min(abs(r[0]), abs(r[1])), axis))
    return [axis for _, axis in sorted(found, key=lambda entry: entry[0])]


def through_line_axes(pieces: Sequence[Piece], tolerances: Tolerances) -> list[Axis]:
    """Ordinary straight lines that both end free and meet other pieces in between, the longest first: what
    a drafter without a centre linetype may have drawn as the axis."""
    met = Counter(end for p in pieces for end in (p.segment.start, p.segment.end))
    by_entity: dict[str, list[Piece]] = defaultdict(list)
    for piece in pieces:
        if isinstance(piece.segment, Line):
            by_entity[piece.origin.handle].append(piece)
    found = []
    for group in by_entity.values():
        if len(group) < _MEETINGS + 1:
            continue
        longest = max(group, key=lambda piece: piece.segment.length)
        run = [p for p in group if _on_line(longest.segment, p.segment, tolerances)]
        places = Counter(end for p in run for end in (p.segment.start, p.segment.end))
        ends = [end for end, count in places.items() if count == 1]
        if len(run) > _MEETINGS and len(ends) == _ENDS and all(met[end] == 1 for end in ends):
            found.append((ends[0].distance(ends[1]), _axis_along([longest, *run], "a line along the part")))
    return [axis for _, axis in sorted(found, key=lambda entry: -entry[0])[:_TRIED]]


def _on_line(long: Segment, short: Segment, tolerances: Tolerances) -> bool:
    along = long.tangent_at(0.0)
    return all(abs(along.cross(end - long.start)) <= tolerances.gap for end in (short.start, short.end))


def _axis_along(group: list[Piece], source: str) -> Axis:
    longest = group[0].segment
    direction = tidy(longest.tangent_at(0.0))
    ends = [
        (end - longest.start).dot(direction)
        for piece in group
        for end in (piece.segment.start, piece.segment.end)
    ]
    handles = tuple(dict.fromkeys(piece.origin.handle for piece in group))
    return Axis(longest.start, direction, source, handles, (min(ends), max(ends)))


def tidy(direction: Vector) -> Vector:
    """A direction that is level or upright but for rounding, made exactly so."""
    if abs(direction.dy) <= _ROUNDING:
        return Vector(math.copysign(1.0, direction.dx), 0.0)
    if abs(direction.dx) <= _ROUNDING:
        return Vector(0.0, math.copysign(1.0, direction.dy))
    return direction
