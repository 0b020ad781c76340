"""HATCH: its boundaries, each a closed curve."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from dxf2turn.geometry.fit import Ellipse
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.geometry.spline import BSpline, spline_spans
from dxf2turn.reading.curves.round import elliptic_shape, swept_shape
from dxf2turn.reading.curves.shape import Pen, Shape
from dxf2turn.reading.curves.spans import spans_shape
from dxf2turn.reading.curves.vertices import Vertex, vertices_shape
from dxf2turn.reading.damage import Damage, Unusable
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.plane import UP, Plane, entity_plane

_POLYLINE = 2  # bit of group code 92
_LINE, _ARC, _ELLIPSE, _SPLINE = 1, 2, 3, 4  # group code 72 of an edge


def hatch_shapes(record: Record, pen: Pen) -> list[Shape]:
    """One shape a boundary. Raises Damage when the boundary data break off."""
    elevation = record.number(30, 0.0)
    plane = entity_plane(pen.placement, record.point_or(210, UP), elevation)
    reader = _Reader(record, _start(record))
    shapes = []
    for _ in range(record.integer(91)):
        flags = reader.integer(92)
        boundary = _polyline(reader, plane, pen) if flags & _POLYLINE else _edges(reader, plane, pen)
        if boundary is not None:
            shapes.append(boundary)
    if not shapes:
        raise Unusable("has no boundary")
    return shapes


@dataclass(slots=True)
class _Reader:
    """A place in the tags of a HATCH; the boundary data stand in a fixed order."""

    record: Record
    at: int

    def next_is(self, code: int) -> bool:
        return self.at < len(self.record.codes) and self.record.codes[self.at] == code

    def number(self, code: int) -> float:
        """The number of the next tag, which must have `code`. Raises Damage."""
        if not self.next_is(code):
            raise Damage(
                f"its boundary lacks a value with group code {code}", self.record.start + 1 + self.at
            )
        self.at += 1
        return self.record.number_at(self.at - 1)

    def integer(self, code: int) -> int:
        return round(self.number(code))

    def optional(self, code: int, default: float) -> float:
        return self.number(code) if self.next_is(code) else default

    def point(self, code: int) -> tuple[float, float]:
        return self.number(code), self.number(code + 10)

    def skip_sources(self) -> None:
        """The entities that a boundary was made from."""
        if self.next_is(97):
            self.at += 1
        while self.next_is(330):
            self.at += 1


def _start(record: Record) -> int:
    """Index behind the number of boundaries."""
    if 91 not in record.codes:
        raise Unusable("has no boundary")
    return record.codes.index(91) + 1


def _polyline(reader: _Reader, plane: Plane, pen: Pen) -> Shape | None:
    """A boundary given by vertices and bulges; None when it has no extent."""
    reader.integer(72)
    reader.optional(73, 1.0)
    vertices = []
    for _ in range(reader.integer(93)):
        x, y = reader.point(10)
        vertices.append(Vertex(x, y, reader.optional(42, 0.0)))
    reader.skip_sources()
    try:
        return vertices_shape(vertices, True, plane, pen)
    except Unusable:
        return None


def _edges(reader: _Reader, plane: Plane, pen: Pen) -> Shape | None:
    """A boundary given by lines, arcs, parts of ellipses and splines; None when it has no extent."""
    segments: list[Segment] = []
    fitted = 0.0
    for _ in range(reader.integer(93)):
        for shape in _edge(reader, plane, pen):
            segments.extend(shape.segments)
            fitted = max(fitted, shape.fitted)
    reader.skip_sources()
    if not segments:
        return None
    return Shape(tuple(_joined(segments, pen.flat)), True, fitted)


def _edge(reader: _Reader, plane: Plane, pen: Pen) -> Iterator[Shape]:
    """The shape of one edge, nothing for one without length."""
    kind = reader.integer(72)
    draw = {_LINE: _line, _ARC: _arc, _ELLIPSE: _ellipse, _SPLINE: _spline}.get(kind)
    if draw is None:
        raise Damage(f"its boundary has an edge of unknown type {kind}", reader.record.start + reader.at)
    try:
        yield draw(reader, plane, pen)
    except Unusable:
        return


def _line(reader: _Reader, plane: Plane, pen: Pen) -> Shape:
    start, end = plane.at(*reader.point(10)), plane.at(*reader.point(11))
    if start == end:
        raise Unusable("has no length")
    return Shape((Line(start, end, pen.origin),))


def _arc(reader: _Reader, plane: Plane, pen: Pen) -> Shape:
    x, y = reader.point(10)
    radius = reader.number(40)
    turn = _turn_deg(reader)
    if radius <= 0.0:
        raise Unusable("has no radius")
    return swept_shape(plane, (x, y, radius), turn, pen)


def _ellipse(reader: _Reader, plane: Plane, pen: Pen) -> Shape:
    x, y = reader.point(10)
    mx, my = reader.point(11)
    ratio = reader.number(40)
    first, sweep = _turn_deg(reader)
    if ratio == 0.0:
        raise Unusable("has an axis without length")
    start, end = _parameter(first, ratio), _parameter(first + sweep, ratio)
    major = Vector(plane.a * mx + plane.c * my, plane.b * mx + plane.d * my)
    minor = Vector(plane.c * mx - plane.a * my, plane.d * mx - plane.b * my) * ratio
    ellipse = Ellipse(plane.at(x, y), major, minor)
    if sweep < 0.0:  # drawn the other way round: mirror the parameter
        ellipse, start, end = Ellipse(ellipse.centre, major, -minor), -start, -end
    return elliptic_shape(ellipse, (start, end - start), pen)


def _spline(reader: _Reader, plane: Plane, pen: Pen) -> Shape:
    degree = reader.integer(94)
    reader.optional(73, 0.0)
    reader.optional(74, 0.0)
    knot_count, control_count = reader.integer(95), reader.integer(96)
    knots = [reader.number(40) for _ in range(knot_count)]
    control: list[Point] = []
    weights: list[float] = []
    for _ in range(control_count):
        control.append(plane.at(*reader.point(10)))
        if reader.next_is(42):
            weights.append(reader.number(42))
    _skip_fit_points(reader)
    spline = BSpline(degree, tuple(control), tuple(knots), tuple(weights))
    fault = spline.fault()
    if fault:
        raise Damage(f"its boundary has a spline that is wrong: {fault}", reader.record.start + reader.at)
    return spans_shape(spline_spans(spline), pen)


def _skip_fit_points(reader: _Reader) -> None:
    """Fit points and end directions repeat what the control points say; the next edge or 97 ends them."""
    if reader.next_is(97) and reader.at + 1 < len(reader.record.codes):
        behind = reader.record.codes[reader.at + 1]
        if behind in (11, 12, 13, 72, 97):
            reader.at += 1
    while any(reader.next_is(code) for code in (11, 21, 12, 22, 13, 23)):
        reader.at += 1


def _turn_deg(reader: _Reader) -> tuple[float, float]:
    """First angle and signed sweep, degrees. A clockwise edge stores its angles mirrored."""
    first, last = reader.number(50), reader.number(51)
    sweep = (last - first) % 360.0 or 360.0
    return (first, sweep) if reader.optional(73, 1.0) else (-first, -sweep)


def _parameter(angle_deg: float, ratio: float) -> float:
    """Parameter of an ellipse (radians) at an angle seen from its centre, in the same turn."""
    angle = math.radians(angle_deg)
    turns = round(angle / (2.0 * math.pi))
    rest = angle - 2.0 * math.pi * turns
    return math.atan2(math.sin(rest) / ratio, math.cos(rest)) + 2.0 * math.pi * turns


def _joined(segments: Sequence[Segment], tolerance: float) -> Iterator[Segment]:
    """The edges with ends that belong together made equal to the last bit."""
    for index, segment in enumerate(segments):
        behind = segments[(index + 1) % len(segments)]
        if segment.end != behind.start and segment.end.distance(behind.start) <= tolerance:
            segment = _ending_at(segment, behind.start)
        yield segment


def _ending_at(segment: Segment, end: Point) -> Segment:
    return replace(segment, end=end) if segment.start != end else segment
