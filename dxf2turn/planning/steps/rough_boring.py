"""Roughing of bores: lengthwise, or across the axis in front of a floor, zone by zone the quicker way."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

import shapely
from shapely import Polygon

from dxf2turn.planning.bench import FAR, Bench
from dxf2turn.planning.cutting import Task, choose, data_of
from dxf2turn.planning.operations.rough import rough_face_moves, rough_moves
from dxf2turn.planning.rest import inside_rest, is_corner, places
from dxf2turn.planning.steps.boring import (
    MOST_BARS,
    WORTH_FINISHING,
    Target,
    bore_step,
    boring_allowance,
    cut_off,
    entry_radius,
    finished,
    lowest_inside,
    to_bore,
)
from dxf2turn.planning.targets import inside_target
from dxf2turn.planning.tool_space.space import tool_space, unreached
from dxf2turn.planning.tools import boring_bars
from dxf2turn.shop.model import Tool

WORTH_ROUGHING = 0.3  # a circle of this radius fits into what is worth a roughing step, mm
LEVEL = 1e-6  # pieces whose ends lie closer than this along z stand upright, mm
TRIES = 10  # bars that are looked at before the best of them is taken
MUCH = 1.0  # mm2: what one way leaves more than another is worth more than any time


def rough_bore(bench: Bench) -> Bench:
    """The bore down to the finishing allowance; a stouter bar goes on where the first has made room."""
    return roughed(bench, inside_target(bench.clamping))


def bore_rest(bench: Bench) -> Bench:
    """What blades have left in grooves and recesses of the bore, where a pointed bar gets further."""
    target = bench.clamping.part.segments
    left = places(inside_rest(bench), WORTH_FINISHING)
    if all(is_corner(target, place) for place in left):
        return bench
    return finished(roughed(bench, target), target)


def roughed(bench: Bench, target: Target) -> Bench:
    """The bore of a target roughed, bar after bar while one cuts something worthwhile."""
    for _ in range(MOST_BARS if target else 0):
        done = _rough_once(bench, target)
        if done is bench:
            return bench
        bench = done
    return bench


def _rough_once(bench: Bench, target: Target) -> Bench:
    """Roughed with the bar that leaves least, the stoutest of those; the same bench if none cuts."""
    todo = _todo(bench, target)
    for tool in _bars(bench, target, todo):
        done = min(_ways(bench, target, tool, todo), key=lambda way: _cost(way, target))
        if done is not bench:
            return done
    return bench


def _bars(bench: Bench, target: Target, todo: tuple[Polygon, ...]) -> Iterator[Tool]:
    """Bars that get at something, those first that leave no place worth roughing, of these the quickest."""
    work, region = bench.work(target), shapely.union_all(todo)
    ranked: list[tuple[float, int, Tool]] = []
    fitting = boring_bars(bench.cell.shop, entry_radius(bench)) if todo else ()
    quickest = sorted(fitting, key=lambda tool: -_rate(bench, tool, todo))
    kinds = {(t.bar_mm, t.holder_style, t.overhang): t for t in reversed(quickest)}
    for rank, tool in enumerate(reversed(kinds.values())):
        beyond = shapely.intersection(unreached(tool_space(work, tool), work.stock), region)
        left = sum(place.area for place in places(beyond, WORTH_ROUGHING))
        if region.area - left > WORTH_ROUGHING:
            ranked.append((round(left / MUCH), rank, tool))
        if left < MUCH or rank >= TRIES and ranked:
            break
    yield from (tool for _, _, tool in sorted(ranked, key=lambda entry: entry[:2]))


def _rate(bench: Bench, tool: Tool, todo: tuple[Polygon, ...]) -> float:
    """How fast a bar removes material here: depth times feed times speed."""
    choice = choose(bench.cell, tool, _task(todo))
    return choice.depth * choice.feed * choice.spindle.value


def _todo(bench: Bench, target: Target) -> tuple[Polygon, ...]:
    return to_bore(bench, bench.work(target), WORTH_ROUGHING + boring_allowance(bench)[0])


def _cost(way: Bench, target: Target) -> tuple[int, float]:
    """What a way leaves to be roughed comes first, then its time."""
    return round(sum(place.area for place in _todo(way, target)) / MUCH), way.busy_s


def _ways(bench: Bench, target: Target, tool: Tool, todo: tuple[Polygon, ...]) -> Iterator[Bench]:
    """Lengthwise; and, where that may save travel or has left something, also across in front of a floor.

    What a drill's cone keeps a bar from lengthwise is cleared across, from the cone outwards.
    """
    along = _with_bar(bench, target, tool)
    yield along
    choice = choose(bench.cell, tool, _task(todo))
    left = round(sum(place.area for place in _todo(along, target)) / MUCH) > 0
    floors = sorted(_floors(bench, target, choice.depth, todo), reverse=True)
    for gain, z in floors[: None if left else 1]:
        if left or gain > 0.0:
            across = _with_bar(bench, target, tool, z)
            yield across
            yield _with_bar(across, target, tool)
        if left:
            yield _with_bar(along, target, tool, z)


def _floors(
    bench: Bench, target: Target, depth: float, todo: tuple[Polygon, ...]
) -> Iterator[tuple[float, float]]:
    """(travel that passes across save, z) of the floors that look to the front.

    Passes along a zone of length l and height h travel ceil(h / depth) l and once along its wall; passes
    across travel ceil(l / depth) h and once along its floor.
    """
    front = bench.stock.bounds[2]
    region = shapely.union_all(todo)
    for floor, wall in pairwise((*target, target[0])):
        z, upright = floor.start.x, abs(floor.end.x - floor.start.x) < LEVEL
        if not upright or floor.end.y - floor.start.y < depth or wall.end.x < z:
            continue
        zone = shapely.intersection(region, shapely.box(z - LEVEL, 0.0, FAR, FAR))
        if zone.is_empty:
            continue
        length, height = min(front, zone.bounds[2]) - z, floor.end.y - zone.bounds[1]
        along = math.ceil(height / depth) * length + height
        yield along - math.ceil(length / depth) * height - length, z


def _with_bar(bench: Bench, target: Target, tool: Tool, floor: float | None = None) -> Bench:
    """Roughed with one bar, lengthwise or across in front of a floor at z; the same if it cuts nothing."""
    todo = _todo(bench, target)
    if not todo:
        return bench
    work, leave = bench.work(target), boring_allowance(bench)
    choice = choose(bench.cell, tool, _task(todo))
    if floor is None:
        moves = rough_moves(work, tool, data_of(choice), leave, "inside", (lowest_inside(bench), FAR))
    else:
        moves = rough_face_moves(work, tool, data_of(choice), leave, "inside", (floor, FAR))
    cut = cut_off(work, tool, moves)
    if cut.area <= WORTH_ROUGHING:
        return bench
    side = "inside" if floor is None else "face"
    return bench.with_step(bore_step(bench, "bore", tool, choice, moves, cut, side))


def _task(todo: tuple[Polygon, ...]) -> Task:
    return Task(operation="bore", radius=max(place.bounds[3] for place in todo))
