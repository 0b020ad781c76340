"""Pieces between vertices with bulges: straight lines and exact arcs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from dxf2turn.geometry.fit import fit_ellipse
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, Segment, arc_through
from dxf2turn.reading.curves.round import mapped_circle
from dxf2turn.reading.curves.shape import Pen, Shape
from dxf2turn.reading.damage import Unusable
from dxf2turn.reading.plane import Plane

_STRAIGHT = 5e-9  # bow per chord below which an arc's centre is so far away that rounding moves it more


class Vertex(NamedTuple):
    """A polyline's vertex in its own coordinates; the bulge belongs to the piece that starts here."""

    x: float
    y: float
    bulge: float = 0.0


def vertices_shape(vertices: Sequence[Vertex], closed: bool, plane: Plane, pen: Pen) -> Shape:
    """The pieces between vertices; repeated vertices draw nothing and are reported."""
    if len(vertices) < 2:
        raise Unusable(f"has {len(vertices)} vertices, so it draws nothing")
    ring = [*vertices, vertices[0]] if closed else list(vertices)
    points = [plane.at(vertex.x, vertex.y) for vertex in ring]
    segments: list[Segment] = []
    deviation = 0.0
    for index, (start, end) in enumerate(zip(points, points[1:])):
        if start == end:
            continue
        pieces, off = _piece(ring, points, index, plane, pen)
        segments.extend(pieces)
        deviation = max(deviation, off)
    if not segments:
        raise Unusable("has no length")
    # A repeat of the first vertex at the end of a closed polyline is a custom of some writers, no fault.
    repeats = sum(a == b for a, b in zip(points, points[1:])) - (closed and points[-1] == points[-2])
    is_loop = len(segments) > 1 and segments[0].start == segments[-1].end
    mended = ("repeated-vertex",) if repeats > 0 else ()
    return Shape(tuple(segments), is_loop, deviation, mended)


def _piece(
    ring: Sequence[Vertex], points: Sequence[Point], index: int, plane: Plane, pen: Pen
) -> tuple[tuple[Segment, ...], float]:
    """The piece behind vertex `index` and how far it lies from the drawn one."""
    start, end, bulge = points[index], points[index + 1], ring[index].bulge
    bow = 0.5 * abs(bulge) * start.distance(end)
    if bow <= max(pen.flat, _STRAIGHT * start.distance(end)):
        return (Line(start, end, pen.origin),), bow
    if plane.keeps_circles:
        return (arc_through(start, end, -bulge if plane.mirrored else bulge, pen.origin),), 0.0
    a, b = ring[index], ring[index + 1]
    arc = arc_through(Point(a.x, a.y), Point(b.x, b.y), bulge)
    assert isinstance(arc, Arc)
    ellipse = mapped_circle(plane, *arc.centre, arc.radius)
    turn_deg = math.degrees(arc.start_angle), math.degrees(arc.sweep)
    fitted = fit_ellipse(ellipse, turn_deg, pen.fit, pen.origin, (start, end))
    return fitted.segments, fitted.deviation
