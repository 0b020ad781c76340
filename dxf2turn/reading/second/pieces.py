"""What the library says an entity draws, as pieces: start, a point between, end, in space.

Taken from the library's values and its own way from entity to block coordinates. No curve is flattened.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from dxf2turn.reading.plane import Placement, Triple

_FULL = 360.0
_PARAMETERS = 8  # points looked at along an ellipse or a spline


class Piece(NamedTuple):
    """middle: any point between the ends, None for a straight piece. start may be equal to end."""

    start: Triple
    middle: Triple | None
    end: Triple


def pieces_of(entity: Any) -> list[Piece]:
    """The pieces of an entity in the coordinates of its block; none for a kind that is not compared."""
    make = _PIECES.get(entity.dxftype())
    return [] if make is None else make(entity)


def placement_of(insert: Any, number: int) -> Placement:
    """Where the library puts the content of an INSERT; number: of the place in its array, row by row."""
    matrix = insert.matrix44()
    x_axis, y_axis, z_axis, origin = (tuple(matrix.get_row(row)[:3]) for row in range(4))
    row, column = divmod(number, max(1, insert.dxf.column_count))
    if row or column:
        turn = math.radians(insert.dxf.rotation)
        along, across = column * insert.dxf.column_spacing, row * insert.dxf.row_spacing
        dx = along * math.cos(turn) - across * math.sin(turn)
        dy = along * math.sin(turn) + across * math.cos(turn)
        step = insert.ocs().to_wcs((dx, dy, 0.0))
        origin = tuple(a + b for a, b in zip(origin, step))
    return Placement(x_axis, y_axis, z_axis, origin)


def _line(entity: Any) -> list[Piece]:
    return [Piece(tuple(entity.dxf.start), None, tuple(entity.dxf.end))]


def _arc(entity: Any) -> list[Piece]:
    first = entity.dxf.start_angle
    return _swept(entity, first, (entity.dxf.end_angle - first) % _FULL or _FULL)


def _circle(entity: Any) -> list[Piece]:
    return _swept(entity, 0.0, _FULL)


def _swept(entity: Any, first: float, sweep: float) -> list[Piece]:
    """A part of a circle; a whole one as two halves."""
    parts = 2 if sweep == _FULL else 1
    steps = [first + sweep * step / (2 * parts) for step in range(2 * parts + 1)]
    centre, radius, ocs = entity.dxf.center, entity.dxf.radius, entity.ocs()
    points = []
    for angle in map(math.radians, steps):
        on = (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle), centre[2])
        points.append(tuple(ocs.to_wcs(on)))
    return [Piece(points[2 * part], points[2 * part + 1], points[2 * part + 2]) for part in range(parts)]


def _light_polyline(entity: Any) -> list[Piece]:
    vertices = [(x, y, entity.dxf.elevation, bulge) for x, y, bulge in entity.get_points("xyb")]
    return _bulged(vertices, entity.closed, entity.ocs())


def _polyline(entity: Any) -> list[Piece]:
    if entity.is_2d_polyline:
        height = entity.dxf.elevation[2]
        vertices = [
            (vertex.dxf.location[0], vertex.dxf.location[1], height, vertex.dxf.bulge)
            for vertex in entity.vertices
            if not vertex.dxf.flags & _FRAME
        ]
        return _bulged(vertices, entity.is_closed, entity.ocs())
    if not entity.is_3d_polyline:
        return []
    places = [tuple(vertex.dxf.location) for vertex in entity.vertices if not vertex.dxf.flags & _FRAME]
    ring = [*places, *places[:1]] if entity.is_closed else places
    return [Piece(a, None, b) for a, b in zip(ring, ring[1:])]


_FRAME = 16  # vertex flag: a control point of a spline, not on the curve


def _bulged(vertices: Sequence[tuple[float, float, float, float]], closed: bool, ocs: Any) -> list[Piece]:
    """Pieces between vertices (x, y, z, bulge); the top of an arc lies half the bulge times the chord aside.

    Source: DXF reference, bulge = tangent of a quarter of the sweep; from memory.
    """
    ring = [*vertices, *vertices[:1]] if closed else vertices
    pieces = []
    for (x, y, z, bulge), (end_x, end_y, end_z, _) in zip(ring, ring[1:]):
        middle = None
        if bulge:
            top = (0.5 * (x + end_x + bulge * (end_y - y)), 0.5 * (y + end_y - bulge * (end_x - x)), z)
            middle = tuple(ocs.to_wcs(top))
        pieces.append(Piece(tuple(ocs.to_wcs((x, y, z))), middle, tuple(ocs.to_wcs((end_x, end_y, end_z)))))
    return pieces


def _ellipse(entity: Any) -> list[Piece]:
    if not 0.0 < entity.dxf.ratio <= 1.0:
        return []  # the library has its own idea of such a ratio
    first, last = entity.dxf.start_param, entity.dxf.end_param
    sweep = (last - first) % math.tau or math.tau
    return _run([tuple(point) for point in entity.vertices(_steps(first, first + sweep))])


def _spline(entity: Any) -> list[Piece]:
    if not entity.control_points:
        return []  # through fit points alone: every program has its own curve
    curve = entity.construction_tool()
    knots = curve.knots()
    return _run([tuple(point) for point in curve.points(_steps(knots[curve.degree], knots[curve.count]))])


def _steps(first: float, last: float) -> list[float]:
    return [first + (last - first) * step / _PARAMETERS for step in range(_PARAMETERS + 1)]


def _run(points: list[Triple]) -> list[Piece]:
    """A curve as pieces through every second point."""
    return [Piece(*points[index : index + 3]) for index in range(0, len(points) - 2, 2)]


_PIECES: dict[str, Callable[[Any], list[Piece]]] = {
    "LINE": _line,
    "ARC": _arc,
    "CIRCLE": _circle,
    "LWPOLYLINE": _light_polyline,
    "POLYLINE": _polyline,
    "ELLIPSE": _ellipse,
    "SPLINE": _spline,
}
