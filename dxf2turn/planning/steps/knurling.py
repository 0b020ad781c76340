"""Knurling: the wheel is pressed in at the front of the zone and fed along it."""

from __future__ import annotations

from dataclasses import replace

from dxf2turn.features.model import Knurl
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.planning.bench import Bench, made_step
from dxf2turn.planning.cutting import Task, choose
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.tool_space.links import approach, retract
from dxf2turn.shop.choice import knurl_wheels
from dxf2turn.shop.model import Shop, Tool
from dxf2turn.shop.practice import KnurlingPractice
from dxf2turn.units import plain_text

SAME_PITCH = 0.01  # mm


def knurls(bench: Bench) -> Bench:
    """All knurls in front of where this setup stops."""
    low = bench.clamping.finished_to - bench.cell.clearance
    for feature in bench.clamping.part.features:
        if isinstance(feature, Knurl) and feature.id not in bench.made and feature.z_back >= low:
            bench = _knurled(bench, feature)
    return bench


def _knurled(bench: Bench, knurl: Knurl) -> Bench:
    tool = _wheel(bench.cell.shop, knurl)
    if tool is None:
        return bench.with_failure(knurl.id, _no_wheel(knurl))
    radius = knurl.r_large
    practice = bench.cell.practice.knurling
    depth = practice.depth_share * knurl.pitch
    choice = choose(bench.cell, tool, Task(operation="knurl", radius=radius, depth=depth))
    cuts = knurl_cuts(tool, knurl, choice.feed, practice, bench.cell.clearance)
    work = bench.work(bench.clamping.part.segments)
    way_in, way_out = approach(work, tool, cuts[0].end), retract(work, tool, cuts[-1].end)
    if way_in is None or way_out is None:
        return bench.with_failure(knurl.id, _no_wheel(knurl))
    pressed = f"pressed in {plain_text(practice.depth_share)} pitches"
    why = f"{knurl.form} {plain_text(knurl.pitch)}: {pressed}; {choice.why}"
    moves = (*way_in, *cuts[1:], *way_out)
    step = made_step("knurl", tool, replace(choice, why=why), moves, features=(knurl.id,))
    return bench.with_step(step, cuts_stock=False)


def knurl_cuts(
    tool: Tool, knurl: Knurl, feed: float, practice: KnurlingPractice, clearance: float
) -> tuple[Move, ...]:
    """Pressed in at the front of the zone, fed to its back, lifted; the first move states the start."""
    low, high = min(p.x for p in tool.outline), max(p.x for p in tool.outline)
    start = max(knurl.z_front - high, knurl.z_back - low)
    end = knurl.z_back - low
    top, deep = knurl.r_large + clearance, knurl.r_large - practice.depth_share * knurl.pitch
    press = practice.feed_mm_per_rev
    moves = [Move(MoveKind.RAPID, start, top), Move(MoveKind.FEED, start, deep, feed=press)]
    if start - end > SAME_PITCH:
        moves.append(Move(MoveKind.FEED, end, deep, feed=feed))
    # The wheel stands in the pressed surface: it leaves at a feed, not in a rapid.
    moves.append(Move(MoveKind.FEED, end, top, feed=press))
    return tuple(moves)


def _wheel(shop: Shop, knurl: Knurl) -> Tool | None:
    """The wheel of the form and pitch; one not wider than the zone where there is a choice."""
    fitting = knurl_wheels(shop, knurl.form, knurl.pitch)
    zone = knurl.z_front - knurl.z_back
    return min(fitting, key=lambda t: (t.width or 0.0) > zone, default=None)


def _no_wheel(knurl: Knurl) -> Finding:
    return Finding(
        code="planning/no-knurling-wheel",
        severity=Severity.STOP,
        text=f"no knurling wheel {knurl.form} {plain_text(knurl.pitch)} mm of the crib gets to the knurl",
        hint="add the wheel to tools.toml",
        where=Location(z=knurl.z_front, r=knurl.r_large),
    )
