"""Facing: straight cuts across the front, from outside to past the centre or into the bore."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.tool_space.links import linked, surroundings
from dxf2turn.planning.tool_space.passes import RUN_OUT
from dxf2turn.planning.tool_space.space import FAR, PAST_CENTRE
from dxf2turn.planning.tool_space.sweep import cut_by, holder_meets
from dxf2turn.planning.work import Work
from dxf2turn.shop.model import CuttingData, Tool

THICKEST = 8.0  # more than any facing cut, mm
LAYERS = 80  # thicknesses that are tried
RUN_IN = 1.1  # feed through air before raw stock, in clearances
CHIP = 0.002  # stock no thicker than this in front of the face is none, mm
ROUNDING = 1e-9  # share of a pass
OUTLINE = 0.01  # outlines of tools are flattened by less than this, mm


def face_moves(work: Work, tool: Tool, data: CuttingData, z_to: float = 0.0) -> tuple[Move, ...]:
    """Cuts of equal depth, none above `data.depth`, that leave a flat face at z = z_to.

    The centre of the nose goes to the axis, or past the edge of a bore; towards the axis the cuts are no
    deeper than the trailing edge clears, so that no pin is left there. Empty when nothing stands in front
    of the face, when the nose is not the foremost point of the tool, or when its holder would touch.
    """
    foremost = tool.nose_centre.x - tool.nose_radius
    stands = _in_front(work.stock, z_to)
    if stands.is_empty or stands.bounds[2] - z_to <= CHIP:
        return ()
    if min(p.x for p in tool.outline) < foremost - OUTLINE:
        return ()
    high = stands.bounds[2] - z_to
    depth = min(data.depth, _clean_depth(tool)) if stands.bounds[1] < RUN_OUT else data.depth
    count = max(1, math.ceil(high / depth - ROUNDING))
    moves: tuple[Move, ...] = (Move(MoveKind.RAPID, *work.tool_change),)
    for index in range(1, count + 1):
        level = z_to + high * (count - index) / count
        if _in_front(work.stock, level + CHIP).is_empty:
            continue
        cut = _cut(work, tool, data, (level - foremost, high / count), moves)
        if not cut:
            return ()
        work = cut_by(work, (moves[-1], *cut), tool)
        moves += cut
    back = linked(surroundings(work, tool), moves, work.tool_change)
    return (*moves, *back) if back is not None else ()


def _in_front(stock: BaseGeometry, z: float) -> BaseGeometry:
    return shapely.intersection(stock, shapely.box(z, 0.0, FAR, FAR))


def _cut(
    work: Work, tool: Tool, data: CuttingData, layer: tuple[float, float], done: Sequence[Move]
) -> tuple[Move, ...]:
    """One pass with layer = (z of the controlled point, thickness); empty where no clear way leads there or
    the holder would touch."""
    z, thickness = layer
    stands = _in_front(work.stock, z + tool.nose_centre.x - tool.nose_radius + CHIP)
    lowest = min(p.y for p in tool.outline)
    start = Point(z, stands.bounds[3] - lowest + RUN_IN * work.clearance)
    below = max(tool.nose_centre.y, _edge_height(tool, thickness))
    end = max(stands.bounds[1] - RUN_OUT, 0.0) - below
    end = max(end, -tool.nose_centre.y - PAST_CENTRE)
    link = linked(surroundings(work, tool), done, start)
    if link is None:
        return ()
    if holder_meets(tool, np.asarray([start, (z, end)]), work.stock):
        return ()
    return (*link, Move(MoveKind.FEED, z, end, feed=data.feed_mm_per_rev))


def _edge_height(tool: Tool, thickness: float) -> float:
    """Height (r) of the lower edge of the tool, this far behind its foremost point."""
    z = tool.nose_centre.x - tool.nose_radius + thickness
    across = shapely.intersection(shapely.Polygon(tool.outline), shapely.LineString([(z, -FAR), (z, FAR)]))
    return FAR if across.is_empty else float(across.bounds[1])


def _clean_depth(tool: Tool) -> float:
    """The thickest layer of which a cut past the centre leaves no pin in front of the trailing edge."""
    allowed = tool.nose_centre.y + PAST_CENTRE
    layers = np.arange(1, LAYERS + 1) * (THICKEST / LAYERS)
    clean = [float(h) for h in layers if _edge_height(tool, float(h)) <= allowed]
    return max(clean, default=tool.nose_radius)
