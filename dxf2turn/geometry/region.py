"""The bridge to shapely: exact paths in, polygons out. Flattening happens here and nowhere else.

Every function states how far a chord may lie from its arc (`sagitta`, mm). Chords join points that lie
exactly on the arc, so a flattened convex shape is never larger than the true one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache

import numpy as np
import shapely
import shapely.affinity
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Segment
from dxf2turn.geometry.swept import swept_hulls

QUARTER = math.pi / 2.0
BALANCE = 1e-7  # share of an area that an overlay may lose or add by rounding
GRID = 1e-8  # of the second try, mm; finer than any tolerance


def flatten_segment(segment: Segment, sagitta: float) -> list[Point]:
    """Points along a segment, start and end included, chords within `sagitta` of the arc.

    An arc also gets a vertex where it turns (at each quarter), so that its largest and smallest
    x and y are kept exactly.
    """
    if not isinstance(segment, Arc):
        return [segment.start, segment.end]
    radius = segment.radius
    step = 2.0 * math.acos(max(-1.0, 1.0 - sagitta / radius)) if sagitta < 2.0 * radius else math.pi
    stops = sorted({0.0, 1.0, *_quarter_parameters(segment)})
    size = abs(segment.sweep)
    places = [0.0]
    for t0, t1 in zip(stops, stops[1:]):
        pieces = max(1, math.ceil(size * (t1 - t0) / step))
        places.extend(t0 + (t1 - t0) * i / pieces for i in range(1, pieces + 1))
    return segment.points_at(places)


def _quarter_parameters(arc: Arc) -> list[float]:
    found = (arc.parameter_of_angle(quarter * QUARTER) for quarter in range(4))
    return [t for t in found if 1e-9 < t < 1.0 - 1e-9]


def flatten(path: Sequence[Segment], sagitta: float) -> list[Point]:
    """Points along a connected run; shared ends appear once, the last end is kept."""
    points: list[Point] = []
    for segment in path:
        run = flatten_segment(segment, sagitta)
        points.extend(run if not points else run[1:])
    return points


def polygon(path: Sequence[Segment], sagitta: float) -> Polygon:
    """Polygon inside a closed run."""
    return _polygon(tuple(path), sagitta)


@lru_cache(maxsize=64)  # Each step of a plan asks for the outline of the same part again.
def _polygon(path: tuple[Segment, ...], sagitta: float) -> Polygon:
    points = flatten(path, sagitta)
    return Polygon(points[:-1] if points[0] == points[-1] else points)


def minkowski_sum(shape: Polygon | MultiPolygon, convex: Sequence[Point | tuple[float, float]]) -> Polygon:
    """Sum of a region and a convex polygon (any turning direction), exact for polygons.

    The sum is the union of the region moved by one vertex of the polygon and of the hulls that the
    polygon sweeps along each boundary edge.
    """
    tool = np.asarray(convex, dtype=float)
    pieces = [shapely.affinity.translate(shape, *tool[0])]
    for ring in _rings(shape):
        points = np.asarray(ring.coords)
        pieces.extend(swept_hulls(points[:-1], points[1:], tool))
    return shapely.union_all(pieces)


def _rings(shape: Polygon | MultiPolygon) -> Iterable[shapely.LinearRing]:
    for part in getattr(shape, "geoms", [shape]):
        if not part.is_empty:
            yield part.exterior
            yield from part.interiors


def near_pairs(segments: Sequence[Segment], distance: float, sagitta: float = 0.01) -> np.ndarray:
    """Pairs (i, j), i < j, of segments that may come within `distance` of each other; n x 2, sorted.

    Arcs are flattened within `sagitta`, which is made up for: no pair is missed, some are too many.
    """
    points = [flatten_segment(segment, sagitta) for segment in segments]
    counts = np.fromiter(map(len, points), dtype=np.int64, count=len(points))
    coordinates = np.array([p for run in points for p in run], dtype=float).reshape(-1, 2)
    lines = shapely.linestrings(coordinates, indices=np.repeat(np.arange(len(points)), counts))
    tree = shapely.STRtree(lines)
    pairs = tree.query(lines, predicate="dwithin", distance=distance + 2.0 * sagitta).T
    pairs = pairs[pairs[:, 0] < pairs[:, 1]]
    return pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))]


def covered_share(
    path: Sequence[Segment], covers: Iterable[Sequence[Segment]], sagitta: float
) -> tuple[float, float]:
    """(area inside a closed run, share of it that lies inside other closed runs)."""
    region = shapely.make_valid(polygon(path, sagitta))
    if region.area == 0.0:
        return 0.0, 0.0
    cover = shapely.union_all([shapely.make_valid(polygon(other, sagitta)) for other in covers])
    return region.area, cover.intersection(region).area / region.area


def lies_inside(path: Sequence[Segment], others: Iterable[Sequence[Segment]], sagitta: float) -> bool:
    """Whether some place inside a closed run lies inside one of others that do not cross it."""
    place = polygon(path, sagitta).representative_point()
    return any(shapely.contains(shapely.make_valid(polygon(other, sagitta)), place) for other in others)


def points_inside(
    path: Sequence[Segment], points: Sequence[Point], margin: float, sagitta: float
) -> list[bool]:
    """For each point whether it lies inside a closed run, at least `margin` from it."""
    if not points:
        return []
    region = polygon(path, sagitta).buffer(-margin)
    shapely.prepare(region)
    return shapely.contains_xy(region, np.asarray(points, dtype=float)).tolist()


def outline_difference(
    a: Sequence[Point], b: Sequence[Point], thinner: float
) -> tuple[float, Point, int] | None:
    """How two simple polygons differ: largest distance of a corner of one from the other's border, that
    corner, number of regions in which they differ. None when they differ by slivers thinner than `thinner`
    only."""
    # An outline that touches itself (only one of two halves is proven) is no valid polygon as it stands.
    shapes = shapely.make_valid(shapely.Polygon(a)), shapely.make_valid(shapely.Polygon(b))
    core = shapely.buffer(shapely.symmetric_difference(*shapes), -0.5 * thinner, join_style="mitre")
    if core.is_empty:
        return None
    corners = np.asarray([*a, *b], dtype=float)
    marks = shapely.points(corners)
    away = np.maximum(
        shapely.distance(marks, shapes[0].boundary), shapely.distance(marks, shapes[1].boundary)
    )
    far = int(np.argmax(away))
    return float(away[far]), Point(*map(float, corners[far])), len(getattr(core, "geoms", [core]))


def less(a: BaseGeometry, b: BaseGeometry) -> BaseGeometry:
    """Region `a` without `b`, its area proved: what stays and what both share add up to `a`.

    Along slant edges that two regions share, the plain overlay of the library now and then returns
    nonsense; then it is done again on a fine grid.
    """
    rest = shapely.difference(a, b)
    off = a.area - rest.area - shapely.intersection(a, b).area
    return rest if abs(off) <= BALANCE * max(1.0, a.area) else shapely.difference(a, b, grid_size=GRID)


def shared(a: BaseGeometry, b: BaseGeometry) -> BaseGeometry:
    """What two regions share, proved in the same way."""
    both = shapely.intersection(a, b)
    off = a.area - both.area - shapely.difference(a, b).area
    return both if abs(off) <= BALANCE * max(1.0, a.area) else shapely.intersection(a, b, grid_size=GRID)
