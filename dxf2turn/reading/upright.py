"""Drawings that stand upright in space: all geometry in the XZ or YZ plane, as 3D systems export a view."""

from __future__ import annotations

from collections.abc import Sequence

from dxf2turn.reading.damage import Damage
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.plane import UP, WORLD, Placement, Triple, object_axes

_IN_OWN_PLANE = frozenset(("ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE"))
_TILT = 1e-6  # how far a unit vector may miss an axis

# Placements that lay a plane flat: from the front (x, z) and from the side (y, z).
_VIEWS: dict[str, tuple[int, Placement]] = {
    "XZ": (1, Placement((1.0, 0.0, 0.0), (0.0, 0.0, -1.0), (0.0, 1.0, 0.0), (0.0, 0.0, 0.0))),
    "YZ": (0, Placement((0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 0.0))),
}


def upright_view(records: Sequence[Record], flat: float) -> tuple[str, Placement]:
    """Name of the plane that all lines, arcs and polylines lie in and the placement that lays it flat.

    ("", WORLD) for a drawing that lies in the ordinary plane or in none. flat: how far a line may leave
    the plane, drawing units.
    """
    lines = [points for record in records if record.kind == "LINE" and (points := _ends(record))]
    normals = [n for record in records if record.kind in _IN_OWN_PLANE and (n := _normal(record))]
    rises = any(abs(a[2] - b[2]) > flat for a, b in lines)
    if not rises and all(abs(n[2]) > _TILT for n in normals):
        return "", WORLD
    for name, (across, placement) in _VIEWS.items():
        in_plane = all(abs(a[across] - b[across]) <= flat for a, b in lines)
        if in_plane and all(abs(abs(n[across]) - 1.0) <= _TILT for n in normals):
            return name, placement
    return "", WORLD


def _ends(record: Record) -> tuple[Triple, Triple] | None:
    try:
        return record.point(10), record.point(11)
    except Damage:
        return None


def _normal(record: Record) -> Triple | None:
    try:
        return object_axes(record.point_or(210, UP))[2]
    except Damage:
        return None
