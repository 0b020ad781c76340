"""Comparing tools by what their shape leaves, before any moves are made."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator
from functools import lru_cache

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from dxf2turn.planning.rest import opened
from dxf2turn.planning.tool_space.space import tool_space, unreached
from dxf2turn.planning.tool_space.sweep import areas
from dxf2turn.planning.work import Work
from dxf2turn.shop.model import Tool

TINY = 0.02  # a tool that leaves this much less than another is the better one, mm2
FINER = 0.002  # what a nose leaves at least is judged with a nose so much finer, for rounding, mm
ROUND = 64  # chords of a quarter circle about that nose
FIRST = -1  # rank of what may turn out to leave nothing


def left_by(work: Work, tool: Tool, todo: BaseGeometry) -> float:
    """Area of `todo` that the shape of a tool, holder included, can't get to, mm2."""
    beyond = unreached(tool_space(work, tool), work.stock)
    return float(opened(areas(shapely.intersection(beyond, todo))).area)


def by_reach(work: Work, tools: Iterable[Tool], todo: BaseGeometry) -> Iterator[tuple[Tool, float]]:
    """Tools with what they leave in steps of TINY, least first; among equals the order given.

    A tool that leaves nothing ends the search: those behind it are worse ones. What a nose leaves in any
    case is soon known, so a tool is looked at closely only when no better one can be left.
    """
    crib = tuple(tools)
    least = {nose: least_left(work, nose, todo) for nose in {tool.nose_radius for tool in crib}}
    leaves = (least[tool.nose_radius] for tool in crib)
    waiting = [(FIRST if left < TINY else _steps(left), rank) for rank, left in enumerate(leaves)]
    heapq.heapify(waiting)
    known: dict[int, float] = {}
    last = len(crib)
    while waiting:
        _, rank = heapq.heappop(waiting)
        if rank > last:
            continue
        if rank in known:
            yield crib[rank], TINY * _steps(known[rank])
            continue
        known[rank] = left_by(work, crib[rank], todo)
        last = rank if known[rank] < TINY else last
        heapq.heappush(waiting, (_steps(known[rank]), rank))


def least_left(work: Work, nose: float, todo: BaseGeometry) -> float:
    """Area of `todo` that no tool with a nose can get to, mm2: it is round, and keeps out of the part."""
    return float(opened(areas(shapely.intersection(todo, _beyond_nose(work.part, nose)))).area)


@lru_cache(maxsize=32)
def _beyond_nose(part: Polygon, nose: float) -> BaseGeometry:
    """The hollows of a part that a circle can't fill: what closing the part with it adds."""
    radius = max(0.0, nose - FINER)
    closed = shapely.buffer(shapely.buffer(part, radius, quad_segs=ROUND), -radius, quad_segs=ROUND)
    return shapely.difference(closed, part)


def _steps(left: float) -> int:
    """An area in steps of TINY."""
    return round(left / TINY)
