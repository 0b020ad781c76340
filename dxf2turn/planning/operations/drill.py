"""Drilling on the axis: pecks that clear the chips, the first one deepest."""

from __future__ import annotations

from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.shop.model import Tool
from dxf2turn.shop.practice import DrillingPractice

SHORT = 0.5  # the drill comes back to so far above the bottom of the hole, mm


def drill_cuts(
    tool: Tool, front: float, tip: float, feed: float, practice: DrillingPractice, clearance: float
) -> tuple[Move, ...]:
    """From in front of the work to the bottom and back out; the first move states where the cut starts.

    front: z of the tip where the drill meets the stock; tip: z of it at the bottom; feed mm/rev. Between two
    pecks the drill comes out of its hole altogether.
    """
    start = front + clearance
    diameter = tool.diameter_mm or 0.0
    moves = [Move(MoveKind.RAPID, start, 0.0)]
    reached = front
    for depth in peck_depths(front - tip, diameter, practice):
        if reached < front:
            moves += [Move(MoveKind.RAPID, start, 0.0), Move(MoveKind.RAPID, reached + SHORT, 0.0)]
        reached = front - depth
        moves.append(Move(MoveKind.FEED, reached, 0.0, feed=feed))
    moves.append(Move(MoveKind.RAPID, start, 0.0))
    return tuple(moves)


def peck_depths(depth: float, diameter: float, practice: DrillingPractice) -> tuple[float, ...]:
    """Depth after each peck, mm: 3 diameters at once, then one diameter at a time, as the shop is used to.

    >>> from types import SimpleNamespace
    >>> usual = SimpleNamespace(first_diameters=3.0, later_diameters=1.0)
    >>> peck_depths(25.0, 10.0, usual), peck_depths(50.0, 10.0, usual)
    ((25.0,), (30.0, 40.0, 50.0))
    """
    done = [min(depth, practice.first_diameters * diameter)]
    while done[-1] < depth - SHORT:
        done.append(min(depth, done[-1] + practice.later_diameters * diameter))
    done[-1] = depth
    return tuple(done)
