"""At which heights to take roughing passes: deep ones, few, and none that only rubs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

STEPS = 160  # heights that are tried between top and bottom
RUBBING = 0.2  # a cut thinner than this share of the depth rubs
RUBBING_COST = 2.0  # travel that a rubbing cut counts for, per mm of its length
PASS_COST = 3.0  # travel that a pass costs beside its length (approach, wall, retract), mm
EVEN_COST = 0.01  # preference for equal depths, share of a pass
ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Floor:
    """A level stretch at the bottom of what is to be cut: its height and length, mm."""

    height: float
    length: float


def levels(
    top: float, bottom: float, depth: float, floors: Sequence[Floor], width: Callable[[float], float]
) -> tuple[float, ...]:
    """Heights of the passes, from the first below `top` to `bottom`, no further apart than `depth`.

    width(height): length of a pass just below that height. The cheapest sequence by dynamic programming:
    a pass costs its length, and a floor that it cuts thinner than `RUBBING` counts again.
    """
    if top - bottom <= ROUNDING:
        return ()
    inner = [floor.height for floor in floors if bottom < floor.height < top]
    heights = np.unique(
        np.concatenate([np.linspace(bottom, top, STEPS + 1), inner, _even(top, bottom, depth)])
    )
    heights = heights[::-1]
    widths = np.array([width(float(height)) for height in heights])
    best = np.full(len(heights), np.inf)
    best[0], before = 0.0, np.zeros(len(heights), dtype=int)
    for i in range(1, len(heights)):
        gaps = heights[:i] - heights[i]
        cost = best[:i] + widths[:i] * (1.0 + EVEN_COST * (gaps / depth) ** 2) + PASS_COST
        cost += _rubbing(heights[:i], float(heights[i]), depth, floors)
        cost[gaps > depth + ROUNDING] = np.inf
        before[i] = int(np.argmin(cost))
        best[i] = cost[before[i]]
    return _back(heights, before)


def _even(top: float, bottom: float, depth: float) -> np.ndarray:
    count = int(np.ceil((top - bottom) / depth - ROUNDING))
    return np.linspace(bottom, top, count + 1)


def _rubbing(starts: np.ndarray, level: float, depth: float, floors: Sequence[Floor]) -> np.ndarray:
    """Cost of the floors that a pass from each start down to `level` cuts too thin."""
    cost = np.zeros(len(starts))
    for floor in floors:
        if floor.height >= level - ROUNDING:
            thickness = starts - floor.height
            thin = (thickness > ROUNDING) & (thickness < RUBBING * depth)
            cost += np.where(thin, RUBBING_COST * floor.length, 0.0)
    return cost


def _back(heights: np.ndarray, before: np.ndarray) -> tuple[float, ...]:
    found: list[float] = []
    i = len(heights) - 1
    while i > 0:
        found.append(float(heights[i]))
        i = int(before[i])
    return tuple(reversed(found))
