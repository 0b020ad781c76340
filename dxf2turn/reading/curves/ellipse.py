"""ELLIPSE: exact arcs where it is a circle, else arcs within the fit tolerance."""

from __future__ import annotations

import math

from dxf2turn.geometry.fit import Ellipse
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.reading.curves.round import elliptic_shape
from dxf2turn.reading.curves.shape import Pen, Shape
from dxf2turn.reading.damage import Unusable
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.plane import UP, Triple, object_axes

_FLAT_RATIO = 1e-6  # ratio of the axes below which an ellipse is a line drawn twice
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


def _minor_axis(major: Triple, extrusion: Triple, ratio: float) -> Triple:
    """ratio * (extrusion x major)."""
    nx, ny, nz = object_axes(extrusion)[2]
    x, y, z = major
    return ratio * (ny * z - nz * y), ratio * (nz * x - nx * z), ratio * (nx * y - ny * x)
