"""Comparing tools by what their shape leaves, before any moves are made."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.planning.rest import opened
from dxf2turn.planning.space import tool_space, unreached
from dxf2turn.planning.sweep import areas
from dxf2turn.planning.work import Work
from dxf2turn.shop.model import Tool

TINY = 0.02  # a tool that leaves this much less than another is the better one, mm2


def left_by(work: Work, tool: Tool, todo: BaseGeometry) -> float:
    """Area of `todo` that the shape of a tool, holder included, can't get to, mm2."""
    beyond = unreached(tool_space(work, tool), work.stock)
    return float(opened(areas(shapely.intersection(beyond, todo))).area)


def by_reach(work: Work, tools: Iterable[Tool], todo: BaseGeometry) -> Iterator[tuple[Tool, float]]:
    """Tools with what they leave, the one that leaves least first; among equals the order given.

    A tool that leaves nothing ends the search: those behind it are worse ones.
    """
    scored: list[tuple[float, int, Tool]] = []
    for rank, tool in enumerate(tools):
        left = left_by(work, tool, todo)
        scored.append((round(left / TINY) * TINY, rank, tool))
        if left < TINY:
            break
    for left, _, tool in sorted(scored, key=lambda entry: entry[:2]):
        yield tool, left
