"""What moves cut, as polygons: the planner's own bookkeeping of the stock."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import flatten_segment
from dxf2turn.geometry.segment import Arc
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.work import SAGITTA
from dxf2turn.shop.model import Tool

TOUCH = 1e-4  # overlaps thinner than this are rounding, mm
NOISE = 1e-6  # areas smaller than this are rounding, mm2


def swept_by(
    moves: Sequence[Move], polygons: Iterable[Sequence[Point]], kinds: Iterable[MoveKind]
) -> BaseGeometry:
    """Region that convex polygons sweep along the moves of these kinds (the first move is the start)."""
    wanted = set(kinds)
    hulls = []
    shapes = [np.asarray(polygon, dtype=float) for polygon in polygons]
    for before, move in zip(moves, moves[1:]):
        if move.kind not in wanted:
            continue
        points = np.asarray(_way(before, move))
        for shape in shapes:
            pairs = np.concatenate([points[:-1, None, :] + shape, points[1:, None, :] + shape], axis=1)
            hulls.extend(shapely.convex_hull(shapely.multipoints(list(pairs))))
    return shapely.union_all(hulls)


def _way(before: Move, move: Move) -> list[Point]:
    start, end = Point(before.z, before.r), Point(move.z, move.r)
    if move.kind is not MoveKind.ARC or move.centre is None:
        return [start, end]
    return flatten_segment(Arc(start, end, move.centre, move.clockwise), SAGITTA)


CUTTING = (MoveKind.FEED, MoveKind.ARC)


def cut_away(stock: BaseGeometry, tool: Tool, moves: Sequence[Move]) -> BaseGeometry:
    """The stock after the cuts of a tool."""
    region = swept_by(moves, [tool.outline], CUTTING)
    return areas(shapely.difference(stock, region))


def touches(stock: BaseGeometry, tool: Tool, before: Move, move: Move) -> bool:
    """Whether a move of a tool, holder included, would go through stock."""
    polygons = [tool.outline, *tool.holder]
    region = swept_by((before, move), polygons, (move.kind,)).buffer(-TOUCH)
    return shapely.intersection(stock, region).area > NOISE


def areas(region: BaseGeometry) -> BaseGeometry:
    """Only the polygons of a region."""
    if region.geom_type in ("Polygon", "MultiPolygon"):
        return region
    return shapely.union_all([g for g in getattr(region, "geoms", ()) if g.area > 0.0])
