"""Join ends: those that coincide become equal to the last bit, free ends reach the nearest within the gap.

Only a *free* end (one that meets nothing) is ever moved, so a contour of very short pieces keeps its shape
whatever the gap tolerance is. Where free ends meet, their pieces are lengthened or shortened to where they
would cross; the exact corner comes back when the dirt lay along the pieces.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from dxf2turn.cleaning.model import Piece
from dxf2turn.cleaning.pieces import handles, in_drawing, with_segment
from dxf2turn.findings import Repair
from dxf2turn.geometry.crossing import carrier_crossings, foot, with_ends
from dxf2turn.geometry.point import Point, Vector, same_point
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.options import Tolerances

JOINED_GAP = "cleaning/joined-gap"
OVERSHOOT = "cleaning/overshoot"
_SQUARE, _SLANTED = 0.3, 0.05  # sines of the angles at which two pieces give a good and a fair corner
_JUNCTION = 3  # pieces that meet where a scrap hangs on others; the last piece of a chain is no scrap
_REACH = 1.0  # gaps: how far from the ends that meet their corner may lie


class Joined(NamedTuple):
    pieces: list[Piece]
    repairs: list[Repair]


class _End(NamedTuple):
    """One end of a piece: index of the piece, 0 = its start, 1 = its end."""

    piece: int
    which: int


def join_ends(
    pieces: Sequence[Piece],
    drawn: Sequence[tuple[bool, bool]],
    tolerances: Tolerances,
    mm_per_unit: float,
) -> Joined:
    """The pieces with their ends joined; free scraps no longer than the gap are left out.

    drawn: for each piece whether its start and its end are ends that were drawn, not made by cutting.
    """
    exact = with_common_ends(pieces, tolerances.same_point)
    whole, shrunk = shrink_slivers(exact, drawn, tolerances, mm_per_unit)
    moves, repairs = _free_end_moves(whole, tolerances, mm_per_unit)
    joined = _with_length(_placed(whole, moves))
    left, trimmed = _without_scraps(joined, tolerances, mm_per_unit)
    return Joined(left, shrunk + repairs + trimmed)


def with_common_ends(pieces: Sequence[Piece], same: float) -> list[Piece]:
    """The pieces with ends that coincide made equal to the last bit."""
    return _placed(pieces, _coinciding(pieces, same))


def shrink_slivers(
    pieces: Sequence[Piece],
    drawn: Sequence[tuple[bool, bool]],
    tolerances: Tolerances,
    mm_per_unit: float,
) -> tuple[list[Piece], list[Repair]]:
    """Shrink what cutting left no longer than the gap between two meetings to one place.

    Lines drawn nearly on each other cross in such places, and edges across end just beside a corner. The
    place at which more ends were drawn stays: it is the corner.
    """
    met = Counter(end for piece in pieces for end in (piece.segment.start, piece.segment.end))
    ends_drawn = Counter(
        end
        for piece, (at_start, at_end) in zip(pieces, drawn)
        for end, was_drawn in ((piece.segment.start, at_start), (piece.segment.end, at_end))
        if was_drawn
    )
    moves: dict[Point, Point] = {}
    repairs: list[Repair] = []
    for piece, is_drawn in zip(pieces, drawn):
        a, b = piece.segment.start, piece.segment.end
        if all(is_drawn) or piece.segment.length > tolerances.gap or min(met[a], met[b]) == 1:
            continue
        a, b = _last(moves, a), _last(moves, b)
        if a != b and a.distance(b) <= tolerances.gap:
            stays, goes = (a, b) if ends_drawn[a] >= ends_drawn[b] else (b, a)
            moves[goes] = stays
            repairs.append(_joined(stays, a.distance(b), a.distance(b), handles(piece), mm_per_unit))
    places = {point: _last(moves, point) for point in moves}
    return _with_length(_placed(pieces, places)), repairs


def _last(moves: dict[Point, Point], point: Point) -> Point:
    while point in moves:
        point = moves[point]
    return point


def _with_length(pieces: Iterable[Piece]) -> list[Piece]:
    return [piece for piece in pieces if piece.segment.start != piece.segment.end]


def _joined(place: Point, moved: float, apart: float, touched: tuple[str, ...], mm_per_unit: float) -> Repair:
    text = f"Ends {apart:.2g} mm apart were joined."
    return Repair(JOINED_GAP, text, moved, touched, in_drawing(place, mm_per_unit))


def _placed(pieces: Sequence[Piece], place: dict[Point, Point]) -> list[Piece]:
    """The pieces with each end at the place that is given for it."""
    out = []
    for piece in pieces:
        segment = piece.segment
        start, end = place.get(segment.start, segment.start), place.get(segment.end, segment.end)
        if start is segment.start and end is segment.end:
            out.append(piece)
        elif start == end:
            out.append(with_segment(piece, Line(start, end, segment.origin)))
        else:
            out.append(with_segment(piece, with_ends(segment, start, end)))
    return out


def _coinciding(pieces: Iterable[Piece], same: float) -> dict[Point, Point]:
    """Each end -> the first end seen at the same place."""
    places: dict[tuple[int, int], list[Point]] = defaultdict(list)
    chosen: dict[Point, Point] = {}
    for piece in pieces:
        for point in (piece.segment.start, piece.segment.end):
            if point in chosen:
                continue
            found = next((p for p in _around(places, point, 2.0 * same) if same_point(p, point, same)), None)
            if found is None:
                found = point
                places[_cell(point, 2.0 * same)].append(point)
            chosen[point] = found
    return {point: place for point, place in chosen.items() if point is not place}


def _cell(point: Point, size: float) -> tuple[int, int]:
    return round(point.x / size), round(point.y / size)


def _around(places: dict[tuple[int, int], list[Point]], point: Point, size: float) -> Iterable[Point]:
    x, y = _cell(point, size)
    for dx in (0, -1, 1):
        for dy in (0, -1, 1):
            yield from places.get((x + dx, y + dy), ())


def _free_end_moves(
    pieces: Sequence[Piece], tolerances: Tolerances, mm_per_unit: float
) -> tuple[dict[Point, Point], list[Repair]]:
    """Where free ends and the ends they meet go, and what to say about it."""
    ends: dict[Point, list[_End]] = defaultdict(list)
    for index, piece in enumerate(pieces):
        ends[piece.segment.start].append(_End(index, 0))
        ends[piece.segment.end].append(_End(index, 1))
    moves: dict[Point, Point] = {}
    repairs: list[Repair] = []
    for group in _groups(pieces, ends, tolerances.gap):
        place = _meeting_place(group, pieces, ends, tolerances)
        moved = max(point.distance(place) for point in group)
        touched = handles(*(pieces[end.piece] for point in group for end in ends[point]))
        for point in group:
            moves[point] = place
        if moved > tolerances.same_point:
            repairs.append(_joined(place, moved, _spread(group), touched, mm_per_unit))
    return moves, repairs


def _groups(pieces: Sequence[Piece], ends: dict[Point, list[_End]], gap: float) -> list[list[Point]]:
    """Groups of places that become one, each with at least one free end in it."""
    places: dict[tuple[int, int], list[Point]] = defaultdict(list)
    for point in ends:
        places[_cell(point, gap)].append(point)
    near = []
    for point, here in ends.items():
        if len(here) > 1:
            continue
        own = pieces[here[0].piece].segment
        for other in _around(places, point, gap):
            distance = point.distance(other)
            if other != point and distance <= gap and other not in (own.start, own.end):
                near.append((distance, point, other))
    near.sort(key=lambda entry: entry[0])
    group_of: dict[Point, list[Point]] = {}
    for _, point, other in near:
        first, second = group_of.get(point, [point]), group_of.get(other, [other])
        if first is second or (len(first) > 1 and len(second) > 1):
            continue
        if len(first) > 1 and len(ends[other]) > 1 and any(len(ends[p]) > 1 for p in first):
            continue  # this end has found its place, two joined places are never pulled together
        together = first + second
        for member in together:
            group_of[member] = together
    return list({id(group): group for group in group_of.values()}.values())


def _meeting_place(
    group: list[Point], pieces: Sequence[Piece], ends: dict[Point, list[_End]], tolerances: Tolerances
) -> Point:
    """Where the ends of a group meet: where two of the pieces cross or touch, so that both keep their course.

    Pieces that run on in one line meet where the longer one says, or at an end that already joins others.
    """
    meeting = sorted(
        (pieces[end.piece].segment for point in group for end in ends[point]), key=lambda s: -s.length
    )
    corner = _best_crossing(meeting, group, tolerances)
    fixed = [point for point in group if len(ends[point]) > 1]
    if corner is not None:
        return next((point for point in fixed if same_point(point, corner, tolerances.same_point)), corner)
    if fixed:
        return fixed[0]
    return foot(meeting[0], group[0].towards(group[1], 0.5))


def _best_crossing(segments: list[Segment], group: list[Point], tolerances: Tolerances) -> Point | None:
    """The crossing or touch of two pieces near the whole group: of the longest that stand square enough to
    each other, else of the longest that touch. `segments` come longest first."""
    for least_sine in (_SQUARE, _SLANTED, 0.0):
        for j, b in enumerate(segments):
            for a in segments[:j]:
                straight_on = least_sine == 0.0 and isinstance(a, Line) and isinstance(b, Line)
                if straight_on or _sine(a, b, group[0]) < least_sine:
                    continue
                near = [
                    p
                    for p in carrier_crossings(a, b, tolerances.gap)
                    if all(p.distance(q) <= _REACH * tolerances.gap for q in group)
                ]
                if near:
                    return min(near, key=group[0].distance)
    return None


def _sine(a: Segment, b: Segment, near: Point) -> float:
    """Sine of the angle between two pieces at their ends next to a point."""
    return abs(_direction(a, near).cross(_direction(b, near)))


def _direction(segment: Segment, near: Point) -> Vector:
    return segment.tangent_at(0.0 if segment.start.distance(near) <= segment.end.distance(near) else 1.0)


def _spread(group: list[Point]) -> float:
    return max(p.distance(q) for p in group for q in group)


def _without_scraps(
    pieces: Sequence[Piece], tolerances: Tolerances, mm_per_unit: float
) -> tuple[list[Piece], list[Repair]]:
    """Leave out free pieces no longer than the gap: overshoots and stubs."""
    met = Counter(end for piece in pieces for end in (piece.segment.start, piece.segment.end))
    left: list[Piece] = []
    repairs: list[Repair] = []
    for piece in pieces:
        start, end = piece.segment.start, piece.segment.end
        free = min(met[start], met[end]) == 1 and max(met[start], met[end]) >= _JUNCTION
        if free and piece.segment.length <= tolerances.gap:
            text = f"An end that ran {piece.segment.length:.2g} mm too far was cut off."
            at = in_drawing(max(start, end, key=met.__getitem__), mm_per_unit)
            repairs.append(Repair(OVERSHOOT, text, piece.segment.length, handles(piece), at))
        else:
            left.append(piece)
    return left, repairs
