"""ARC and CIRCLE: exact arcs, or fitted ones when the block that holds them is scaled unequally."""

from __future__ import annotations

from dxf2turn.reading.curves.round import FULL, swept_shape
from dxf2turn.reading.curves.shape import Pen, Shape
from dxf2turn.reading.damage import Unusable
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.plane import UP, Plane, entity_plane


def circle_shape(record: Record, pen: Pen) -> Shape:
    """A whole circle as two arcs."""
    plane, (x, y), radius = _circle(record, pen)
    return swept_shape(plane, (x, y, radius), (0.0, FULL), pen)


def arc_shape(record: Record, pen: Pen) -> Shape:
    """An arc; counter-clockwise from its first to its second angle in its own coordinates.

    Equal angles draw a whole circle, as the CAD systems show it; that is reported.
    """
    plane, (x, y), radius = _circle(record, pen)
    first, second = record.number(50), record.number(51)
    sweep = (second - first) % FULL
    shape = swept_shape(plane, (x, y, radius), (first, sweep or FULL), pen)
    if sweep:
        return shape
    return Shape(shape.segments, True, shape.fitted, (*shape.mended, "full-arc"))


def _circle(record: Record, pen: Pen) -> tuple[Plane, tuple[float, float], float]:
    x, y, z = record.point(10)
    radius = record.number(40)
    if radius <= 0.0:
        raise Unusable(f"has a radius of {radius:g}", serious=True)
    return entity_plane(pen.placement, record.point_or(210, UP), z), (x, y), radius
