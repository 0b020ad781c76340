"""Facing: straight cuts across the front, from outside to past the centre or into the bore."""

from __future__ import annotations

import math

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point
from dxf2turn.planning.links import rapids, route, surroundings
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.passes import RUN_IN, RUN_OUT
from dxf2turn.planning.sweep import after
from dxf2turn.planning.work import Work
from dxf2turn.shop.model import CuttingData, Tool

FAR = 1e4  # beyond any part, mm
CHIP = 0.002  # stock no thicker than this in front of the face is none, mm
ROUNDING = 1e-9  # share of a pass
OUTLINE = 0.01  # outlines of tools are flattened by less than this, mm


def face_moves(work: Work, tool: Tool, data: CuttingData, z_to: float = 0.0) -> tuple[Move, ...]:
    """Cuts of equal depth, none above `data.depth`, that leave a flat face at z = z_to.

    The centre of the nose goes to the axis, or past the edge of a bore. Empty when nothing stands in front
    of the face, or when the nose is not the foremost point of the tool.
    """
    foremost = tool.nose_centre.x - tool.nose_radius
    stands = _in_front(work.stock, z_to)
    if stands.is_empty or stands.bounds[2] - z_to <= CHIP:
        return ()
    if min(p.x for p in tool.outline) < foremost - OUTLINE:
        return ()
    high = stands.bounds[2] - z_to
    count = max(1, math.ceil(high / data.depth - ROUNDING))
    moves = (Move(MoveKind.RAPID, *work.tool_change),)
    for index in range(1, count + 1):
        level = z_to + high * (count - index) / count
        cut = _cut(work, tool, data, level - foremost, moves[-1].end)
        work = after(work, (moves[-1], *cut), tool)
        moves += cut
    back = route(surroundings(work, tool), moves[-1].end, work.tool_change)
    return (*moves, *rapids(back)) if back is not None and len(moves) > 1 else ()


def _in_front(stock: BaseGeometry, z: float) -> BaseGeometry:
    return shapely.intersection(stock, shapely.box(z, 0.0, FAR, FAR))


def _cut(work: Work, tool: Tool, data: CuttingData, z: float, here: Point) -> tuple[Move, ...]:
    """One pass with the controlled point at z; empty where nothing stands or no clear way leads there."""
    stands = _in_front(work.stock, z + tool.nose_centre.x - tool.nose_radius + CHIP)
    if stands.is_empty:
        return ()
    lowest = min(p.y for p in tool.outline)
    start = Point(z, stands.bounds[3] - lowest + RUN_IN)
    inner = stands.bounds[1]
    end = max(inner - RUN_OUT, 0.0) - tool.nose_centre.y
    link = route(surroundings(work, tool), here, start)
    if link is None:
        return ()
    return (*rapids(link), Move(MoveKind.FEED, z, end, feed=data.feed_mm_per_rev))
