"""DIMENSION: what it measures, and the text that it shows.

Group codes: DXF reference, DIMENSION and its subclasses (from memory; checked in the tests against
dimensions that another library writes).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.reading.damage import Unusable
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.file.tables import Tables
from dxf2turn.reading.model import Dimension, DimensionKind, Note, NoteKind, Origin
from dxf2turn.reading.notes.dimension_style import style_of
from dxf2turn.reading.notes.dimension_text import shown_text
from dxf2turn.reading.plane import UP, Placement, direction, object_placement

_KIND, _ORDINATE_X = 0x0F, 64  # parts of group code 70
_FULL = 360.0


@dataclass(frozen=True, slots=True)
class _Measured:
    """points, measured and direction of a `Dimension`."""

    kind: DimensionKind
    points: tuple[Point, ...]
    measured: float
    direction: float = 0.0


def dimension_note(record: Record, placement: Placement, origin: Origin, tables: Tables) -> Note:
    """The note of a dimension. Raises Damage when a measured point is missing or damaged."""
    measure = _MEASURES.get(_type_of(record))
    if measure is None:
        raise Unusable("is a dimension of a kind that this program does not know", serious=True)
    measured = measure(record, placement)
    style = style_of(record, tables)
    shown = shown_text(record.text(1), measured.kind, measured.measured, style)
    dimension = Dimension(
        measured.kind,
        measured.points,
        measured.measured,
        measured.direction,
        shown.number,
        shown.upper,
        shown.lower,
        style.factor,
    )
    return Note(
        NoteKind.DIMENSION,
        shown.text,
        _text_place(record, placement, measured),
        origin,
        measured.points,
        style.text_height,
        dimension,
    )


def _type_of(record: Record) -> int:
    """The dimension type, from the flags or, where these are missing, from the subclass marker."""
    if record.kind == "LARGE_RADIAL_DIMENSION":
        return 4
    if record.kind == "ARC_DIMENSION":
        return -1
    if record.has(70):
        return record.integer(70) & _KIND
    markers = [value.strip() for code, value in zip(record.codes, record.values) if code == 100]
    return next((_MARKERS[marker] for marker in reversed(markers) if marker in _MARKERS), 0)


_MARKERS = {
    "AcDbRotatedDimension": 0,
    "AcDbAlignedDimension": 1,
    "AcDb2LineAngularDimension": 2,
    "AcDbDiametricDimension": 3,
    "AcDbRadialDimension": 4,
    "AcDb3PointAngularDimension": 5,
    "AcDbOrdinateDimension": 6,
}


def _linear(record: Record, placement: Placement) -> _Measured:
    a, b = placement.flat(record.point(13)), placement.flat(record.point(14))
    c, s = direction(record.number(50, 0.0))
    in_block = object_placement(record.point_or(210, UP)).then(placement)
    x, y, _ = in_block.vector((c, s, 0.0))
    along = Vector(x, y).unit() or Vector(1.0, 0.0)
    return _Measured(DimensionKind.LINEAR, (a, b), abs((b - a).dot(along)), along.angle)


def _aligned(record: Record, placement: Placement) -> _Measured:
    a, b = placement.flat(record.point(13)), placement.flat(record.point(14))
    return _Measured(DimensionKind.LINEAR, (a, b), a.distance(b), (b - a).angle)


def _diameter(record: Record, placement: Placement) -> _Measured:
    a, b = placement.flat(record.point(10)), placement.flat(record.point(15))
    return _Measured(DimensionKind.DIAMETER, (a, b), a.distance(b), (b - a).angle)


def _radius(record: Record, placement: Placement) -> _Measured:
    centre, end = placement.flat(record.point(10)), placement.flat(record.point(15))
    return _Measured(DimensionKind.RADIUS, (centre, end), centre.distance(end), (end - centre).angle)


def _angle_of_lines(record: Record, placement: Placement) -> _Measured:
    """The sector between two lines in which the dimension's arc lies."""
    a, b, c, d = (placement.flat(record.point(code)) for code in (13, 14, 15, 10))
    u, v = (b - a).unit(), (d - c).unit()
    points = (a, b, c, d)
    if u is None or v is None or u.cross(v) == 0.0:
        return _Measured(DimensionKind.ANGULAR, points, 0.0)
    vertex = a + u * ((c - a).cross(v) / u.cross(v))
    arc = placement.flat(record.point_or(16, record.point(14))) - vertex
    # arc = p u + q v; the signs of p and q tell the sector.
    p, q = arc.cross(v) / u.cross(v), u.cross(arc) / u.cross(v)
    legs = u * math.copysign(1.0, p), v * math.copysign(1.0, q)
    angle = math.degrees(abs(math.atan2(legs[0].cross(legs[1]), legs[0].dot(legs[1]))))
    return _Measured(DimensionKind.ANGULAR, points, angle)


def _angle_of_points(record: Record, placement: Placement) -> _Measured:
    """The angle at a vertex between two points, on the side of the dimension's arc."""
    vertex, a, b, arc = (placement.flat(record.point(code)) for code in (15, 13, 14, 10))
    first = (a - vertex).angle
    turn, on_way = (math.degrees((p - vertex).angle - first) % _FULL for p in (b, arc))
    angle = turn if on_way <= turn else _FULL - turn
    return _Measured(DimensionKind.ANGULAR, (vertex, a, vertex, b), angle)


def _ordinate(record: Record, placement: Placement) -> _Measured:
    origin, feature = placement.flat(record.point(10)), placement.flat(record.point(13))
    turned = direction(-record.number(51, 0.0))  # the x axis of the measuring system
    x_axis = Vector(*placement.vector((*turned, 0.0))[:2]).unit() or Vector(1.0, 0.0)
    along = x_axis if record.integer(70) & _ORDINATE_X else x_axis.left
    return _Measured(
        DimensionKind.ORDINATE, (origin, feature), abs((feature - origin).dot(along)), along.angle
    )


_MEASURES: dict[int, Callable[[Record, Placement], _Measured]] = {
    0: _linear,
    1: _aligned,
    2: _angle_of_lines,
    3: _diameter,
    4: _radius,
    5: _angle_of_points,
    6: _ordinate,
}


def _text_place(record: Record, placement: Placement, measured: _Measured) -> Point:
    """Middle of the text, the middle between the measured points when the file does not say."""
    if record.has(11) and record.has(21):
        in_block = object_placement(record.point_or(210, UP)).then(placement)
        return in_block.flat(record.point(11))
    return measured.points[0].towards(measured.points[-1], 0.5)
