"""Two questions that operations ask about their own moves."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.planning.model import Move
from dxf2turn.planning.tool_space.sweep import (
    TOUCH,
    after,
    cutting_shapes,
    folded,
    holder_meets,
    holder_shapes,
    hulls,
    near_hulls,
    track,
    whole_shapes,
)
from dxf2turn.planning.work import Work
from dxf2turn.shop.model import Tool

NOISE = 1e-6  # areas smaller than this are rounding, mm2


def cut_away(work: Work, stock: BaseGeometry, tool: Tool, moves: Sequence[Move]) -> BaseGeometry:
    """The stock after the feed moves of a tool; the first move states the start."""
    return after(work.with_stock(stock), moves, tool).stock


def touches(stock: BaseGeometry, tool: Tool, before: Move, move: Move) -> bool:
    """Whether a straight move of a tool, holder included, would go through stock (sliding is allowed)."""
    way = track(before, move)
    return any(
        shapely.intersection(folded(hull), stock).area > NOISE
        for hull in near_hulls(way, whole_shapes(tool, -TOUCH), stock)
    )


def holder_hits(stock: BaseGeometry, tool: Tool, moves: Sequence[Move]) -> bool:
    """Whether the holder of a blade would touch stock on the way; the first move states the start.

    What the cutting part takes as well may be gone when the holder comes, or not: a bar beside its blade
    goes first where it moves out of the bore. So the moves are followed one by one then.
    """
    holder, cutting = holder_shapes(tool, -TOUCH), cutting_shapes(tool)
    ways = [track(before, move) for before, move in zip(moves, moves[1:])]
    swept = [hull for way in ways for hull in near_hulls(way, holder, stock)]
    if not swept:
        return False
    near = shapely.intersection(stock, folded(shapely.union_all(swept)))
    if near.is_empty or near.area <= NOISE:
        return False
    cut = folded(shapely.union_all([hull for way in ways for hull in hulls(way, cutting)]))
    if shapely.difference(near, cut).area > NOISE:
        return True
    return holder_meets(tool, np.concatenate(ways), stock)
