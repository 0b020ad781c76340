"""Plane regions for the replay of a plan document. Nothing here comes from dxf2turn."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import shapely
from shapely import Polygon, box

CHORD = 0.0005  # arcs of moves and of the contour
GRID = 1e-8  # finer than the document's coordinates
EMPTY = Polygon()


def course(piece: dict[str, Any]) -> list[tuple[float, float]]:
    """Points along a line or an arc, both ends exact."""
    a, b = tuple(piece["from"]), tuple(piece["to"])
    if piece["type"] != "arc" or a == b:
        return [a, b]
    (cz, cr), turn = piece["centre"], -1.0 if piece["clockwise"] else 1.0
    ra, rb = math.dist(a, (cz, cr)), math.dist(b, (cz, cr))
    start = math.atan2(a[1] - cr, a[0] - cz)
    angle = (turn * (math.atan2(b[1] - cr, b[0] - cz) - start)) % math.tau
    n = max(2, math.ceil(angle / math.sqrt(8.0 * CHORD / max(ra, CHORD))))
    at = np.linspace(0.0, 1.0, n + 1)[1:-1]
    radius, phi = ra + (rb - ra) * at, start + turn * angle * at
    return [a, *zip((cz + radius * np.cos(phi)).tolist(), (cr + radius * np.sin(phi)).tolist()), b]


def sweep(shape: Any, path: Any) -> Any:
    """Union of the hulls of a convex shape at both ends of each leg; of other shapes edge by edge."""
    corners = np.asarray(shape.exterior.coords)
    legs = [(np.asarray(a), np.asarray(b)) for a, b in zip(path, path[1:])]
    if shape.convex_hull.area - shape.area < 1e-9 * shape.area:
        hulls = [shapely.MultiPoint(np.vstack([corners + a, corners + b])).convex_hull for a, b in legs]
        return shapely.union_all(hulls)
    pieces = []
    for a, b in legs:
        pieces += [Polygon(corners + a), Polygon(corners + b)]
        for p, q in zip(corners, corners[1:]):
            pieces.append(shapely.MultiPoint([p + a, q + a, q + b, p + b]).convex_hull)
    return shapely.union_all([piece for piece in pieces if piece.area > 0.0])


def fold(region: Any) -> Any:
    """The work turns: what lies at -r is met at r."""
    if region.bounds[1] >= 0.0:
        return region
    both = shapely.union_all([region, mirror(region)])
    return flat(both.intersection(box(both.bounds[0] - 1.0, 0.0, both.bounds[2] + 1.0, both.bounds[3] + 1.0)))


def mirror(region: Any) -> Any:
    return shapely.transform(region, lambda p: p * [1.0, -1.0])


def to_z(region: Any, flipped: bool, length: float) -> Any:
    """Setup to part coordinates and back: the same formula."""
    return shapely.transform(region, lambda p: p * [-1.0, 1.0] - [length, 0.0]) if flipped else region


def parts(region: Any) -> list[Any]:
    return [p for p in getattr(region, "geoms", [region]) if p.geom_type == "Polygon" and p.area > 1e-6]


def flat(region: Any) -> Any:
    """Only the polygons of a region."""
    return region if region.geom_type == "Polygon" else shapely.MultiPolygon([p for p in parts(region)])


def common(a: Any, b: Any) -> Any:
    """What two regions share. On a grid: along a shared slant edge the plain overlay can return nonsense."""
    return flat(shapely.intersection(a, b, grid_size=GRID))


def solid(shape: Any) -> Any:
    return shape if shape.is_valid else flat(shapely.make_valid(shape))


def surface(region: Any) -> Any:
    return region.union(mirror(region)).boundary


def thick(region: Any, size: float) -> bool:
    """Whether a region is somewhere thicker than `size`."""
    if region.is_empty or region.area < size * size:
        return False
    return not region.buffer(-0.5 * size, join_style="mitre").is_empty


def depth(region: Any, skin: Any) -> float:
    """Greatest distance of a region's edge from a surface."""
    edge = region.boundary if region.area > 0.0 else region
    corners = shapely.points(shapely.get_coordinates(edge.segmentize(max(0.02, region.length / 2000.0))))
    return float(max(shapely.distance(corners, skin), default=0.0))


def rings(region: Any) -> float:
    """Volume of a region turned about the axis: 2 pi times area times radius of the centroid (Pappus)."""
    return math.fsum(math.tau * p.area * p.centroid.y for p in parts(region))
