"""Parts of circles and ellipses, however they are given: exact arcs where a circle stays one."""

from __future__ import annotations

import math

from dxf2turn.geometry.fit import Ellipse, fit_ellipse
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Segment
from dxf2turn.reading.curves.shape import Pen, Shape
from dxf2turn.reading.damage import Unusable
from dxf2turn.reading.plane import Plane, direction

FULL = 360.0  # degrees
_TURN = 2.0 * math.pi
_WHOLE = 1e-9  # of a full turn: how exactly the parameters of a whole ellipse are written


def swept_shape(
    plane: Plane, circle: tuple[float, float, float], turn_deg: tuple[float, float], pen: Pen
) -> Shape:
    """The arc of `circle` (x, y, radius) from an angle through a signed sweep, both in degrees."""
    whole = abs(turn_deg[1]) >= FULL
    if plane.keeps_circles:
        return Shape(_arcs(plane, circle, turn_deg, pen.origin), whole)
    fitted = fit_ellipse(mapped_circle(plane, *circle), turn_deg, pen.fit, pen.origin)
    return Shape(fitted.segments, whole, fitted.deviation)


def elliptic_shape(ellipse: Ellipse, turn: tuple[float, float], pen: Pen) -> Shape:
    """The part of an ellipse from a parameter through a sweep, both in radians."""
    first, sweep = turn
    if abs(abs(sweep) - _TURN) <= _WHOLE * _TURN or sweep == 0.0:
        sweep = math.copysign(_TURN, sweep or 1.0)
    elif abs(sweep) > _TURN or sweep < 0.0:
        sweep %= _TURN
    turn_deg = (
        math.degrees(first),
        math.degrees(sweep) if abs(sweep) < _TURN else math.copysign(FULL, sweep),
    )
    u, v = ellipse.major, ellipse.minor
    plane = Plane(u.dx, u.dy, v.dx, v.dy, *ellipse.centre)
    if plane.collapsed:
        raise Unusable("is squeezed to a line", serious=True)
    if plane.keeps_circles:
        return swept_shape(plane, (0.0, 0.0, 1.0), turn_deg, pen)
    fitted = fit_ellipse(ellipse, turn_deg, pen.fit, pen.origin)
    return Shape(fitted.segments, abs(sweep) >= _TURN, fitted.deviation)


def mapped_circle(plane: Plane, x: float, y: float, radius: float) -> Ellipse:
    """What an unequally scaled plane makes of a circle."""
    return Ellipse(
        plane.at(x, y),
        Vector(plane.a * radius, plane.b * radius),
        Vector(plane.c * radius, plane.d * radius),
    )


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
    if any(a == b for a, b in zip(points, points[1:])):
        raise Unusable("has no length")
    return tuple(Arc(a, b, centre, clockwise, origin) for a, b in zip(points, points[1:]))


def _on_circle(plane: Plane, circle: tuple[float, float, float], angle_deg: float) -> Point:
    x, y, radius = circle
    c, s = direction(angle_deg)
    return plane.at(x + radius * c, y + radius * s)
