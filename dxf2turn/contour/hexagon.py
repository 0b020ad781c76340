"""Hexagons seen from the side: four level lines at half and whole corner radius, with arcs at their ends.

A hexagon is not turned. Its curves are no edges of the outline either: the round blank that the hexagon is
milled from is, so the arcs are taken out before faces are looked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from dxf2turn.cleaning.model import Piece
from dxf2turn.contour.frame import Axis
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.options import Tolerances

_ALIKE = 0.02  # relative: how near half the corner radius the inner lines lie
_COMMON = 0.6  # share of the outer line's length along which the other three run
_CURVED_ENDS = 0.35  # of the corner radius: how far the curves reach beyond the four lines


class Hexagon(NamedTuple):
    """A hexagon along an axis: its straight edges run from z_from to z_to; radius: of its corners, mm."""

    z_from: float
    z_to: float
    radius: float


def find_hexagon(pieces: Iterable[Piece], axis: Axis, tolerances: Tolerances) -> Hexagon | None:
    """The largest hexagon along an axis, None when there is none."""
    seen = [axis.segment(piece.segment) for piece in pieces]
    level = [s for s in seen if isinstance(s, Line) and abs(s.start.y - s.end.y) <= tolerances.gap]
    for outer in sorted(level, key=lambda line: -line.start.y):
        radius = outer.start.y
        if radius <= tolerances.gap:
            break
        span = _span(outer)
        if all(_has_line(level, r, span, radius) for r in (0.5 * radius, -0.5 * radius, -radius)):
            reach = _CURVED_ENDS * radius
            if any(_is_curve(s, span, radius, reach) for s in seen):
                return Hexagon(*span, radius)
    return None


def without_curves(pieces: Sequence[Piece], axis: Axis, hexagon: Hexagon) -> tuple[Piece, ...]:
    """The pieces without the curves at the ends of a hexagon."""
    span, radius = (hexagon.z_from, hexagon.z_to), hexagon.radius
    reach = _CURVED_ENDS * radius
    return tuple(piece for piece in pieces if not _is_curve(axis.segment(piece.segment), span, radius, reach))


def _span(line: Segment) -> tuple[float, float]:
    return min(line.start.x, line.end.x), max(line.start.x, line.end.x)


def _has_line(level: list[Line], r: float, span: tuple[float, float], radius: float) -> bool:
    """Whether lines at a radius run along most of a stretch; cutting may have made several of one."""
    at = [_span(line) for line in level if abs(line.start.y - r) <= _ALIKE * radius]
    common = sum(max(0.0, min(b, span[1]) - max(a, span[0])) for a, b in at)
    return common >= _COMMON * (span[1] - span[0])


def _is_curve(segment: Segment, span: tuple[float, float], radius: float, reach: float) -> bool:
    """Whether a segment is an arc at an end of the hexagon, bulging along the axis."""
    if not isinstance(segment, Arc):
        return False
    box = segment.bounds
    near_end = any(abs(z - end) <= reach for z in (box.min_x, box.max_x) for end in span)
    beyond = box.min_x >= span[0] - reach and box.max_x <= span[1] + reach
    flat = box.max_y - box.min_y >= box.max_x - box.min_x
    return near_end and beyond and flat and max(abs(box.min_y), abs(box.max_y)) <= radius * (1.0 + _ALIKE)
