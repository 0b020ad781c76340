"""Roughing and finishing of bores."""

from __future__ import annotations

import itertools
from collections.abc import Iterable

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.planning.bench import FAR, Bench, Choice, made_step
from dxf2turn.planning.cutting import Task, choose, data_of
from dxf2turn.planning.fits import cut_nearly, fits_here, measuring_step, semi_finished
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.operations.finish import finish_moves
from dxf2turn.planning.operations.rough import rough_moves
from dxf2turn.planning.reach import TINY, by_reach
from dxf2turn.planning.rest import features_at, inside_rest, is_corner, opened, places
from dxf2turn.planning.roughness import finest
from dxf2turn.planning.sweep import after
from dxf2turn.planning.targets import bore_goes_on, inside_target
from dxf2turn.planning.tools import boring_bars, unique
from dxf2turn.planning.work import Work
from dxf2turn.shop.model import Tool

WORTH_ROUGHING = 0.3  # a circle of this radius fits into what is worth a roughing step, mm
WORTH_FINISHING = 0.01  # stock thicker than twice this over a surface is finished, mm
MOST_BARS = 3  # one after the other in one bore
TRIES = 16  # bars that are compared
MUCH = 0.3  # area that is worth more tries, mm2
SLIM_TRIES = 6  # and so many that get into the narrowest place


def rough_bore(bench: Bench) -> Bench:
    """The bore down to the finishing allowance; a stouter bar goes on where the first has made room."""
    return _with_bars(bench, "bore", WORTH_ROUGHING + _allowance(bench)[0])


def finish_bore(bench: Bench) -> Bench:
    """The bore to size, with more than one bar where one leaves something that another reaches."""
    return _with_bars(bench, "finish bore", WORTH_FINISHING)


def _with_bars(bench: Bench, operation: str, worth: float) -> Bench:
    for _ in range(MOST_BARS):
        done = _best_bar(bench, operation, worth)
        if done is bench:
            return bench
        bench = done
    return bench


def _best_bar(bench: Bench, operation: str, worth: float) -> Bench:
    """The step with the bar that leaves least, the stoutest of those; the same bench if none cuts."""
    target = inside_target(bench.clamping)
    if not target:
        return bench
    work = bench.work(target)
    todo = tuple(p for p in places(_beside(work, bench), worth) if not is_corner(target, p))
    if not todo:
        return bench
    region = shapely.union_all(todo)
    for tool, left in _bars(bench, work, min(place.bounds[1] for place in todo), region):
        if region.area - left < TINY:
            return bench
        choice = choose(bench.cell, tool, _task(bench, operation, region.bounds[3]))
        moves = _moves(work, tool, choice, operation, bench)
        cut = shapely.difference(work.stock, after(work, moves, tool).stock) if moves else shapely.Polygon()
        if cut.area > (WORTH_ROUGHING if operation == "bore" else TINY):
            near = shapely.buffer(cut, _allowance(bench)[0] + 0.05)
            ids = features_at(bench.clamping.part, near, ("inside",))
            if operation == "finish bore":
                bench = _measured_before(bench, work, tool, choice)
            step = made_step(
                operation, tool, choice, moves, side="inside", passes=_passes(moves), features=ids
            )
            return bench.with_step(step)
    return bench


def _bars(bench: Bench, work: Work, narrow: float, region: BaseGeometry) -> Iterable[tuple[Tool, float]]:
    """Bars with what they leave: the stoutest that get in and those for the narrowest place.

    Where these leave much, one of each other size is tried as well.
    """
    entry = entry_radius(bench)
    fitting = boring_bars(bench.cell.shop, entry)
    usual = (*fitting[:TRIES], *boring_bars(bench.cell.shop, min(entry, narrow))[:SLIM_TRIES])
    found = by_reach(work, unique(usual), region)
    best = next(found, None)
    if best is None:
        return ()
    if best[1] < MUCH:
        return itertools.chain((best,), found)
    others = {(t.bar_mm, t.holder_style): t for t in reversed(fitting)}
    return by_reach(work, unique((*usual, *reversed(others.values()))), region)


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


def _moves(work: Work, tool: Tool, choice: Choice, operation: str, bench: Bench) -> tuple[Move, ...]:
    z_range = (lowest_inside(bench), FAR)
    if operation == "bore":
        return rough_moves(work, tool, data_of(choice), _allowance(bench), "inside", z_range)
    return finish_moves(work, tool, data_of(choice), "inside", z_range)


def _task(bench: Bench, operation: str, radius: float) -> Task:
    if operation == "bore":
        return Task(operation=operation, radius=radius)
    asked = finest(bench.clamping.part.features, ("inside",), bench.cell.practice.turning.usual_ra_um)
    return Task(operation=operation, radius=radius, depth=_allowance(bench)[0], ra_um=asked)


def _allowance(bench: Bench) -> tuple[float, float]:
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
