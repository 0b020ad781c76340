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
    back = run[-1].tangent_at(0.0).dot(run[-2].tangent_at(1.0)) <= 0.0
    # Where ends were joined, a scrap may run back along its line; anything longer is a corner.
    if (back and min(run[-1].length, run[-2].length) > tolerance(run[-1].start)) or whole.length == 0.0:
        return False
    passed = [segment.start for segment in run[1:]]
    if len(passed) > _CHECKED:
        passed = [*passed[: _CHECKED // 2], *passed[-_CHECKED // 2 :]]
    return all(whole.distance(point) <= tolerance(point) for point in passed)


def _one_arc(run: list[Segment], tolerance: Tolerance) -> bool:
    arcs = [segment for segment in run if isinstance(segment, Arc)]
    longest = max(arcs, key=lambda arc: arc.length)
    if sum(abs(arc.sweep) for arc in arcs) >= TAU - _ROUNDING:
        return False
    # The pieces between were held against the run before the last one came to it.
    return all(_on_circle(arc, longest, tolerance) for arc in (arcs[0], arcs[-2], arcs[-1]))


def _on_circle(arc: Arc, of: Arc, tolerance: Tolerance) -> bool:
    """Whether an arc is a piece of the circle of another one, travelled the same way."""
    if arc is of:
        return True
    if arc.clockwise != of.clockwise or arc.length == 0.0:
        return False
    near = max(map(tolerance, (arc.start, arc.end, of.start, of.end)))
    # The centre of a short arc is known less well than its ends.
    if arc.centre.distance(of.centre) > near + (arc.radius + of.radius) * near / arc.length:
        return False
    off = (abs(p.distance(of.centre) - of.radius) for p in (arc.start, arc.point_at(0.5), arc.end))
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
