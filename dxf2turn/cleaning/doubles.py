"""Pieces drawn twice: of those that lie on each other the best one stays."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence

from dxf2turn.cleaning.model import Piece
from dxf2turn.cleaning.pieces import handles, in_drawing
from dxf2turn.findings import Repair
from dxf2turn.geometry.point import Point
from dxf2turn.options import Tolerances
from dxf2turn.reading.model import Role

DOUBLE = "cleaning/double"
_SHARE = 0.25  # of a piece's own length: below it, two pieces near each other are still two


def drop_doubles(
    pieces: Sequence[Piece], tolerances: Tolerances, mm_per_unit: float
) -> tuple[list[int], list[Repair]]:
    """Indices of the pieces without those that another one covers within the gap tolerance.

    An outline stays before a hidden line; of two alike the one whose ends meet more others stays.
    """
    met = Counter(
        _cell(end, tolerances.same_point) for p in pieces for end in (p.segment.start, p.segment.end)
    )

    def rank(index: int) -> tuple[bool, int, int]:
        segment = pieces[index].segment
        ends = sum(met[_cell(end, tolerances.same_point)] for end in (segment.start, segment.end))
        return pieces[index].role is Role.OUTLINE, ends, -index

    kept: dict[tuple[int, int], list[int]] = defaultdict(list)
    stays = [True] * len(pieces)
    repairs: list[Repair] = []
    for index in sorted(range(len(pieces)), key=rank, reverse=True):
        middle = pieces[index].segment.point_at(0.5)
        cell = _cell(middle, tolerances.gap)
        twin = _twin(index, pieces, kept, cell, tolerances.gap)
        if twin is None:
            kept[cell].append(index)
            continue
        stays[index] = False
        repairs.append(_double(pieces[index], pieces[twin], mm_per_unit))
    return [index for index, stay in enumerate(stays) if stay], repairs


def _cell(point: Point, size: float) -> tuple[int, int]:
    return round(point.x / size), round(point.y / size)


def _twin(
    index: int,
    pieces: Sequence[Piece],
    kept: dict[tuple[int, int], list[int]],
    cell: tuple[int, int],
    gap: float,
) -> int | None:
    for dx in (0, -1, 1):
        for dy in (0, -1, 1):
            for other in kept.get((cell[0] + dx, cell[1] + dy), ()):
                if _apart(pieces[index], pieces[other], gap) is not None:
                    return other
    return None


def _apart(a: Piece, b: Piece, gap: float) -> float | None:
    """Largest distance of two pieces that lie on each other, None when they do not."""
    s, t = a.segment, b.segment
    near = min(gap, _SHARE * min(s.length, t.length))
    if s.start.distance(t.start) > s.start.distance(t.end):
        t = t.reversed()
    apart = max(s.start.distance(t.start), s.end.distance(t.end), s.point_at(0.5).distance(t.point_at(0.5)))
    return apart if apart <= near else None


def _double(gone: Piece, stays: Piece, mm_per_unit: float) -> Repair:
    apart = _apart(gone, stays, float("inf")) or 0.0
    text = "A piece drawn twice was left out."
    if apart > 0.0:
        text = f"A piece that lies within {apart:.2g} mm of another one was left out."
    at = in_drawing(gone.segment.point_at(0.5), mm_per_unit)
    return Repair(DOUBLE, text, apart, handles(gone, stays), at)
