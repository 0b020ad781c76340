"""Reaming: one even cut through the drilled hole and out again at the feed."""

from __future__ import annotations

from dataclasses import replace

import shapely

from dxf2turn.planning.bench import FAR, Bench, made_step
from dxf2turn.planning.cutting import Task, choose
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.reamers import Reaming, reaming
from dxf2turn.planning.tool_space.links import approach, retract
from dxf2turn.planning.tool_space.sweep import after


def ream(bench: Bench) -> Bench:
    """The H7 hole that opens at the front, where it was drilled for its reamer."""
    found = reaming(bench)
    if found is None or not _is_drilled(bench, found):
        return bench
    tool = found.tool
    choice = choose(bench.cell, tool, Task(operation="reamer", radius=0.5 * (tool.diameter_mm or 0.0)))
    start = bench.stock.bounds[2] + bench.cell.clearance
    back = bench.cell.practice.reaming.back_feed_share
    cuts = (
        Move(MoveKind.RAPID, start, 0.0),
        Move(MoveKind.FEED, found.tip, 0.0, feed=choice.feed),
        Move(MoveKind.FEED, start, 0.0, feed=round(back * choice.feed, 4)),
    )
    work = bench.work(bench.clamping.part.segments)
    way_in = approach(work, tool, cuts[0].end)
    way_out = retract(after(work, cuts, tool), tool, cuts[-1].end)
    if way_in is None or way_out is None:
        return bench
    why = f"{tool.insert} is reamed: quicker than boring and to size; out at a feed, turning the same way"
    step = made_step(
        "finish bore", tool, replace(choice, why=f"{why}; {choice.why}"), (*way_in, *cuts[1:], *way_out),
        side="inside", features=(found.feature.id,),
    )  # fmt: skip
    return bench.with_step(step)


def _is_drilled(bench: Bench, found: Reaming) -> bool:
    """Whether the hole is open all along, with no more on its wall than a reamer takes."""
    feature = found.feature
    radius = 0.5 * feature.diameter_mm
    low, high = feature.z_back, feature.z_front
    within = shapely.intersection(bench.stock, shapely.box(low, 0.0, high, radius - 0.25))
    return bool(within.area < 0.01 * (high - low)) and bool(
        shapely.intersection(bench.stock, shapely.box(found.tip, 0.0, FAR, radius - 0.25)).area < 0.5
    )
