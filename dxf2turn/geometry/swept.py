"""What a convex polygon covers on straight ways, in closed form.

The hull of a convex polygon at both ends of a way has the corners of the polygon at its start on the side
that looks back and at its end on the side that looks ahead. Finding the two corners where the sides change
is much quicker than a hull of all corners, and gives the same coordinates.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Corners = NDArray[np.float64]

MANY = 200  # corners of all ways together from which on the closed form is the quicker one


def swept_hulls(starts: Corners, ends: Corners, shape: Corners) -> list[BaseGeometry]:
    """The hulls of `shape` (m, 2) at both ends of each of n ways, given by their starts and ends (n, 2)."""
    corners = _convex(shape) if len(starts) * len(shape) >= MANY else None
    if corners is None:
        pairs = np.concatenate([starts[:, None, :] + shape, ends[:, None, :] + shape], axis=1)
        return list(shapely.convex_hull(shapely.linestrings(pairs)))
    return list(shapely.polygons(_rings(starts, ends, corners)))


def _rings(starts: Corners, ends: Corners, corners: Corners) -> NDArray[np.float64]:
    """The same for a convex polygon, counter-clockwise, as rings (n, m + 2, 2)."""
    count = len(corners)
    along = ends - starts
    across = along[:, :1] * corners[:, 1] - along[:, 1:] * corners[:, 0]
    right, left = np.argmin(across, axis=1), np.argmax(across, axis=1)
    # Counter-clockwise from the rightmost corner: ahead of it at the end of the way, from the leftmost one on
    # at the start; both of these stand at either end.
    turn = np.arange(count + 2)
    ahead = turn <= ((left - right) % count)[:, None]
    which = (right[:, None] + np.where(ahead, turn, turn - 1)) % count
    places = np.where(ahead[:, :, None], ends[:, None, :], starts[:, None, :])
    return corners[which] + places


def _convex(shape: Corners) -> Corners | None:
    """The corners of the hull, counter-clockwise; None for a shape without area."""
    hull = shapely.convex_hull(shapely.linestrings(shape))
    if not isinstance(hull, shapely.Polygon):
        return None
    return shapely.get_coordinates(shapely.geometry.polygon.orient(hull))[:-1]
