"""From curves to pieces in mm: scaled, chosen by layer and role, pieces without length dropped."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import NamedTuple

from dxf2turn.cleaning.model import Piece
from dxf2turn.findings import Repair
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.options import DrawingOptions
from dxf2turn.reading.model import Curve, Role

OUTLINE_ROLES = (Role.OUTLINE, Role.HIDDEN)


class Sorted(NamedTuple):
    """Pieces by what they are for, in mm."""

    outline: tuple[Piece, ...]
    centres: tuple[Piece, ...]
    hatches: tuple[tuple[Segment, ...], ...]
    repairs: tuple[Repair, ...]


def sort_pieces(curves: Iterable[Curve], mm_per_unit: float, options: DrawingOptions) -> Sorted:
    """All curves as pieces in mm.

    With `options.layers` the outline comes from these layers only (case does not matter); centre lines
    and hatches are taken from everywhere.
    """
    wanted = {name.casefold() for name in options.layers}
    outline: list[Piece] = []
    centres: list[Piece] = []
    hatches: list[tuple[Segment, ...]] = []
    repairs: list[Repair] = []
    for curve in curves:
        segments = tuple(scaled(segment, mm_per_unit) for segment in curve.segments)
        if curve.role is Role.HATCH:
            hatches.append(segments)
        elif curve.role is Role.CENTRE:
            centres.extend(Piece(segment, curve.origin, curve.role) for segment in segments)
        elif curve.role in OUTLINE_ROLES and (not wanted or curve.origin.layer.casefold() in wanted):
            for segment in segments:
                if segment.length <= options.tolerances.tiny:
                    repairs.append(_dropped(segment, mm_per_unit))
                else:
                    outline.append(Piece(segment, curve.origin, curve.role))
    return Sorted(tuple(outline), tuple(centres), tuple(hatches), tuple(repairs))


def scaled(segment: Segment, factor: float) -> Segment:
    """The segment with all coordinates times `factor`."""
    if factor == 1.0:
        return segment
    start, end = _times(segment.start, factor), _times(segment.end, factor)
    if isinstance(segment, Line):
        return Line(start, end, segment.origin)
    return Arc(start, end, _times(segment.centre, factor), segment.clockwise, segment.origin)


def _times(point: Point, factor: float) -> Point:
    return Point(point.x * factor, point.y * factor)


def _dropped(segment: Segment, mm_per_unit: float) -> Repair:
    text = f"A piece of length {segment.length:.2g} mm was left out."
    at = _times(segment.start, 1.0 / mm_per_unit)
    return Repair("cleaning/tiny-piece", text, segment.length, segment.origin, at)


def with_segment(piece: Piece, segment: Segment) -> Piece:
    """The piece with another segment; what it was drawn as stays."""
    return replace(piece, segment=segment)


def in_drawing(point: Point, mm_per_unit: float) -> Point:
    """A point in mm back in drawing coordinates."""
    return _times(point, 1.0 / mm_per_unit)


def handles(*pieces: Piece) -> tuple[str, ...]:
    """The handles of some pieces, each once, in order."""
    return tuple(dict.fromkeys(_handles(pieces)))


def _handles(pieces: Iterable[Piece]) -> Iterator[str]:
    for piece in pieces:
        yield from piece.segment.origin or (piece.origin.handle,)
