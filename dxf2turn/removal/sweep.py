"""The region that a tool sweeps along a move, exact for polygons, folded to r >= 0.

The work turns about the axis, so what a tool cuts at (z, -r) is cut at (z, r) as well: every swept
region is united with its mirror image and then clipped to r >= 0.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.affinity import scale
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point, Vector

NOTHING = Polygon()
Corners = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Shape:
    """Convex polygons relative to the controlled point, each an (n, 2) array of (z, r), mm."""

    pieces: tuple[Corners, ...]
    low: Corners  # least z and r of all pieces
    high: Corners  # largest z and r of all pieces


def shape_of(outlines: Iterable[Sequence[Point]], shrunk_by: float = 0.0) -> Shape | None:
    """Shape made of polygons of any form; None when there are none with an area.

    shrunk_by: taken off all round, mm. A piece that would vanish keeps its size: the check then is
    stricter, never blind.
    """
    pieces = tuple(
        piece
        for outline in outlines
        if len(outline) > 2
        for piece in _convex_pieces(_shrunk(outline, shrunk_by))
    )
    if not pieces:
        return None
    corners = np.concatenate(pieces)
    return Shape(pieces, corners.min(axis=0), corners.max(axis=0))


def grown(core: Sequence[Point], radius: float, sagitta: float) -> list[Point]:
    """The convex core grown by the nose radius: the true cutting part, chords within `sagitta` of its arcs.

    The circle has a corner in each of the four axis directions, so that sizes are exact.
    """
    if radius <= 0.0 or not core:
        return list(core)
    quarter = max(1, math.ceil(0.25 * math.pi / math.acos(max(0.0, 1.0 - sagitta / radius))))
    turns = [0.5 * math.pi * i / quarter for i in range(4 * quarter)]
    circle = [Vector(*(round(value, 15) * radius for value in (math.cos(t), math.sin(t)))) for t in turns]
    hull = shapely.linestrings([corner + out for corner in core for out in circle]).convex_hull
    return [Point(float(z), float(r)) for z, r in _corners(hull)]


def swept(shape: Shape, path: Corners) -> BaseGeometry:
    """Region that `shape` covers while its controlled point runs along a polyline, folded to r >= 0."""
    return folded(swept_flat(shape, path))


def swept_flat(shape: Shape, path: Corners) -> BaseGeometry:
    """The same without folding: part of it may lie at r < 0.

    The sum of a convex polygon and a straight piece is the convex hull of the polygon at both ends.
    """
    starts, ends = path[:-1, None, :], path[1:, None, :]
    hulls = [
        hull
        for piece in shape.pieces
        for hull in shapely.convex_hull(
            shapely.linestrings(np.concatenate([starts + piece, ends + piece], axis=1))
        )
    ]
    return hulls[0] if len(hulls) == 1 else shapely.union_all(hulls)


def swept_box(shape: Shape, path: Corners) -> tuple[float, float, float, float]:
    """Bounding box of the folded swept region: (z low, r low, z high, r high)."""
    low, high = path.min(axis=0) + shape.low, path.max(axis=0) + shape.high
    if low[1] < 0.0:
        return float(low[0]), 0.0, float(high[0]), float(max(high[1], -low[1]))
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def folded(region: BaseGeometry) -> BaseGeometry:
    """A region united with its mirror image at the axis, clipped to r >= 0."""
    z_low, r_low, z_high, r_high = region.bounds
    if region.is_empty or r_low >= 0.0:
        return region
    far = mirrored(shapely.intersection(region, shapely.box(z_low, r_low, z_high, 0.0)))
    if r_high <= 0.0:
        return far
    near = shapely.intersection(region, shapely.box(z_low, 0.0, z_high, r_high))
    return areas(shapely.union(near, far))


def mirrored(region: BaseGeometry) -> BaseGeometry:
    """The mirror image at the axis."""
    return scale(region, xfact=1.0, yfact=-1.0, origin=(0.0, 0.0))


def areas(region: BaseGeometry) -> BaseGeometry:
    """Only the polygons of a region: points and lines, where polygons merely touch, are no material."""
    if region.geom_type in ("Polygon", "MultiPolygon"):
        return region
    return shapely.union_all([piece for piece in getattr(region, "geoms", ()) if piece.area > 0.0])


def polygons_of(region: BaseGeometry) -> tuple[Polygon, ...]:
    """The polygons of a region, empty ones left out."""
    pieces = getattr(region, "geoms", (region,))
    return tuple(piece for piece in pieces if isinstance(piece, Polygon) and not piece.is_empty)


def _shrunk(outline: Sequence[Point], by: float) -> Polygon:
    whole = Polygon(outline)
    whole = whole if whole.is_valid else shapely.make_valid(whole)
    less = shapely.buffer(whole, -by, join_style="mitre") if by > 0.0 else whole
    return whole if less.is_empty else less


def _convex_pieces(region: BaseGeometry) -> list[Corners]:
    """A region cut into convex polygons: itself when it is convex, triangles otherwise."""
    pieces: list[Corners] = []
    for polygon in polygons_of(region):
        hull = polygon.convex_hull
        if hull.area - polygon.area <= 1e-9 * hull.area:
            pieces.append(_corners(hull))
        else:
            pieces.extend(_corners(t) for t in polygons_of(shapely.constrained_delaunay_triangles(polygon)))
    return pieces


def _corners(polygon: BaseGeometry) -> Corners:
    corners: Corners = shapely.get_coordinates(polygon)[:-1]
    return corners
