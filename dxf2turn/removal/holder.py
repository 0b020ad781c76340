"""When the holder comes to a place before the cutting part has been there.

For a convex tool moved straight by d, a point of the holder is led by the tool when it lies in the tool's
shadow, the tool swept by -d. What the rest of the holder sweeps meets the stock as it was before the move;
what the whole holder sweeps meets the stock as it is after it. Together this is exact: see docs/removal.md.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.removal.sweep import Corners, Shape, areas, polygons_of, shape_of, swept, swept_flat


def uncut_contact(holder: Shape, cutting: Shape, path: Corners, stock: BaseGeometry) -> BaseGeometry:
    """The stock that the holder enters along a polyline while the cutting part removes what it sweeps."""
    hits: list[BaseGeometry] = []
    for start, end in zip(path, path[1:]):
        leg = np.array([start, end])
        hits.append(shapely.intersection(_ahead(holder, cutting, end - start, leg), stock))
        stock = shapely.difference(stock, swept(cutting, leg))
        hits.append(shapely.intersection(swept(holder, leg), stock))
    return areas(shapely.union_all(hits))


def _ahead(holder: Shape, cutting: Shape, step: Corners, leg: Corners) -> BaseGeometry:
    """What the part of the holder outside the tool's shadow sweeps along one straight leg."""
    still = np.array([[0.0, 0.0], [0.0, 0.0]])
    shadow = swept_flat(cutting, np.array([[0.0, 0.0], -step]))
    rest = areas(shapely.difference(swept_flat(holder, still), shadow))
    ahead = shape_of([piece.exterior.coords[:-1] for piece in polygons_of(rest)])
    return shapely.Polygon() if ahead is None else swept(ahead, leg)
