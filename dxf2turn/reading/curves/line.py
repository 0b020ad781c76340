"""LINE: two points in world coordinates."""

from __future__ import annotations

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line
from dxf2turn.reading.curves.shape import Pen, Shape
from dxf2turn.reading.damage import Unusable
from dxf2turn.reading.file.record import Record

OUT_OF_PLANE = "out of the drawing plane"
_STEEPEST = 0.01  # rise out of the drawing plane per length that is taken for carelessness


def line_shape(record: Record, pen: Pen) -> Shape:
    """The line. Raises Damage when an end is missing or damaged, Unusable when it has no length."""
    x, y, z = pen.placement.point(record.point(10))
    end_x, end_y, end_z = pen.placement.point(record.point(11))
    start, end, rise = Point(x, y), Point(end_x, end_y), abs(end_z - z)
    if start == end:
        if rise > pen.flat:
            raise Unusable(f"runs straight {OUT_OF_PLANE}", serious=True)
        raise Unusable("has no length")
    mended = ["codes-out-of-order"] if _out_of_order(record) else []
    if rise > pen.flat:
        if rise > _STEEPEST * start.distance(end):
            raise Unusable(f"runs aslant {OUT_OF_PLANE}", serious=True)
        mended.append("flattened")
    return Shape((Line(start, end, pen.origin),), mended=tuple(mended))


def _out_of_order(record: Record) -> bool:
    """Whether the end's x stands before the start's y: 10 11 20 21, as old writers do."""
    codes, first = record.tags.codes, record.start
    return codes.index(11, first) < codes.index(20, first)
