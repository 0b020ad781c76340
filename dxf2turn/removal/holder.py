"""When the holder comes to a place before the cutting part has been there.

For a convex tool moved straight by d, a point of the holder is led by the tool when it lies in the tool's
shadow, the tool swept by -d. What the rest of the holder sweeps meets the stock as it was before the move;
what the whole holder sweeps meets the stock as it is after it. Together this is exact: see docs/removal.md.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.region import less
from dxf2turn.removal.sweep import NOTHING, Corners, Shape, areas, polygons_of, shape_of, swept, swept_flat
from dxf2turn.removal.tolerances import CREEP


def uncut_contact(holder: Shape, cutting: Shape, path: Corners, stock: BaseGeometry) -> BaseGeometry:
    """The stock that the holder enters along a polyline while the cutting part removes what it sweeps."""
    hits: list[BaseGeometry] = []
    for start, end in zip(path, path[1:]):
        for leg in _legs(holder, start, end):
            if _one_sided(holder, leg):
                hits.append(shapely.intersection(_ahead(holder, cutting, leg), stock))
            stock = less(stock, swept(cutting, leg))
            hits.append(shapely.intersection(swept(holder, leg), stock))
    return areas(shapely.union_all(hits))


def _one_sided(holder: Shape, leg: Corners) -> bool:
    """Whether the holder and its mirror image at the axis travel the same way, or only one is there."""
    return bool(leg[0, 1] == leg[1, 1] or leg[:, 1].min() + holder.low[1] >= 0.0)


def _legs(holder: Shape, start: Corners, end: Corners) -> list[Corners]:
    """The leg itself, or steps of time when both sides of the axis count and move apart."""
    whole = np.array([start, end])
    if _one_sided(holder, whole):
        return [whole]
    count = max(1, math.ceil(math.dist(start, end) / CREEP))
    stops = np.linspace(start, end, count + 1)
    return [stops[i : i + 2] for i in range(count)]


def _ahead(holder: Shape, cutting: Shape, leg: Corners) -> BaseGeometry:
    """What the part of the holder outside the tool's shadow sweeps along one straight leg."""
    still, travel = np.array([leg[0], leg[0]]), leg - leg[0]
    tool = _as_shape(swept(cutting, still))
    if tool is None:
        return NOTHING
    shadow = swept_flat(tool, -travel)
    ahead = _as_shape(areas(shapely.difference(swept(holder, still), shadow)))
    return NOTHING if ahead is None else swept(ahead, travel)


def _as_shape(region: BaseGeometry) -> Shape | None:
    return shape_of([piece.exterior.coords[:-1] for piece in polygons_of(region)])
