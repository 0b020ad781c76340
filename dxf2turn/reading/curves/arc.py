"""ARC and CIRCLE: exact arcs, or fitted ones when the block that holds them is scaled unequally."""

from __future__ import annotations

from dxf2turn.geometry.fit import Ellipse, fit_ellipse
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Segment
from dxf2turn.reading.curves.shape import Pen, Shape
from dxf2turn.reading.damage import Unusable
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.plane import UP, Plane, direction, entity_plane

FULL = 360.0  # degrees


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


def swept_shape(
    plane: Plane, circle: tuple[float, float, float], turn_deg: tuple[float, float], pen: Pen
) -> Shape:
    """The arc of `circle` (x, y, radius) from an angle through a signed sweep, both in degrees."""
    x, y, radius = circle
    first, sweep = turn_deg
    if plane.keeps_circles:
        arcs = _arcs(plane, circle, turn_deg, pen.origin)
        return Shape(arcs, closed=abs(sweep) >= FULL)
    ellipse = Ellipse(
        plane.at(x, y),
        Vector(plane.a * radius, plane.b * radius),
        Vector(plane.c * radius, plane.d * radius),
    )
    fitted = fit_ellipse(ellipse, turn_deg, pen.fit, pen.origin)
    return Shape(fitted.segments, abs(sweep) >= FULL, fitted.deviation)


def _circle(record: Record, pen: Pen) -> tuple[Plane, tuple[float, float], float]:
    x, y, z = record.point(10)
    radius = record.number(40)
    if radius <= 0.0:
        raise Unusable(f"has a radius of {radius:g}", serious=True)
    return entity_plane(pen.placement, record.point_or(210, UP), z), (x, y), radius


def _arcs(
    plane: Plane, circle: tuple[float, float, float], turn_deg: tuple[float, float], origin: tuple[str, ...]
) -> tuple[Segment, ...]:
    x, y, radius = circle
    first, sweep = turn_deg
    clockwise = (sweep < 0.0) != plane.mirrored
    if abs(sweep) >= FULL:
        stops = [first, first + sweep / 2.0, first]
    else:
        stops = [first, first + sweep]
    points = [_on_circle(plane, circle, stop) for stop in stops]
    centre = plane.at(x, y)
    if points[0] == points[-1] and len(points) == 2:
        raise Unusable("has no length")
    return tuple(Arc(a, b, centre, clockwise, origin) for a, b in zip(points, points[1:]))


def _on_circle(plane: Plane, circle: tuple[float, float, float], angle_deg: float) -> Point:
    x, y, radius = circle
    c, s = direction(angle_deg)
    return plane.at(x + radius * c, y + radius * s)
