"""What a blade can take off at most, before any of its moves is made: its shape over its lowest way."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.region import flatten
from dxf2turn.planning.blade import blade_of, floor_of
from dxf2turn.planning.operations.plunge import Zone
from dxf2turn.planning.tool_space.envelope import SAME, path
from dxf2turn.planning.tool_space.sweep import cutting_shapes, folded, hulls, shape_of
from dxf2turn.planning.work import SAGITTA, Work
from dxf2turn.shop.model import Tool


def blade_reach(work: Work, tool: Tool, zone: Zone, depth: float) -> BaseGeometry:
    """The region that the cutting part of a blade can get to in a zone, up to `depth` above its lowest way.

    Whatever `plunge` cuts there lies in it: the blade comes from above and never goes below its floor.
    """
    blade = blade_of(tool, zone.axes)
    way = path(floor_of(blade, work.target, 0.0, zone.base, (zone.lo - blade.low, zone.hi - blade.high)))
    if not way or way[-1].end.x - way[0].start.x < SAME:
        return Polygon()
    track = zone.axes.zr_all(np.asarray(flatten(way, SAGITTA)))
    up = zone.axes.zr_all(np.asarray([[0.0, depth]]))
    drawn_out = [shape_of(np.concatenate([s.corners, s.corners + up])) for s in cutting_shapes(tool)]
    return folded(shapely.union_all(hulls(track, drawn_out)))
