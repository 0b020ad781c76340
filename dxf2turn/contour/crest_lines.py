"""Rows of lines across the part at even distances, as a thread's crests and roots are often drawn.

ISO 6410 wants two thin lines; many designers draw the crests one by one instead: lines from border to border,
straight or slanted by half a pitch, longer ones for crests and shorter ones for roots in turn, or a zigzag.
They bound nothing. What they mean is for `features` to say.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import NamedTuple

from dxf2turn.contour.inner import InnerLine
from dxf2turn.contour.model import CrossLine, Profile
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line
from dxf2turn.options import Tolerances

_FEWEST = 4  # lines that make a row
_STEEP = math.radians(50.0)  # the furthest a line of a row leans from square to the axis
_LEAN = math.radians(1.0)  # leans nearer than this are one
_LEVEL = 0.006  # relative: outer ends nearer to each other than this lie at one height
_EVEN = 0.05  # of their usual distance: how much two neighbours may be further apart or nearer


class _Across(NamedTuple):
    """A line across, from its outer end to its inner one, how far it leans and what it was drawn as."""

    line: Line
    lean: float
    drawn: InnerLine


def cross_lines(
    lines: Iterable[InnerLine], profile: Profile, tolerances: Tolerances
) -> tuple[CrossLine, ...]:
    """The rows among the inner lines of one side, numbered from the front."""
    return tuple(
        CrossLine(line.line, line.drawn.piece.origin.handle, line.drawn.piece.origin.layer, number)
        for number, row in enumerate(_rows(lines, profile, tolerances))
        for line in row
    )


def without_rows(lines: Iterable[InnerLine], rows: Sequence[CrossLine], gap: float) -> list[InnerLine]:
    """Inner lines that belong to no row."""
    by_handle: dict[str, list[Line]] = defaultdict(list)
    for row in rows:
        by_handle[row.handle].append(row.segment)
    return [
        line
        for line in lines
        if not any(
            max(own.distance(line.segment.start), own.distance(line.segment.end)) <= gap
            for own in by_handle.get(line.piece.origin.handle, ())
        )
    ]


def _rows(lines: Iterable[InnerLine], profile: Profile, tolerances: Tolerances) -> list[list[_Across]]:
    """Rows of at least four lines alike in lean and height, at even distances, the foremost first."""
    across = [line for line in _whole_lines(lines) if abs(line.lean) <= _STEEP]
    corners = {cell for s in profile.segments for cell in _cells(s.start, tolerances.gap)}
    rows: list[list[_Across]] = []
    for leaning in _clusters(across, lambda line: line.lean, _LEAN):
        for level in _clusters(leaning, lambda line: math.log(line.line.start.y), _LEVEL):
            kept = [line for line in level if _may_be_crest(line, corners, tolerances.gap)]
            rows.extend(_even_runs(kept))
    return sorted(rows, key=lambda row: (-row[0].line.start.x, -row[0].line.start.y))


def _may_be_crest(line: _Across, corners: set[tuple[int, int]], gap: float) -> bool:
    """Whether a line is slanted, or goes down to the axis from a place that is no corner of the outline: at a
    corner it is the edge of a shoulder."""
    start, end = line.line.start, line.line.end
    at_corner = _cell(start, gap) in corners
    return abs(line.lean) > _LEAN or (end.y <= gap and not at_corner)


def _even_runs(lines: Iterable[_Across]) -> Iterator[list[_Across]]:
    """Runs of lines at even distances of no more than their radius, in order from the front."""
    run: list[_Across] = []
    for line in sorted(lines, key=lambda one: -one.line.start.x):
        if run and not _goes_on(run, line):
            if len(run) >= _FEWEST:
                yield run
            run = run[-1:] if _goes_on(run[-1:], line) else []
        run.append(line)
    if len(run) >= _FEWEST:
        yield run


def _goes_on(run: Sequence[_Across], line: _Across) -> bool:
    step = run[-1].line.start.x - line.line.start.x
    if not 0.0 < step <= line.line.start.y:
        return False
    first = run[0].line.start.x - run[1].line.start.x if len(run) > 1 else step
    return abs(step - first) <= _EVEN * first


def _cell(point: Point, size: float) -> tuple[int, int]:
    return round(point.x / size), round(point.y / size)


def _cells(point: Point, size: float) -> Iterator[tuple[int, int]]:
    x, y = _cell(point, size)
    return ((x + dx, y + dy) for dx in (0, -1, 1) for dy in (0, -1, 1))


def _whole_lines(lines: Iterable[InnerLine]) -> Iterator[_Across]:
    """The lines, each put together again from what cutting made of it, from outside to inside."""
    from_top: dict[Point, list[InnerLine]] = defaultdict(list)
    oriented = []
    for line in lines:
        if isinstance(line.segment, Line) and line.segment.start.y != line.segment.end.y:
            down = line if line.segment.start.y > line.segment.end.y else _reversed(line)
            oriented.append(down)
            from_top[down.segment.start].append(down)
    goes_on = {id(after) for line in oriented for after in _continuing(line, from_top)}
    for line in oriented:
        if id(line) in goes_on:
            continue
        last = line
        while (after := next(_continuing(last, from_top), None)) is not None:
            last = after
        whole = Line(line.segment.start, last.segment.end, line.segment.origin)
        yield _Across(whole, math.atan2(whole.end.x - whole.start.x, whole.start.y - whole.end.y), line)


def _reversed(line: InnerLine) -> InnerLine:
    return InnerLine(line.segment.reversed(), line.piece)


def _continuing(line: InnerLine, from_top: dict[Point, list[InnerLine]]) -> Iterator[InnerLine]:
    """Lines that run on downwards from the lower end of a line, in its direction."""
    along = line.segment.tangent_at(0.0)
    for after in from_top.get(line.segment.end, ()):
        if abs(along.cross(after.segment.tangent_at(0.0))) <= math.sin(_LEAN):
            yield after


def _clusters(
    lines: Iterable[_Across], value: Callable[[_Across], float], near: float
) -> Iterator[list[_Across]]:
    """Lines whose values follow each other at no more than `near`."""
    group: list[_Across] = []
    last = -math.inf
    for line in sorted(lines, key=value):
        if group and value(line) - last > near:
            yield group
            group = []
        group.append(line)
        last = value(line)
    if group:
        yield group
