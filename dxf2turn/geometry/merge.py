"""Put parts of one line or one circle together: a closed run with no corner that is none."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from dxf2turn.geometry.crossing import with_ends
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import TAU, Arc, Line, Segment

Tolerance = Callable[[Point], float]  # how far a merged piece may pass a place that was a vertex
_CHECKED = 16  # vertices of a merged run that are held against each longer line
_ROUNDING = 1e-9  # relative difference of an arc's two radii that is rounding only


def merged(loop: Sequence[Segment], tolerance: Tolerance) -> tuple[Segment, ...]:
    """A closed loop with neighbours that are parts of one line or one circle joined."""
    start = _first_corner(loop, tolerance)
    runs: list[list[Segment]] = []
    for segment in (*loop[start:], *loop[:start]):
        if runs and _one_piece([*runs[-1], segment], tolerance):
            runs[-1].append(segment)
        else:
            runs.append([segment])
    return tuple(_joined(run) for run in runs)


def _first_corner(loop: Sequence[Segment], tolerance: Tolerance) -> int:
    """Index of a segment that starts at a true corner; 0 when there is none."""
    for index, segment in enumerate(loop):
        if not _one_piece([loop[index - 1], segment], tolerance):
            return index
    return 0


def _one_piece(run: list[Segment], tolerance: Tolerance) -> bool:
    """Whether a run of segments is one line or one arc."""
    first, last = run[0], run[-1]
    if isinstance(first, Line) and isinstance(last, Line):
        return _one_line(run, tolerance)
    if isinstance(first, Arc) and isinstance(last, Arc):
        return _one_arc(run, tolerance)
    return False


def _one_line(run: list[Segment], tolerance: Tolerance) -> bool:
    whole = Line(run[0].start, run[-1].end)
    if run[-1].tangent_at(0.0).dot(run[-2].tangent_at(1.0)) <= 0.0 or whole.length == 0.0:
        return False
    passed = [segment.start for segment in run[1:]]
    if len(passed) > _CHECKED:
        passed = [*passed[: _CHECKED // 2], *passed[-_CHECKED // 2 :]]
    return all(whole.distance(point) <= tolerance(point) for point in passed)


def _one_arc(run: list[Segment], tolerance: Tolerance) -> bool:
    longest = max(run, key=lambda segment: segment.length)
    last = run[-1]
    assert isinstance(longest, Arc) and isinstance(last, Arc)
    if last.clockwise != longest.clockwise or sum(abs(s.sweep) for s in run if isinstance(s, Arc)) >= TAU:
        return False
    near = max(tolerance(segment.start) for segment in (*run, last.reversed()))
    if last.centre.distance(longest.centre) > near + (last.radius + longest.radius) * near / last.length:
        return False
    off = (
        abs(p.distance(longest.centre) - longest.radius) for p in (last.start, last.point_at(0.5), last.end)
    )
    return max(off) <= near


def _joined(run: list[Segment]) -> Segment:
    if len(run) == 1:
        return run[0]
    origin = tuple(dict.fromkeys(handle for segment in run for handle in segment.origin))
    start, end = run[0].start, run[-1].end
    longest = max(run, key=lambda segment: segment.length)
    if isinstance(longest, Line):
        return Line(start, end, origin)
    exact = replace(longest, start=start, end=end, origin=origin)
    if abs(start.distance(exact.centre) - end.distance(exact.centre)) <= _ROUNDING * exact.radius:
        return exact
    return replace(with_ends(replace(exact, start=longest.start, end=longest.end), start, end), origin=origin)
