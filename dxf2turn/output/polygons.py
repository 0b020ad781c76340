"""The polygons of the outputs: several as one, and rings thinned for a picture. Only shapely user here."""

from __future__ import annotations

from collections.abc import Sequence

from shapely import MultiPolygon, Polygon, union_all
from shapely.geometry.polygon import orient

from dxf2turn.geometry.point import Point

BRIDGE = 0.01  # width of the strip that joins two polygons which lie apart, mm
UNDER, BEYOND = 1000.0, 500.0  # how far below the axis and beyond the ends the strip runs, mm

Ring = tuple[Point, ...]


def one_polygon(pieces: Sequence[Sequence[Point]]) -> Ring:
    """Several polygons that touch as one simple polygon, counter-clockwise; () when there are none.

    Pieces that lie apart are joined by `_bridged`: a reader gets one polygon whatever the planner made.
    """
    shapes = [Polygon(piece) for piece in pieces if len(piece) >= 3]
    if not shapes:
        return ()
    whole = union_all(shapes)
    if isinstance(whole, MultiPolygon):
        whole = _bridged(whole)
    return tuple(Point(*pair) for pair in orient(Polygon(whole.exterior)).exterior.coords[:-1])


def _bridged(pieces: MultiPolygon) -> Polygon:
    """Jaws on one side and a centre on the other, joined behind the work and below the axis.

    The strip leaves each piece at the end of the machine it stands at (chuck or tailstock), runs out
    beyond everything, down and under the axis, where r is negative and no part, stock or tool is.
    """
    z_min, r_min, z_max, _ = pieces.bounds
    middle, low = 0.5 * (z_min + z_max), min(r_min, 0.0) - UNDER
    strips: list[Polygon] = []
    for piece in pieces.geoms:
        at_left = piece.centroid.x < middle
        end_z = z_min - BEYOND if at_left else z_max + BEYOND
        start_z = (min if at_left else max)(z for z, _ in piece.exterior.coords)
        edge = [r for z, r in piece.exterior.coords if abs(z - start_z) < BRIDGE]
        level = 0.5 * (min(edge) + max(edge))
        strips.append(_strip((start_z, level), (end_z, level)))
        strips.append(_strip((end_z, level), (end_z, low)))
        strips.append(_strip((end_z, low), (middle, low)))
    return union_all([*pieces.geoms, *strips])


def _strip(a: tuple[float, float], b: tuple[float, float]) -> Polygon:
    """A thin rectangle along an axis-parallel line, longer than it by its own width."""
    (az, ar), (bz, br) = a, b
    half = BRIDGE / 2.0
    return Polygon.from_bounds(min(az, bz) - half, min(ar, br) - half, max(az, bz) + half, max(ar, br) + half)


def thinned(ring: Sequence[Point], tolerance: float) -> Ring:
    """A ring with fewer points, none of the left-out ones further than `tolerance` away (mm)."""
    if len(ring) < 4:
        return tuple(ring)
    simple = Polygon(ring).simplify(tolerance).exterior.coords
    return tuple(Point(*pair) for pair in simple[:-1])
