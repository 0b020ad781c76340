"""Work: what one operation sees. Setup coordinates (z right, r up), mm, r a radius."""

from __future__ import annotations

from dataclasses import dataclass, replace

from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Segment

SAGITTA = 0.0005  # chord error of the polygons that planning works with, mm


@dataclass(frozen=True, slots=True)
class Work:
    """The state of the job before one operation.

    target: closed counter-clockwise profile that this operation must not enter, exact. For turning it is
    the part with its grooves bridged; for a groove it is the part itself.
    part: the target as polygon (chords within SAGITTA). stock: what is left of the material.
    keep_out: jaws, chuck, centre: no tool may touch it. tool_change: where steps start and end.
    clearance: of rapids from all these where there is room, mm.
    surface: edge of the finished part where the target has more (bridges over grooves, what is parted off);
    finishing follows the target only there. None: all of the target is to be finished.
    An operation is a function (work, tool, data, ...) -> tuple[Move, ...]: moves that start and end at
    tool_change; empty when there is nothing to cut.
    """

    target: tuple[Segment, ...]
    part: Polygon
    stock: Polygon | MultiPolygon
    keep_out: Polygon | MultiPolygon
    tool_change: Point
    clearance: float
    surface: BaseGeometry | None = None

    def with_stock(self, stock: Polygon | MultiPolygon) -> Work:
        """The same job after something was cut."""
        return replace(self, stock=stock)
