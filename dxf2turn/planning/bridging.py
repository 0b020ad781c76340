"""Targets for turning: grooves bridged, the back prepared for parting, the bar stub behind it.

A turning tool must not dip into a groove that a blade cuts later; so for turning the mouth of each groove is
closed by a straight line. Exact lines and arcs in, exact lines and arcs out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import flatten_segment
from dxf2turn.geometry.segment import Arc, Line, Segment

LEVEL = 1e-6  # two heights closer than this are level, mm
CHORD = 1e-4  # chords of arcs when heights are compared, mm
GENTLE = math.tan(math.radians(30.0))  # a mouth flatter than this is closed by one straight line


def bridged(run: Sequence[Segment], grooves: Iterable[tuple[Segment, ...]]) -> tuple[Segment, ...]:
    """A run of the plane (u, v), material below, with each groove's mouth closed.

    grooves: the segments of each groove, consecutive members of `run`. A round at the mouth that still
    rises is none of the groove.
    """
    cut = [(piece, id(segment)) for segment in run for piece in _at_its_top(segment)]
    path: list[Segment] = [piece for piece, _ in cut]
    for groove in grooves:
        members = {id(segment) for segment in groove}
        pieces = _inner([piece for piece, source in cut if source in members])
        if not pieces:
            continue
        first, last = _index(path, pieces[0]), _index(path, pieces[-1])
        if first is not None and last is not None and first <= last:
            path = _closed(path, first, last)
    return tuple(path)


def _at_its_top(segment: Segment) -> list[Segment]:
    """A piece cut at its highest point, if that lies inside."""
    if not isinstance(segment, Arc):
        return [segment]
    t = segment.parameter_of_angle(0.5 * math.pi)
    return [segment.part(0.0, t), segment.part(t, 1.0)] if LEVEL < t < 1.0 - LEVEL else [segment]


def _inner(pieces: list[Segment]) -> list[Segment]:
    """The pieces between the two edges: from where the run begins to fall to where it stops rising."""
    while pieces and pieces[0].end.y > pieces[0].start.y + LEVEL:
        pieces = pieces[1:]
    while pieces and pieces[-1].end.y < pieces[-1].start.y - LEVEL:
        pieces = pieces[:-1]
    return pieces


def _index(path: Sequence[Segment], segment: Segment) -> int | None:
    """Where a segment stands in the path, by identity."""
    return next((i for i, s in enumerate(path) if s is segment), None)


def _closed(path: list[Segment], first: int, last: int) -> list[Segment]:
    a, b = path[first].start, path[last].end
    floor = min(s.bounds.min_y for s in path[first : last + 1])
    a_up = a.y > floor + LEVEL and not (a.y < b.y - LEVEL and _wall_goes_on(path, first, -1))
    b_up = b.y > floor + LEVEL and not (b.y < a.y - LEVEL and _wall_goes_on(path, last, 1))
    if not a_up and not b_up:
        return path
    gentle = abs(a.y - b.y) <= max(LEVEL, GENTLE * abs(a.x - b.x))
    if a_up and b_up and gentle and _lies_below(path[first : last + 1], Line(a, b)):
        return [*path[:first], Line(a, b), *path[last + 1 :]]
    if a_up and (not b_up or a.y <= b.y):
        return _from_start(path, first) or path
    backwards = [s.reversed() for s in reversed(path)]
    result = _from_start(backwards, len(path) - 1 - last)
    return [s.reversed() for s in reversed(result)] if result else path


def _wall_goes_on(path: Sequence[Segment], edge: int, way: int) -> bool:
    """Whether the surface beside a groove goes on upwards as a wall: its end there is no mouth edge.

    edge: the groove's last member on that side; way: +1 after it, -1 before it.
    """
    if not 0 <= edge + way < len(path):
        return False
    beside = path[edge + way]
    along = beside.tangent_at(0.0) if way > 0 else -beside.tangent_at(1.0)
    return along.dy > GENTLE * abs(along.dx)


def _lies_below(groove: Sequence[Segment], mouth: Line) -> bool:
    """Whether no piece of a groove stands out of its mouth: a round may, before it falls."""
    along = mouth.end - mouth.start
    outward = -1.0 if along.dx < 0.0 else 1.0
    points = (p for piece in groove for p in flatten_segment(piece, CHORD))
    return all(outward * along.cross(p - mouth.start) <= LEVEL * along.length for p in points)


def _from_start(path: list[Segment], first: int) -> list[Segment] | None:
    """Level line from the start of the groove to where the run comes up to that height again."""
    a = path[first].start
    for k in range(first, len(path)):
        segment = path[k]
        t = _rises_through(segment, a.y)
        if t is None:
            continue
        reached = segment.point_at(t)
        level = Line(a, Point(reached.x, a.y))
        tail = [segment.part(t, 1.0)] if t < 1.0 - LEVEL else []
        return [*path[:first], level, *tail, *path[k + 1 :]]
    return None


def _rises_through(segment: Segment, level: float) -> float | None:
    """Parameter where a segment comes up from below to `level`; None when it does not."""
    if segment.end.y < level - LEVEL or segment.start.y > level - LEVEL:
        return None
    if isinstance(segment, Line):
        rise = segment.end.y - segment.start.y
        return min(1.0, (level - segment.start.y) / rise)
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        if segment.point_at(middle).y < level:
            low = middle
        else:
            high = middle
    return high
