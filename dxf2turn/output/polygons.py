"""The polygons of the outputs: several as one, and rings thinned for a picture. Only shapely user here."""

from __future__ import annotations

from collections.abc import Sequence

from shapely import MultiPolygon, Polygon, set_precision, shortest_line, union_all
from shapely.geometry.polygon import orient

from dxf2turn.geometry.point import Point

BRIDGE = 0.01  # width of the strip that joins two polygons which lie apart, mm
UNDER, BEYOND = 1000.0, 500.0  # how far below the axis and beyond the ends the strip runs, mm

SNAP = 1e-6  # pieces closer than this touch, mm

Ring = tuple[Point, ...]


def one_holder(pieces: Sequence[Sequence[Point]]) -> Ring:
    """The convex pieces of a holder as one simple polygon, counter-clockwise; () when there are none.

    Pieces that are really apart are joined by the shortest strip between them.
    """
    whole = _union(pieces)
    while isinstance(whole, MultiPolygon):
        first, *others = whole.geoms
        other = min(others, key=first.distance)
        strip = shortest_line(first, other).buffer(BRIDGE / 2.0, cap_style="square")
        whole = union_all([*whole.geoms, strip])
    return _ring(whole)


def one_keep_out(pieces: Sequence[Sequence[Point]]) -> Ring:
    """Jaws, chuck and centre as one simple polygon, counter-clockwise; () when there are none.

    Pieces that lie apart are joined where no work is: a reader gets one polygon whatever the planner made.
    """
    whole = _union(pieces)
    return _ring(_bridged(whole) if isinstance(whole, MultiPolygon) else whole)


def each_body(pieces: Sequence[Sequence[Point]]) -> tuple[Ring, ...]:
    """Bodies made of convex pieces, one simple polygon each, counter-clockwise, from the chuck outwards."""
    whole = _union(pieces)
    bodies = whole.geoms if isinstance(whole, MultiPolygon) else (whole,)
    return tuple(ring for body in sorted(bodies, key=lambda b: b.bounds) if (ring := _ring(body)))


def _union(pieces: Sequence[Sequence[Point]]) -> Polygon | MultiPolygon:
    """All pieces together; edges that differ by rounding only are one edge."""
    shapes = [set_precision(Polygon(piece), SNAP) for piece in pieces if len(piece) >= 3]
    return union_all(shapes, grid_size=SNAP) if shapes else Polygon()


def _ring(shape: Polygon) -> Ring:
    """The outer ring without its repeated point; a hole inside counts as filled."""
    if shape.is_empty:
        return ()
    return tuple(Point(*pair) for pair in orient(Polygon(shape.exterior)).exterior.coords[:-1])


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


def within(ring: Sequence[Point], low: Point, high: Point) -> Ring:
    """The part of a convex ring in a box, counter-clockwise; () when there is none."""
    shape = Polygon(ring).intersection(Polygon.from_bounds(*low, *high))
    return _ring(shape) if isinstance(shape, Polygon) else ()


def thinned(ring: Sequence[Point], tolerance: float) -> Ring:
    """A ring with fewer points, none of the left-out ones further than `tolerance` away (mm)."""
    if len(ring) < 4:
        return tuple(ring)
    simple = Polygon(ring).simplify(tolerance).exterior.coords
    return tuple(Point(*pair) for pair in simple[:-1])
