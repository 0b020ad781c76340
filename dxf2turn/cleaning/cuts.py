"""Cut pieces where they cross, touch or run along each other, so that they meet at ends only."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterable, Sequence
from typing import NamedTuple

from dxf2turn.cleaning.model import Piece
from dxf2turn.cleaning.pieces import with_segment
from dxf2turn.geometry.crossing import between, carrier_crossings, crossings, foot, overlap
from dxf2turn.geometry.point import Point, same_point
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.options import Tolerances


class Cut(NamedTuple):
    """Pieces after cutting. drawn: for each piece whether its start and its end are ends that were drawn."""

    pieces: list[Piece]
    drawn: list[tuple[bool, bool]]


def cut_pieces(pieces: Sequence[Piece], pairs: Iterable[tuple[int, int]], tolerances: Tolerances) -> Cut:
    """The pieces, cut at every place where two of `pairs` meet.

    A piece with a free end within the gap tolerance of another one cuts it at the place where it would
    arrive.
    """
    met = Counter(end for piece in pieces for end in (piece.segment.start, piece.segment.end))
    free = {end for end, count in met.items() if count == 1}
    places: dict[int, list[Point]] = {}
    for i, j in pairs:
        on_first, on_second = _meeting(pieces[i].segment, pieces[j].segment, free, tolerances)
        if on_first:
            places.setdefault(i, []).extend(on_first)
        if on_second:
            places.setdefault(j, []).extend(on_second)
    cut: list[Piece] = []
    drawn: list[tuple[bool, bool]] = []
    for index, piece in enumerate(pieces):
        split = split_at(piece.segment, places.get(index, ()), tolerances.same_point)
        if len(split) == 1:
            cut.append(piece)
        else:
            cut.extend(with_segment(piece, part) for part in split)
        drawn.extend((number == 0, number == len(split) - 1) for number in range(len(split)))
    return Cut(cut, drawn)


def split_at(segment: Segment, points: Sequence[Point], same: float) -> list[Segment]:
    """The parts of a segment between points on it, in order; points at its ends do not count."""
    if not points:
        return [segment]
    inner = [p for p in points if not _at_end(segment, p, same)]
    ordered = sorted(inner, key=segment.parameter_of)
    stations = [segment.start]
    for point in ordered:
        if not same_point(point, stations[-1], same):
            stations.append(point)
    stations.append(segment.end)
    return [between(segment, a, b) for a, b in zip(stations, stations[1:])]


def _at_end(segment: Segment, point: Point, tolerance: float) -> bool:
    return same_point(point, segment.start, tolerance) or same_point(point, segment.end, tolerance)


def _meeting(
    a: Segment, b: Segment, free: Container[Point], tolerances: Tolerances
) -> tuple[list[Point], list[Point]]:
    """Where the first and the second of two pieces are to be cut because of each other."""
    same, gap = tolerances.same_point, tolerances.gap
    shared = [p for p in (a.start, a.end) if _at_end(b, p, same)]
    if isinstance(a, Line) and isinstance(b, Line) and shared and not overlap(a, b, gap):
        return [], []
    if overlap(a, b, gap):
        return _ends_inside(b, a, tolerances), _ends_inside(a, b, tolerances)
    points = [
        _snapped(p, (a.start, a.end, b.start, b.end), same)
        for p in crossings(a, b, same)
        # Tangent pieces with a common end also come close right beside it: that is no second crossing.
        if not any(same_point(p, end, gap) for end in shared)
    ]
    on_a, on_b = list(points), list(points)
    on_b.extend(_arrivals([e for e in (a.start, a.end) if e in free], a, b, points, tolerances))
    on_a.extend(_arrivals([e for e in (b.start, b.end) if e in free], b, a, points, tolerances))
    return on_a, on_b


def _snapped(point: Point, ends: Iterable[Point], same: float) -> Point:
    """The end that a point coincides with, bit for bit, or the point itself."""
    return next((end for end in ends if same_point(point, end, same)), point)


def _ends_inside(of: Segment, within: Segment, tolerances: Tolerances) -> list[Point]:
    """Ends of one piece that lie inside another one that it runs along."""
    found = []
    for end in (of.start, of.end):
        if not 0.0 < within.parameter_of(end) < 1.0:
            continue
        distance = within.distance(end)
        exact = distance <= tolerances.same_point
        if distance <= tolerances.gap and not _at_end(
            within, end, tolerances.same_point if exact else tolerances.gap
        ):
            found.append(end if exact else foot(within, end))
    return found


def _arrivals(
    ends: Iterable[Point], of: Segment, on: Segment, crossed: Sequence[Point], tolerances: Tolerances
) -> list[Point]:
    """Places on a piece at which free ends of another one arrive that stop a little short of it."""
    gap, found = tolerances.gap, []
    for end in ends:
        if on.distance(end) > gap or _at_end(on, end, gap):
            continue
        if any(same_point(end, p, gap) for p in crossed):
            continue
        straight_on = [p for p in carrier_crossings(of, on, tolerances.same_point) if same_point(end, p, gap)]
        found.append(min(straight_on, key=end.distance) if straight_on else foot(on, end))
    return found
