"""ELLIPSE: exact arcs where it is a circle, else arcs within the fit tolerance."""

from __future__ import annotations

import math

from dxf2turn.geometry.fit import Ellipse, fit_ellipse
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.reading.curves.arc import FULL, swept_shape
from dxf2turn.reading.curves.shape import Pen, Shape
from dxf2turn.reading.damage import Unusable
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.plane import UP, Plane, Triple, object_axes

_FLAT_RATIO = 1e-6  # ratio of the axes below which an ellipse is a line drawn twice
_WHOLE = 1e-9  # of a full turn: how exactly the parameters of a whole ellipse are written
_TURN = 2.0 * math.pi


def ellipse_shape(record: Record, pen: Pen) -> Shape:
    """An ellipse or a part of one. Its coordinates are those of the world, not of the entity."""
    centre, major = record.point(10), record.point(11)
    ratio = record.number(40, 1.0)
    if abs(ratio) < _FLAT_RATIO or math.hypot(*major) == 0.0:
        raise Unusable("has an axis without length", serious=True)
    first, last = record.number(41, 0.0), record.number(42, _TURN)
    minor = _minor_axis(major, record.point_or(210, UP), ratio)
    x, y, _ = pen.placement.point(centre)
    u, v = pen.placement.vector(major), pen.placement.vector(minor)
    if max(abs(u[2]), abs(v[2])) > pen.flat:
        raise Unusable("lies in a plane that is tilted against the drawing plane", serious=True)
    return elliptic_shape(Ellipse(Point(x, y), Vector(*u[:2]), Vector(*v[:2])), (first, last - first), pen)


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


def _minor_axis(major: Triple, extrusion: Triple, ratio: float) -> Triple:
    """ratio * (extrusion x major)."""
    nx, ny, nz = object_axes(extrusion)[2]
    x, y, z = major
    return ratio * (ny * z - nz * y), ratio * (nz * x - nx * z), ratio * (nx * y - ny * x)
