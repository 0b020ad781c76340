"""Grooves with steps or lips in them: pockets that are deep for their width but no single concave chain.

Seen from outside (or from the axis, in a bore) the surface falls behind one edge and comes back to its height
at another. When what lies between is deep for its width, no turning tool gets in, so it is one groove,
however its walls are stepped. Several plain grooves between two high flanks (multi-vee) stay several.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from dxf2turn.features.groove import find_grooves, groove_of
from dxf2turn.features.model import Groove
from dxf2turn.features.outline import Outline
from dxf2turn.features.pocket import OPENINGS, Pocket
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc


@dataclass(frozen=True, slots=True)
class _Valley:
    """Vertices a and b of a run: the surface between them lies lower. shoulder: as in `Pocket`."""

    owned: tuple[int, ...]
    start: Point
    end: Point
    shoulder: int


def find_compound_grooves(outline: Outline) -> Iterator[Groove]:
    """Stepped and undercut grooves, the widest first; none overlaps another."""
    plain = [set(groove.segments) for groove in find_grooves(outline)]
    taken: set[int] = set()
    for opens, run in _runs(outline):
        valleys = sorted(_valleys(outline, run, opens), key=lambda v: -abs(v.end.x - v.start.x))
        for valley in valleys:
            pocket = _pocket(outline, valley, opens)
            own = set(valley.owned)
            if pocket is None or len(own) < 2 or own & taken:
                continue
            nested = sum(1 for groove in plain if groove < own)
            if nested <= 1 and not any(own <= groove for groove in plain):
                taken |= own
                yield groove_of(outline, pocket)


def _runs(outline: Outline) -> Iterator[tuple[str, tuple[int, ...]]]:
    """Connected runs of outside and of inside segments with the direction in which they are open."""
    for role, opens in (("outside", "out"), ("inside", "in")):
        run: list[int] = []
        for index in outline.profile.run(role):
            if run and index != run[-1] + 1:
                yield opens, tuple(run)
                run = []
            run.append(index)
        if run:
            yield opens, tuple(run)


def _valleys(outline: Outline, run: tuple[int, ...], opens: str) -> Iterator[_Valley]:
    """From each edge behind which the surface falls to where it is that high again, and the mirror case."""
    sign = OPENINGS[opens].dy
    points = [outline.segment(run[0]).start, *(outline.segment(index).end for index in run)]
    heights = [sign * point.y for point in points]
    for a, b in _returns(heights):
        if b is not None:
            yield from _valley(outline, run, points, (a, b, 1), sign)
    count = len(heights) - 1
    for a, b in _returns(heights[::-1]):
        if b is not None:
            yield from _valley(outline, run, points, (count - b, count - a, -1), sign)


def _returns(heights: list[float]) -> list[tuple[int, int | None]]:
    """For each vertex behind which the surface falls, the next one at least as high. Linear: a stack."""
    found: list[tuple[int, int | None]] = []
    waiting: list[int] = []
    for index, height in enumerate(heights):
        while waiting and heights[waiting[-1]] <= height:
            start = waiting.pop()
            if start + 1 < index:
                found.append((start, index))
        waiting.append(index)
    return found


def _valley(
    outline: Outline,
    run: tuple[int, ...],
    points: list[Point],
    ends: tuple[int, int, int],
    sign: float,
) -> Iterator[_Valley]:
    """The valley between two vertices, cut off at the height of the lower one."""
    a, b, high_side = ends
    start, end = points[a], points[b]
    widest = outline.rules.inside_groove.width_per_diameter * 2.0 * max(start.y, end.y)
    if abs(start.x - end.x) > widest:
        return
    owned = run[a:b]
    if abs(start.y - end.y) <= outline.tolerances.gap:
        yield _Valley(owned, start, end, 0)
        return
    wall = outline.segment(owned[-1] if high_side > 0 else owned[0])
    level = start.y if high_side > 0 else end.y
    low, high = sorted((wall.start, wall.end), key=lambda point: sign * point.y)
    share = (level - low.y) / (high.y - low.y) if high.y != low.y else 0.0
    crossing = low.towards(high, share)
    if isinstance(wall, Arc):
        return
    owned = owned[:-1] if high_side > 0 else owned[1:]
    yield _Valley(owned, *((start, crossing) if high_side > 0 else (crossing, end)), high_side)


def _pocket(outline: Outline, valley: _Valley, opens: str) -> Pocket | None:
    """The valley as a pocket when it is deep for its width and narrow for the part."""
    up = OPENINGS[opens]
    width = (valley.end - valley.start).dot(up.left)
    if width <= outline.tolerances.gap:
        return None
    points = [valley.start, *(outline.segment(index).end for index in valley.owned), valley.end]
    area = 0.5 * abs(sum(p.x * q.y - q.x * p.y for p, q in zip(points, points[1:] + points[:1])))
    rules = outline.rules
    share = rules.inside_groove if opens == "in" else rules.outside_groove
    diameter = 2.0 * max(valley.start.y, valley.end.y)
    if width * width > rules.compound * area or width > share.width_per_diameter * diameter:
        return None
    level = min(up.dy * valley.start.y, up.dy * valley.end.y)
    depth = level - min(up.dy * point.y for point in points)
    return Pocket(valley.owned, valley.owned, opens, valley.start, valley.end, depth, valley.shoulder)
