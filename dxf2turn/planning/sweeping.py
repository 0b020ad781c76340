"""Two questions that operations ask about their own moves."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.planning.model import Move
from dxf2turn.planning.sweep import TOUCH, after, folded, holder_meets, hulls, track, whole_shapes
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
        for hull in hulls(way, whole_shapes(tool, -TOUCH))
    )


def holder_hits(stock: BaseGeometry, tool: Tool, moves: Sequence[Move]) -> bool:
    """Whether the holder would touch stock on the way of the moves; the first one states the start."""
    ways = [track(before, move) for before, move in zip(moves, moves[1:])]
    return holder_meets(tool, np.concatenate(ways), stock) if ways else False
