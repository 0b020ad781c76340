"""Hatching drawn as single lines: many slanted parallels at even distances that end on other pieces.

They bound nothing, so they are taken out of the outline; where they lie there is material.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from statistics import median

from dxf2turn.cleaning.model import Piece
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.options import Tolerances
from dxf2turn.reading.model import Role

_FEWEST = 6  # parallels that make a hatching
_ANGLE_STEP = math.radians(0.25)  # directions nearer than this are one
_SLANT = math.radians(10.0)  # a hatching runs at least so far from level and from upright
_EVEN = 0.15  # of the distance: how much neighbours may be further apart or nearer than usual
_EVENLY = 0.7  # least share of the neighbours that are at a usual distance, or twice it
_LOOKED_AT = 40  # lines further across in which the next one is looked for
_LONGEST = 400  # times their distance: longer parallels are no hatching


def hatch_lines(pieces: Sequence[Piece], centres: Sequence[Piece], tolerances: Tolerances) -> set[int]:
    """Indices of the pieces that are lines of a hatching. centres: centre lines; what runs along or nearly
    square to the longest one is an edge or a crest of the part, however the part lies on the sheet."""
    lines = [piece.segment for piece in centres if isinstance(piece.segment, Line)]
    axis = max(lines, key=lambda line: line.length, default=None)
    level = 0.0 if axis is None else (axis.end - axis.start).angle
    families: dict[tuple[str, int, int], list[int]] = defaultdict(list)
    for index, piece in enumerate(pieces):
        angle = _slant(piece, level)
        if angle is not None:
            families[piece.origin.layer, piece.origin.colour, round(angle / _ANGLE_STEP)].append(index)
    large = [family for family in families.values() if len(family) >= _FEWEST]
    if not large:
        return set()
    ends = _corners(pieces, tolerances.gap)
    found: set[int] = set()
    for family in large:
        free = [i for i in family if not _joins_ends(i, pieces[i].segment, ends, tolerances.gap)]
        if len(free) >= _FEWEST and _is_even([pieces[i].segment for i in free], tolerances):
            found.update(free)
    return found


def _slant(piece: Piece, level: float) -> float | None:
    """Direction of a line that is slanted on the sheet and against the direction `level`, 0 to pi; None for
    anything else."""
    if not isinstance(piece.segment, Line) or piece.role is not Role.OUTLINE:
        return None
    angle = (piece.segment.end - piece.segment.start).angle % math.pi
    turns = ((angle - start) % (0.5 * math.pi) for start in (0.0, level))
    off = min(min(turn, 0.5 * math.pi - turn) for turn in turns)
    return angle if off >= _SLANT else None


def _corners(pieces: Sequence[Piece], gap: float) -> dict[tuple[int, int], list[tuple[int, Point]]]:
    """The ends of all pieces by the cell of the gap's size that they lie in."""
    ends: dict[tuple[int, int], list[tuple[int, Point]]] = defaultdict(list)
    for index, piece in enumerate(pieces):
        for end in (piece.segment.start, piece.segment.end):
            ends[_cell(end, gap)].append((index, end))
    return ends


def _cell(point: Point, size: float) -> tuple[int, int]:
    return round(point.x / size), round(point.y / size)


def _joins_ends(
    index: int, line: Segment, ends: dict[tuple[int, int], list[tuple[int, Point]]], gap: float
) -> bool:
    """Whether a line continues at both ends, as the lines of an outline do; ends within the gap meet."""
    return all(_meets(index, end, ends, gap) for end in (line.start, line.end))


def _meets(
    index: int, point: Point, ends: dict[tuple[int, int], list[tuple[int, Point]]], gap: float
) -> bool:
    x, y = _cell(point, gap)
    return any(
        other != index and point.distance(end) <= gap
        for dx in (0, -1, 1)
        for dy in (0, -1, 1)
        for other, end in ends.get((x + dx, y + dy), ())
    )


def _is_even(lines: Sequence[Segment], tolerances: Tolerances) -> bool:
    """Whether parallel lines lie at one distance from the next one beside them."""
    along = lines[0].tangent_at(0.0)
    spans = sorted(_span(line, along, along.left) for line in lines)
    steps = [step for i in range(len(spans)) for step in _step(spans, i, tolerances.gap)]
    if len(steps) < _FEWEST - 1:
        return False
    usual = median(steps)
    other = [step for step in steps if not _matches(step, usual)]
    # Both halves of a section may be hatched apart: then their lines lie between each other's.
    second = median(other) if len(other) >= _FEWEST else usual
    even = sum(_matches(step, usual) or _matches(step, second) for step in steps)
    short = all(line.length <= _LONGEST * usual for line in lines)
    return short and even >= _EVENLY * len(steps)


def _matches(step: float, usual: float) -> bool:
    return any(abs(step - k * usual) <= _EVEN * usual for k in (1, 2))


def _span(line: Segment, along: Vector, across: Vector) -> tuple[float, float, float]:
    """Where a line lies across, and from where to where along the family's direction."""
    a, b = (end.x * along.dx + end.y * along.dy for end in (line.start, line.end))
    return line.start.x * across.dx + line.start.y * across.dy, min(a, b), max(a, b)


def _step(spans: Sequence[tuple[float, float, float]], i: int, gap: float) -> Iterator[float]:
    """Distance of a line to the next one that has some stretch beside it."""
    at, low, high = spans[i]
    for off, other_low, other_high in spans[i + 1 : i + 1 + _LOOKED_AT]:
        if off - at > gap and min(high, other_high) > max(low, other_low):
            yield off - at
            return
