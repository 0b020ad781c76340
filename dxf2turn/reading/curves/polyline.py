"""LWPOLYLINE and POLYLINE: straight pieces and bulges, each bulge an exact arc."""

from __future__ import annotations

from collections.abc import Sequence

from dxf2turn.geometry.fit import fit_spans
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line
from dxf2turn.geometry.spline import spline_spans, uniform_spline
from dxf2turn.reading.curves.shape import Pen, Shape
from dxf2turn.reading.curves.vertices import Vertex, vertices_shape
from dxf2turn.reading.damage import Damage, Unusable
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.plane import UP, entity_plane

_CLOSED, _SPLINE_FIT, _SPATIAL, _MESH, _FACES = 1, 4, 8, 16, 64  # group code 70, POLYLINE
_FRAME = 16  # group code 70, VERTEX: control point of a spline, not on the curve
_LARGEST_BULGE = 1e4  # a bow of all but 0.02 degrees of a full turn; beyond it the centre is lost in rounding
_FRAME_DEGREES = {5: 2, 6: 3}  # group code 75: quadratic and cubic B-spline


def lwpolyline_shape(record: Record, pen: Pen) -> Shape:
    """An LWPOLYLINE."""
    vertices = _light_vertices(record)
    plane = entity_plane(pen.placement, record.point_or(210, UP), record.number(38, 0.0))
    return vertices_shape(vertices, bool(record.integer(70) & _CLOSED), plane, pen)


def polyline_shape(record: Record, pen: Pen) -> Shape:
    """A POLYLINE with its VERTEX records: plane, in space, with curve fit or with spline fit."""
    flags = record.integer(70)
    if flags & (_MESH | _FACES):
        raise Unusable("is a surface mesh, no curve")
    on_curve = [child for child in record.children if not child.integer(70) & _FRAME]
    closed = bool(flags & _CLOSED)
    if flags & _SPATIAL:
        return _spatial_shape(on_curve, closed, pen)
    elevation = record.number(30, 0.0)
    plane = entity_plane(pen.placement, record.point_or(210, UP), elevation)
    if flags & _SPLINE_FIT:
        frame = [plane.at(*child.point(10)[:2]) for child in record.children if child.integer(70) & _FRAME]
        drawn = [plane.at(*child.point(10)[:2]) for child in on_curve]
        shape = _frame_shape(frame, drawn, (_FRAME_DEGREES.get(record.integer(75), 0), closed), pen)
        if shape is not None:
            return shape
    vertices = [Vertex(*child.point(10)[:2], _bulge(child.number(42, 0.0))) for child in on_curve]
    return vertices_shape(vertices, closed, plane, pen)


def _light_vertices(record: Record) -> list[Vertex]:
    """The vertices of an LWPOLYLINE from its run of tags: x, y and perhaps a bulge each."""
    vertices: list[Vertex] = []
    x: float | None = None
    for code, value in record.numbers_of((10, 20, 42)):
        if code == 10:
            if x is not None:
                raise Damage("LWPOLYLINE has a vertex without y")
            x = value
        elif code == 20:
            if x is None:
                raise Damage("LWPOLYLINE has a vertex without x")
            vertices.append(Vertex(x, value))
            x = None
        elif vertices:
            vertices[-1] = vertices[-1]._replace(bulge=_bulge(value))
    if x is not None:
        raise Damage("LWPOLYLINE has a vertex without y")
    return vertices


def _bulge(value: float) -> float:
    if abs(value) > _LARGEST_BULGE:
        raise Damage(f"a bulge of {value:g} is beyond use (limit {_LARGEST_BULGE:g})")
    return value


def _frame_shape(
    frame: Sequence[Point], drawn: Sequence[Point], kind: tuple[int, bool], pen: Pen
) -> Shape | None:
    """The spline of a spline-fit polyline's frame, which is smoother than the chords that are stored.

    kind: degree (0 = none) and closed. None when the stored chords do not lie on that spline.
    """
    degree, closed = kind
    if not degree or len(frame) <= degree:
        return None
    spans = spline_spans(uniform_spline(degree, frame, closed))
    start = spans[0].at(spans[0].first).point
    fitted = fit_spans(spans, pen.fit, pen.origin, (start, start) if closed else None)
    near = 2.0 * pen.fit
    if any(min(piece.distance(point) for piece in fitted.segments) > near for point in drawn):
        return None
    return Shape(fitted.segments, closed, fitted.deviation, ("frame-rebuilt",))


def _spatial_shape(children: Sequence[Record], closed: bool, pen: Pen) -> Shape:
    """A polyline in space, seen from above; refused when it leaves the drawing plane."""
    places = [pen.placement.point(child.point(10)) for child in children]
    if len(places) < 2:
        raise Unusable(f"has {len(places)} vertices, so it draws nothing")
    heights = [place[2] for place in places]
    points = [Point(place[0], place[1]) for place in places]
    if max(heights) - min(heights) > pen.flat:
        raise Unusable("runs through space, not in the drawing plane", serious=True)
    ring = [*points, points[0]] if closed else points
    segments = tuple(Line(a, b, pen.origin) for a, b in zip(ring, ring[1:]) if a != b)
    if not segments:
        raise Unusable("has no length")
    return Shape(segments, len(segments) > 1 and segments[0].start == segments[-1].end)
