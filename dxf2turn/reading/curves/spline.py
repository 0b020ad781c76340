"""SPLINE: control points, or fit points only; stored lines and arcs are recognised, the rest is fitted."""

from __future__ import annotations

from collections.abc import Sequence

from dxf2turn.geometry.curve import Span
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.spline import BSpline, cubic_through, spline_spans
from dxf2turn.reading.curves.shape import Pen, Shape
from dxf2turn.reading.curves.spans import spans_shape
from dxf2turn.reading.damage import Unusable
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.plane import Triple

_CLOSED = 1  # group code 70
_HIGHEST_DEGREE = 25


def spline_shape(record: Record, pen: Pen) -> Shape:
    """A spline. One without sound control points is rebuilt from its fit points, if it has any."""
    closed = bool(record.integer(70) & _CLOSED)
    control, through = _flat_points(record, 10, pen), _flat_points(record, 11, pen)
    spline = BSpline(
        record.integer(71, 3), control, tuple(record.all_numbers(40)), tuple(record.all_numbers(41))
    )
    fault = "has no control points" if not control else spline.fault()
    if spline.degree > _HIGHEST_DEGREE:
        raise Unusable(f"has degree {spline.degree}, more than {_HIGHEST_DEGREE}", serious=True)
    if not fault:
        return spans_shape(spline_spans(spline), pen)
    if len(through) < 2:
        raise Unusable(fault, serious=True)
    spans = _spans_through(record, through, closed, pen)
    shape = spans_shape(spans, pen)
    mended = ("spline-rebuilt",) if control else ()
    return Shape(shape.segments, shape.closed, shape.fitted, (*mended, *shape.mended))


def _spans_through(record: Record, through: Sequence[Point], closed: bool, pen: Pen) -> tuple[Span, ...]:
    """The cubic through fit points, repeats left out, with the end directions that the file gives."""
    points = [through[0], *(b for a, b in zip(through, through[1:]) if a.distance(b) > pen.flat)]
    if closed and len(points) > 2 and points[0].distance(points[-1]) <= pen.flat:
        points.pop()
    if len(points) < 2:
        raise Unusable("has no length")
    if closed and len(points) > 2:
        return cubic_through(points, closed=True)
    return cubic_through(points, False, (_direction(record, 12, pen), _direction(record, 13, pen)))


def _direction(record: Record, code: int, pen: Pen) -> Vector | None:
    if not record.has(code):
        return None
    x, y, _ = pen.placement.vector(record.point(code))
    return Vector(x, y) if (x, y) != (0.0, 0.0) else None


def _flat_points(record: Record, code: int, pen: Pen) -> tuple[Point, ...]:
    """The points of a spline in the drawing plane; refused when they leave it."""
    places: list[Triple] = [pen.placement.point(point) for point in record.points(code)]
    heights = [place[2] for place in places]
    if places and max(heights) - min(heights) > pen.flat:
        raise Unusable("runs through space, not in the drawing plane", serious=True)
    return tuple(Point(x, y) for x, y, _ in places)
