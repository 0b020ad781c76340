"""Hexagons seen from the side: four level lines at half and whole corner radius, with arcs at their ends.

A hexagon is not turned. Its curves are no edges of the outline either: the round blank that the hexagon is
milled from is, so the arcs are taken out before faces are looked for.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from dxf2turn.cleaning.model import Piece
from dxf2turn.contour.frame import Axis
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.options import Tolerances
from dxf2turn.reading.model import Role

_ALIKE = 0.02  # relative: how near half the corner radius the inner lines lie
_COMMON = 0.6  # share of the outer line's length along which the other three run
_FACET = 0.5  # of the inner lines' radius: least width of what cutting leaves of a facet's curve
_FLAT = 1.5  # least height of a curve to its width; the rounded edge of a collar beside it has equal ones
_CURVED_ENDS = 0.35  # of the corner radius: how far the curves reach beyond the four lines


class Hexagon(NamedTuple):
    """A hexagon along an axis: its straight edges run from z_from to z_to; radius: of its corners, mm."""

    z_from: float
    z_to: float
    radius: float


def find_hexagon(pieces: Iterable[Piece], axis: Axis, tolerances: Tolerances) -> Hexagon | None:
    """The largest hexagon along an axis, None when there is none."""
    seen = [axis.segment(piece.segment) for piece in pieces if piece.role is Role.OUTLINE]
    if not any(isinstance(s, Arc) for s in seen):
        return None
    level = [s for s in seen if isinstance(s, Line) and abs(s.start.y - s.end.y) <= tolerances.gap]
    radii = sorted(line.start.y for line in level)
    for outer in sorted(level, key=lambda line: -line.start.y):
        radius, span = outer.start.y, _span(outer)
        if radius <= tolerances.gap:
            break
        others = (0.5 * radius, -0.5 * radius, -radius)
        if not all(_is_among(radii, r, _ALIKE * radius) for r in others):
            continue
        if all(_has_line(level, r, span, radius) for r in others):
            hexagon = Hexagon(*span, radius)
            inner = [s for s in level if abs(abs(s.start.y) - 0.5 * radius) <= _ALIKE * radius]
            if any(_is_curve(s, hexagon) and _joins(s, inner, tolerances) for s in seen):
                return hexagon
    return None


def _is_among(values: Sequence[float], value: float, near: float) -> bool:
    """Whether one of sorted values is near a value."""
    place = bisect_left(values, value - near)
    return place < len(values) and values[place] <= value + near


def without_curves(pieces: Sequence[Piece], axis: Axis, hexagon: Hexagon) -> tuple[Piece, ...]:
    """The pieces without the curves at the ends of a hexagon."""
    return tuple(piece for piece in pieces if not _is_curve(axis.segment(piece.segment), hexagon))


def is_inner_edge(segment: Segment, hexagon: Hexagon) -> bool:
    """Whether a segment, in (z, r) of the axis, is an edge of a hexagon inside its outline."""
    level = isinstance(segment, Line) and abs(segment.start.y - segment.end.y) <= _ALIKE * hexagon.radius
    return level and abs(abs(segment.start.y) - 0.5 * hexagon.radius) <= _ALIKE * hexagon.radius


def _span(line: Segment) -> tuple[float, float]:
    return min(line.start.x, line.end.x), max(line.start.x, line.end.x)


def _has_line(level: list[Line], r: float, span: tuple[float, float], radius: float) -> bool:
    """Whether lines at a radius run along most of a stretch; cutting may have made several of one."""
    at = [_span(line) for line in level if abs(line.start.y - r) <= _ALIKE * radius]
    common = sum(max(0.0, min(b, span[1]) - max(a, span[0])) for a, b in at)
    return common >= _COMMON * (span[1] - span[0])


def _is_curve(segment: Segment, hexagon: Hexagon) -> bool:
    """Whether a segment is an arc at an end of the hexagon, bulging along the axis."""
    if not isinstance(segment, Arc):
        return False
    reach = _CURVED_ENDS * hexagon.radius
    box = segment.bounds
    near_end = any(
        abs(z - end) <= reach for z in (box.min_x, box.max_x) for end in (hexagon.z_from, hexagon.z_to)
    )
    within = box.min_x >= hexagon.z_from - reach and box.max_x <= hexagon.z_to + reach
    flat = box.max_y - box.min_y >= _FLAT * (box.max_x - box.min_x)
    inside = max(abs(box.min_y), abs(box.max_y)) <= hexagon.radius * (1.0 + _ALIKE)
    return near_end and within and flat and inside


def _joins(arc: Segment, inner: Iterable[Line], tolerances: Tolerances) -> bool:
    """Whether a curve as wide as a facet starts at an end of an inner line; edges of a hole are rounded by
    much smaller arcs."""
    box = arc.bounds
    wide = (line for line in inner if box.max_y - box.min_y >= _FACET * abs(line.start.y))
    corners = [end for line in wide for end in (line.start, line.end)]
    return any(end.distance(corner) <= tolerances.gap for end in (arc.start, arc.end) for corner in corners)
