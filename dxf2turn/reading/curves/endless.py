"""XLINE and RAY: endless lines. One in a centre linetype is an axis and is drawn as far as the drawing."""

from __future__ import annotations

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Bounds, Line
from dxf2turn.reading.curves.shape import Pen, Shape
from dxf2turn.reading.damage import Unusable
from dxf2turn.reading.file.record import Record

_MARGIN = 0.05  # of the drawing's diagonal, by which the axis stands out at both ends


def endless_shape(record: Record, pen: Pen, box: Bounds) -> Shape:
    """The part of an endless line that passes the drawing. Raises Unusable when it passes beside it."""
    through = pen.placement.flat(record.point(10))
    x, y, _ = pen.placement.vector(record.point(11))
    along = Vector(x, y).unit()
    if along is None:
        raise Unusable("runs straight out of the drawing plane")
    middle = Point(0.5 * (box.min_x + box.max_x), 0.5 * (box.min_y + box.max_y))
    reach = 0.5 * box.size * (1.0 + 2.0 * _MARGIN)
    foot = through + along * (middle - through).dot(along)
    if foot.distance(middle) > reach:
        raise Unusable("an endless line beside the drawing")
    start, end = foot + along * -reach, foot + along * reach
    if record.kind == "RAY" and (start - through).dot(along) < 0.0:
        start = through
    if start == end:
        raise Unusable("an endless line beside the drawing")
    return Shape((Line(start, end, pen.origin),))
