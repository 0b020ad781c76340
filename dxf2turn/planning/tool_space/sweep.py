"""What a tool sweeps on its way, as polygons of the half plane r >= 0.

The work turns: what a tool covers at r < 0 it covers at the mirrored place as well, so every swept region
is folded at the axis.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import flatten_segment, less
from dxf2turn.geometry.segment import Arc
from dxf2turn.geometry.swept import swept_hulls
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.work import SAGITTA, Work
from dxf2turn.shop.model import Tool

Corners = NDArray[np.float64]
Box = tuple[float, float, float, float]  # least z and r, largest z and r

TOUCH = 0.001  # a shape may slide along a surface: it is made smaller by this before contacts are sought, mm
NOISE = 1e-9  # overlaps smaller than this are rounding, mm2
HOLLOW = 1e-6  # area that an outline may be short of its hull for rounding, mm2
CRUMB = 0.005  # share of the largest piece: a smaller loose one falls off as a chip
CUTTING = (MoveKind.FEED, MoveKind.ARC)


class Shape(NamedTuple):
    """A convex polygon about the controlled point, (n, 2), and the box around it."""

    corners: Corners
    box: Box


def shape_of(corners: Corners) -> Shape:
    """The shape with these corners."""
    return Shape(corners, _box(corners))


def swept(moves: Sequence[Move], polygons: Iterable[Sequence[Point]]) -> BaseGeometry:
    """Region that convex polygons cover along all moves but the first, which states the start."""
    shapes = [shape_of(np.asarray(polygon, dtype=float)) for polygon in polygons]
    legs = [(track(before, move), shapes) for before, move in zip(moves, moves[1:])]
    return folded(_union([hull for way, pieces in legs for hull in hulls(way, pieces)]))


def after(work: Work, moves: Sequence[Move], tool: Tool) -> Work:
    """The work after a step: what its feed moves cut is gone, and crumbs that came loose have fallen off."""
    done = cut_by(work, moves, tool)
    return done if done is work else done.with_stock(_held(done.stock, work.part))


def cut_by(work: Work, moves: Sequence[Move], tool: Tool) -> Work:
    """The work within a step, loose pieces still there. Threads are left out: their crests stay."""
    cut = _cut(tool, tuple(moves))
    return work if cut.is_empty else work.with_stock(areas(less(work.stock, cut)))


@lru_cache(maxsize=8)  # A step is judged by what it leaves before it is taken, then its cut is made.
def _cut(tool: Tool, moves: tuple[Move, ...]) -> BaseGeometry:
    """The region that the cutting part covers on feed moves; the first move states the start."""
    shapes = cutting_shapes(tool)
    ways = (track(a, b) for a, b in zip(moves, moves[1:]) if b.kind in CUTTING)
    return folded(_union([hull for way in ways for hull in hulls(way, shapes)]))


def _held(stock: BaseGeometry, part: Polygon) -> BaseGeometry:
    """What does not fall off: the largest piece, pieces of the part, and pieces that are no crumbs."""
    pieces = polygons(stock)
    if len(pieces) < 2:
        return areas(stock)
    crumb = CRUMB * max(piece.area for piece in pieces)
    kept = [piece for piece in pieces if piece.area > crumb or shapely.intersection(piece, part).area > NOISE]
    return shapely.MultiPolygon(kept) if len(kept) > 1 else kept[0]


def track(before: Move, move: Move) -> Corners:
    """The way of the controlled point as a polyline (n, 2), chords within SAGITTA of an arc."""
    start, end = before.end, move.end
    if move.kind is MoveKind.ARC and move.centre is not None and start != end:
        return np.asarray(flatten_segment(Arc(start, end, move.centre, move.clockwise), SAGITTA))
    return np.asarray([start, end], dtype=float)


def hulls(way: Corners, shapes: Iterable[Shape]) -> list[BaseGeometry]:
    """The convex regions that convex shapes cover on each straight leg of a way."""
    starts, ends = way[:-1], way[1:]
    return [hull for shape in shapes for hull in swept_hulls(starts, ends, shape.corners)]


def folded(region: BaseGeometry) -> BaseGeometry:
    """A region united with its mirror image at the axis, clipped to r >= 0."""
    if region.is_empty or region.bounds[1] >= 0.0:
        return region
    z_low, r_low, z_high, r_high = region.bounds
    both = shapely.union(region, _mirrored(region))
    return areas(shapely.intersection(both, shapely.box(z_low, 0.0, z_high, max(r_high, -r_low))))


def _mirrored(region: BaseGeometry) -> BaseGeometry:
    return shapely.transform(region, lambda places: places * (1.0, -1.0))


def areas(region: BaseGeometry) -> BaseGeometry:
    """Only the polygons of a region."""
    if region.geom_type in ("Polygon", "MultiPolygon"):
        return region
    return _union([piece for piece in getattr(region, "geoms", ()) if piece.area > 0.0])


def polygons(region: BaseGeometry) -> tuple[Polygon, ...]:
    """The polygons of a region, empty ones left out."""
    pieces = getattr(region, "geoms", (region,))
    return tuple(piece for piece in pieces if isinstance(piece, Polygon) and not piece.is_empty)


def _union(regions: Sequence[BaseGeometry]) -> BaseGeometry:
    return shapely.union_all(regions) if len(regions) != 1 else regions[0]


@lru_cache(maxsize=128)
def cutting_shapes(tool: Tool, grown: float = 0.0) -> tuple[Shape, ...]:
    """The cutting part as convex pieces, grown all round (mm; negative = smaller)."""
    return _resized(_convex(tool.outline), grown)


@lru_cache(maxsize=128)
def whole_shapes(tool: Tool, grown: float = 0.0) -> tuple[Shape, ...]:
    """Cutting part and holder as convex pieces, grown all round (mm; negative = smaller)."""
    return _resized([tool.outline, *tool.holder], grown)


@lru_cache(maxsize=128)
def holder_shapes(tool: Tool, grown: float = 0.0) -> tuple[Shape, ...]:
    """The holder as convex pieces, grown all round (mm; negative = smaller)."""
    return _resized(tool.holder, grown)


def _convex(outline: Sequence[Point]) -> list[Sequence[Point]]:
    """An outline as it is, or in convex pieces: a centre drill is the only tool with a hollow one."""
    shape = Polygon(outline)
    if shape.convex_hull.area - shape.area <= HOLLOW:
        return [outline]
    return [[Point(*p) for p in piece.exterior.coords[:-1]] for piece in convex_pieces(shape)]


def _resized(polygons: Iterable[Sequence[Point]], grown: float) -> tuple[Shape, ...]:
    """A piece that would vanish keeps its size: a check with it is stricter, never blind."""
    pieces = []
    for corners in polygons:
        hull = shapely.MultiPoint(list(corners)).convex_hull
        other = hull if grown == 0.0 else shapely.buffer(hull, grown, join_style="mitre", mitre_limit=1.5)
        chosen = hull if other.is_empty else other
        pieces.append(shape_of(shapely.get_coordinates(chosen)[:-1]))
    return tuple(pieces)


def meets(way: Corners, shapes: Iterable[Shape], other: BaseGeometry) -> bool:
    """Whether shapes on their way meet a region of the half plane r >= 0; quicker when that is prepared."""
    for shape, is_across in _near(way, shapes, other):
        for hull in hulls(way, [shape]):
            # Folding it for the question would take much longer than asking twice.
            if shapely.intersects(other, hull) or (is_across and shapely.intersects(other, _mirrored(hull))):
                return True
    return False


def near_hulls(way: Corners, shapes: Iterable[Shape], other: BaseGeometry) -> Iterator[BaseGeometry]:
    """`hulls` without those of shapes whose way, as a box and folded, does not come to a region."""
    return (hull for shape, _ in _near(way, shapes, other) for hull in hulls(way, [shape]))


def _near(way: Corners, shapes: Iterable[Shape], other: BaseGeometry) -> Iterator[tuple[Shape, bool]]:
    """The shapes whose way, as a box and folded, comes to a region; whether it goes across the axis."""
    along, there = _box(way), other.bounds
    for shape in shapes:
        if _boxes_meet(_folded_box(along, shape.box), there):
            yield shape, along[1] + shape.box[1] < 0.0


def _box(corners: Corners) -> Box:
    zs, rs = corners.T.tolist()  # Mostly two places: quicker than with arrays.
    return min(zs), min(rs), max(zs), max(rs)


def _folded_box(way: Box, shape: Box) -> Box:
    """The box around what a shape covers on its way, folded at the axis."""
    z_low, r_low, z_high, r_high = (a + b for a, b in zip(way, shape))
    return z_low, max(r_low, 0.0), z_high, max(r_high, -r_low)


def _boxes_meet(a: Sequence[float], b: Sequence[float]) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


def holder_meets(tool: Tool, way: Corners, stock: BaseGeometry) -> bool:
    """Whether the holder touches stock while the cutting part takes its way through it.

    On a straight leg by d, what lies in the tool's shadow (the tool moved by -d and all between) comes to
    a place after the tool; the rest of the holder meets the stock as it was before.
    """
    holder, cutting = holder_shapes(tool, -TOUCH), cutting_shapes(tool)
    if not holder or not meets(way, holder, stock):
        return False
    for start, end in zip(way, way[1:]):
        leg = np.asarray([start, end])
        if _overlap(leg, _ahead(tool, *(end - start).tolist()), stock):
            return True
        stock = areas(shapely.difference(stock, folded(_union(hulls(leg, cutting)))))
        if _overlap(leg, holder, stock):
            return True
    return False


@lru_cache(maxsize=512)
def _ahead(tool: Tool, dz: float, dr: float) -> tuple[Shape, ...]:
    """The holder outside of the tool's shadow on a straight leg by (dz, dr), as convex pieces."""
    shadow = _union(hulls(np.asarray([[0.0, 0.0], [-dz, -dr]]), cutting_shapes(tool)))
    whole = _union([Polygon(piece.corners) for piece in holder_shapes(tool, -TOUCH)])
    rest = areas(shapely.difference(whole, shadow))
    return tuple(shape_of(shapely.get_coordinates(piece)[:-1]) for piece in convex_pieces(rest))


def _overlap(way: Corners, shapes: Iterable[Shape], other: BaseGeometry) -> bool:
    near = near_hulls(way, shapes, other)
    return any(shapely.intersection(folded(hull), other).area > NOISE for hull in near)


def convex_pieces(region: BaseGeometry) -> list[BaseGeometry]:
    """A region cut into triangles where it is not convex."""
    pieces: list[BaseGeometry] = []
    for one in getattr(region, "geoms", [region]):
        if one.is_empty:
            continue
        if one.convex_hull.area - one.area <= NOISE:
            pieces.append(one)
        else:
            pieces.extend(shapely.constrained_delaunay_triangles(one).geoms)
    return pieces
