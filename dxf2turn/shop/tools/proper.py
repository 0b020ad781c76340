"""The last look at a tool: do its numbers make a shape that holds together?"""

from __future__ import annotations

import math
from collections.abc import Sequence

from dxf2turn.geometry.point import Point
from dxf2turn.shop.model import Tool

LEAST_AREA = 1e-4  # a polygon below this is no body, mm2
TURN_SLACK = 1e-6  # turns of a convex polygon add up to a full one within this, radians
BENT = 1e-9  # a corner that turns back by less than this is straight, radians


def proper(tool: Tool) -> Tool:
    """The tool itself. Raises ValueError with a sentence for people when its shape makes no sense."""
    if tool.point_length >= (tool.reach or math.inf):
        raise ValueError("the point is longer than the tool: make reach_mm larger")
    pieces = [("cutting part", tool.outline), *(("holder", piece) for piece in tool.holder)]
    for what, piece in pieces:
        if len(piece) < 3 or _area(piece) < LEAST_AREA:
            raise ValueError(f"its sizes do not go together: the {what} has no area")
        # A centre drill is the one tool that is not convex; its builder checks its sizes.
        if tool.kind != "centre drill" and not _is_convex(piece):
            raise ValueError(f"its sizes do not go together: the {what} is folded over itself")
    return tool


def _area(polygon: Sequence[Point]) -> float:
    """Positive when counter-clockwise."""
    return 0.5 * math.fsum(a.x * b.y - b.x * a.y for a, b in zip(polygon, (*polygon[1:], polygon[0])))


def _is_convex(polygon: Sequence[Point]) -> bool:
    """Never turns right, and turns once around in all."""
    sides = [b - a for a, b in zip(polygon, (*polygon[1:], polygon[0]))]
    turns = [math.atan2(a.cross(b), a.dot(b)) for a, b in zip(sides, (*sides[1:], sides[0]))]
    return min(turns) >= -BENT and abs(math.fsum(turns) - 2.0 * math.pi) <= TURN_SLACK
