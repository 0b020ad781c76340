"""Finishing of bores, the choice of bars, and what blades leave inside."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.segment import Segment
from dxf2turn.planning.bench import FAR, Bench, Choice, made_step
from dxf2turn.planning.cutting import Task, choose, data_of
from dxf2turn.planning.fits import cut_nearly, fits_here, measuring_step, semi_finished
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.operations.finish import finish_moves
from dxf2turn.planning.reach import TINY, by_reach
from dxf2turn.planning.rest import features_at, inside_rest, is_corner, opened, places
from dxf2turn.planning.roughness import finest
from dxf2turn.planning.targets import bore_goes_on, inside_target
from dxf2turn.planning.tool_space.sweep import after
from dxf2turn.planning.tools import boring_bars, unique
from dxf2turn.planning.work import Work
from dxf2turn.shop.model import Tool

WORTH_FINISHING = 0.01  # stock thicker than twice this over a surface is finished, mm
MOST_BARS = 3  # one after the other in one bore
TRIES = 16  # bars that are compared
MUCH = 0.3  # area that is worth more tries, mm2
SLIM_TRIES = 6  # and so many that get into the narrowest place
NARROWEST = 4.0  # where a place comes to the axis, bars for a bore of this radius are tried, mm
POINTED = math.radians(40.0)  # bars with a corner no larger than this get into places where others do not
FAR_EDGE = 3.0  # a broken edge at the far end of a bore is no longer than this, mm (judgement)

Target = tuple[Segment, ...]


def finish_bore(bench: Bench) -> Bench:
    """The bore to size; pointed bars only for what the others leave: their fine noses take less feed."""
    target = inside_target(bench.clamping)
    return finished(finished(bench, target, blunt), target)


def blunt(tool: Tool) -> bool:
    """Whether a bar is none for places that others do not get to."""
    return (tool.corner_angle or 0.0) > POINTED


def finished(bench: Bench, target: Target, wanted: Callable[[Tool], bool] | None = None) -> Bench:
    """The bore of a target to size, bar after bar while one cuts something; with the wanted bars only."""
    for _ in range(MOST_BARS if target else 0):
        done = _finish_once(bench, target, wanted)
        if done is bench:
            return bench
        bench = done
    return bench


def far_edge(bench: Bench) -> Bench:
    """The edge at the far end of a bore that no boring bar gets to: cut on the way back by a hook."""
    target = inside_target(bench.clamping)
    if not target:
        return bench
    edge = FAR_EDGE - bench.clamping.part.length
    work = bench.work(target)
    todo = tuple(p for p in to_bore(bench, work, WORTH_FINISHING) if p.bounds[2] < edge)
    hooks = boring_bars(bench.cell.shop, entry_radius(bench), edges=True)
    return _cut(bench, work, todo, by_reach(work, hooks, shapely.union_all(todo)), edge) if todo else bench


def _finish_once(bench: Bench, target: Target, wanted: Callable[[Tool], bool] | None) -> Bench:
    """Finished with the bar that leaves least, the stoutest of those; the same bench if none cuts."""
    work = bench.work(target)
    todo = to_bore(bench, work, WORTH_FINISHING)
    return _cut(bench, work, todo, _bars(bench, work, todo, wanted)) if todo else bench


def _cut(
    bench: Bench,
    work: Work,
    todo: tuple[Polygon, ...],
    ranked: Iterable[tuple[Tool, float]],
    high: float = FAR,
) -> Bench:
    """What is to do below z = high, with the first of ranked bars that cuts something of it."""
    region = shapely.union_all(todo)
    for tool, left in ranked:
        if region.area - left < TINY:
            return bench
        choice = choose(bench.cell, tool, _task(bench, region.bounds[3]))
        moves = finish_moves(work, tool, data_of(choice), "inside", (lowest_inside(bench), high))
        cut = cut_off(work, tool, moves)
        if cut.area > TINY:
            bench = _measured_before(bench, work, tool, choice) if high == FAR else bench
            return bench.with_step(bore_step(bench, "finish bore", tool, choice, moves, cut))
    return bench


def to_bore(bench: Bench, work: Work, worth: float) -> tuple[Polygon, ...]:
    """The places beside a target that hold a circle of the radius `worth`, sharp corners left out."""
    return tuple(p for p in places(_beside(work, bench), worth) if not is_corner(work.target, p))


def _bars(
    bench: Bench, work: Work, todo: tuple[Polygon, ...], wanted: Callable[[Tool], bool] | None
) -> Iterable[tuple[Tool, float]]:
    """Bars with what they leave: the stoutest that get in and those for the narrowest place.

    Where these leave much, one of each other size is tried as well.
    """
    region, narrow = shapely.union_all(todo), min(place.bounds[1] for place in todo)
    entry = entry_radius(bench)
    fitting = tuple(filter(wanted, boring_bars(bench.cell.shop, entry)))
    slim = tuple(t for t in fitting if (t.least_bore_mm or 0.0) <= 2.0 * max(narrow, NARROWEST))
    usual = (*fitting[:TRIES], *slim[:SLIM_TRIES])
    found = by_reach(work, unique(usual), region)
    best = next(found, None)
    if best is None:
        return ()
    if best[1] < MUCH:
        return itertools.chain((best,), found)
    others = {(t.bar_mm, t.holder_style): t for t in reversed(fitting)}
    return by_reach(work, unique((*usual, *reversed(others.values()))), region)


def cut_off(work: Work, tool: Tool, moves: tuple[Move, ...]) -> BaseGeometry:
    """What moves take off the stock."""
    return shapely.difference(work.stock, after(work, moves, tool).stock) if moves else Polygon()


def bore_step(
    bench: Bench,
    operation: str,
    tool: Tool,
    choice: Choice,
    moves: tuple[Move, ...],
    cut: BaseGeometry,
    side: str = "inside",
):  # noqa: ANN201
    """A step of boring, with the features of the bore that border what it cuts."""
    near = shapely.buffer(cut, boring_allowance(bench)[0] + 0.05)
    ids = features_at(bench.clamping.part, near, ("inside",))
    return made_step(operation, tool, choice, moves, side=side, passes=_passes(moves), features=ids)


def _measured_before(bench: Bench, work: Work, tool: Tool, choice: Choice) -> Bench:
    """The fine fits of the bore cut nearly to size, and the stop in which they are measured."""
    data, left = data_of(choice), bench.cell.practice.turning.leave_measuring_mm
    low = lowest_inside(bench)
    fits, moves = cut_nearly(
        fits_here(bench, "inside"),
        left,
        lambda fit: finish_moves(work, tool, data, "inside", (max(fit.low, low), fit.high), left),
    )
    if not moves:
        return bench
    step = made_step("finish bore", tool, choice, moves, side="inside", passes=len(fits))
    return bench.with_step(semi_finished(step, fits, left)).with_stop(measuring_step(fits, left))


def _task(bench: Bench, radius: float) -> Task:
    asked = finest(bench.clamping.part.features, ("inside",), bench.cell.practice.turning.usual_ra_um)
    return Task(operation="finish bore", radius=radius, depth=boring_allowance(bench)[0], ra_um=asked)


def boring_allowance(bench: Bench) -> tuple[float, float]:
    """What roughing leaves for finishing: on the radius and along the axis, mm."""
    practice = bench.cell.practice.boring
    return practice.leave_radius_mm, practice.leave_along_mm


def lowest_inside(bench: Bench) -> float:
    """z below which no bar goes: a little behind the part."""
    clamping = bench.clamping
    back = clamping.parting if clamping.parting is not None else -clamping.part.length
    return back - bore_goes_on(clamping.part)


def _beside(work: Work, bench: Bench) -> BaseGeometry:
    """Stock in the bore beside the boring target, down to where the part ends."""
    here = shapely.box(lowest_inside(bench), 0.0, FAR, FAR)
    inside = shapely.difference(work.stock, work.part)
    room = shapely.union(inside_rest(bench), shapely.box(-FAR, 0.0, FAR, entry_radius(bench)))
    near = shapely.intersection(shapely.intersection(inside, here), shapely.buffer(room, 0.01))
    return opened(near)


def entry_radius(bench: Bench) -> float:
    """Radius of the hole at the front of the stock; 0 when it is closed."""
    front = bench.stock.bounds[2]
    mouth = shapely.intersection(bench.stock, shapely.box(front - 0.5, 0.0, front, FAR))
    return float(mouth.bounds[1]) if not mouth.is_empty else 0.0


def _passes(moves: tuple[Move, ...]) -> int:
    starts = (a.kind is MoveKind.RAPID and b.kind is not MoveKind.RAPID for a, b in zip(moves, moves[1:]))
    return max(1, sum(starts))
