"""Which stock is outside of a part and which is in its bores."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from dxf2turn.planning.tool_space.sweep import areas, polygons

ON_AXIS = 1e-6  # a region that comes this close to r = 0 reaches the axis, mm


@lru_cache(maxsize=32)
def bores(part: Polygon) -> BaseGeometry:
    """The hollows of a part that the axis runs through, from either end; open at the ends of the part.

    A recess that the axis does not touch (under a collar, in a face) belongs to the outside.
    """
    hollow = areas(shapely.difference(_down_to_axis(part), part))
    reaching = [piece for piece in polygons(hollow) if piece.bounds[1] <= ON_AXIS]
    return shapely.union_all(reaching)


def of_side(region: BaseGeometry, part: Polygon, side: str) -> BaseGeometry:
    """The share of a region that is in the bores ("inside") or not ("outside")."""
    if side == "inside":
        return areas(shapely.intersection(region, bores(part)))
    return areas(shapely.difference(region, bores(part)))


def _down_to_axis(part: Polygon) -> BaseGeometry:
    """Everything between the part and the axis, the part included."""
    corners = shapely.get_coordinates(part.exterior)
    starts, ends = corners[:-1], corners[1:]
    on_axis = np.array([1.0, 0.0])
    quads = np.stack([starts, ends, ends * on_axis, starts * on_axis], axis=1)
    strips = shapely.convex_hull(shapely.linestrings(quads))
    return shapely.union_all([strip for strip in strips if strip.area > 0.0])
