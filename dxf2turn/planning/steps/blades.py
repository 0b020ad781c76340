"""Grooves and everything else outside that turning tools leave to a blade."""

from __future__ import annotations

from shapely import Polygon

from dxf2turn.planning.axes import OUTSIDE
from dxf2turn.planning.bench import Bench, Choice, made_step
from dxf2turn.planning.cutting import USUAL_RA_UM, Task, choose
from dxf2turn.planning.operations.plunge import Plunges, Zone, plunge
from dxf2turn.planning.rest import features_at, outside_rest, places
from dxf2turn.planning.tools import grooving_tools, parting_tool
from dxf2turn.planning.work import CLEARANCE
from dxf2turn.shop.cutting import finishing_feed
from dxf2turn.shop.model import CuttingData, Tool
from dxf2turn.units import plain_text

ALLOWANCE = 0.1  # left on walls and floor for the finishing runs, mm (common practice, no source)
NECK = 3.0  # radius that stays between part and bar until it is parted off, mm
BESIDE = 1.0  # how far beside a place the blade may stand, in blade widths
LEFT = 0.02  # mm2: a blade that leaves less than this more than another is as good
WIDER = 1.5  # a blade up to so many times as wide as a place may still get at it, beside an open side
SLACK = 1.0  # and so much more, mm
ROUND = 0.01  # mm
NECK_DEPTH = 0.5  # a blade that reaches this share of a place's depth is tried
LOADED = 0.6  # the loaded blade is kept if it has this share of the widest fitting one's width
UNDER = 0.001  # how far below the lowest corner a place is cut, mm


def grooves(bench: Bench) -> Bench:
    """Each place that is left outside, from front to back, with the blade that leaves least."""
    for _ in range(40):
        found = places(outside_rest(bench))
        done = next((b for place in found if (b := _cut(bench, place)) is not None), None)
        if done is None:
            return bench
        bench = done
    return bench


def _cut(bench: Bench, place: Polygon) -> Bench | None:
    """The place cut by the best blade; None when no blade takes anything worthwhile off it."""
    work = bench.work(bench.clamping.part.segments)
    best: tuple[tuple[float, int], Tool, Choice, Plunges] | None = None
    for rank, tool in enumerate(_fitting(bench, place)):
        choice = choose(bench.cell, tool, Task(operation="groove", radius=place.bounds[3]))
        result = plunge(work, tool, zone_of(bench, place, tool, choice))
        if not result.moves:
            continue
        left = result.stock.intersection(place).area
        score = (round(left / LEFT), -1 if tool == bench.loaded else rank)
        if best is None or score < best[0]:
            best = (score, tool, choice, result)
        if score[0] == 0:
            break  # The blades that follow are narrower: they would take longer.
    if best is None or best[0][0] * LEFT > 0.9 * place.area:
        return None
    _, tool, choice, result = best
    why = f"{_reason(place, tool)}; {choice.why}"
    depth = place.bounds[3] - place.bounds[1]
    step = made_step(
        "groove",
        tool,
        Choice(spindle=choice.spindle, feed=choice.feed, depth=depth, why=why),
        result.moves,
        passes=result.plunges + result.runs,
        features=features_at(bench.clamping.part, place, ("outside",)),
    )
    return bench.with_step(step)


def _fitting(bench: Bench, place: Polygon) -> tuple[Tool, ...]:
    """Blades that are not too wide and reach deep enough; the loaded one first, then from wide to narrow.

    At the back edge of a part that is parted off the blade may be wider than the place: behind it is waste.
    The parting blade comes first there, it needs no tool change.
    """
    left, bottom, right, top = place.bounds
    width, depth = WIDER * (right - left) + SLACK, top - bottom
    clamping, shop = bench.clamping, bench.cell.shop
    tools = list(grooving_tools(shop))
    if clamping.parting is not None and left < clamping.parting + ROUND:
        width = max(width, clamping.over)
        parting = parting_tool(shop, bench.stock.bounds[3] + CLEARANCE)
        tools = [parting, *tools] if parting is not None else tools
    fitting = [t for t in tools if (t.width or 0.0) <= width and (t.reach or 0.0) >= NECK_DEPTH * depth]
    if not fitting:
        return ()
    enough = LOADED * (fitting[0].width or 0.0)
    return tuple(sorted(fitting, key=lambda t: t != bench.loaded or (t.width or 0.0) < enough))


def _reason(place: Polygon, tool: Tool) -> str:
    width = place.bounds[2] - place.bounds[0]
    return (
        f"blade {plain_text(tool.width or 0.0)} mm: the widest that leaves nothing in a place "
        f"{plain_text(width)} mm wide and {plain_text(place.bounds[3] - place.bounds[1])} mm deep"
    )


def zone_of(bench: Bench, place: Polygon, tool: Tool, choice: Choice) -> Zone:
    """Where a blade may go to cut a place: so far beside it as its width asks for, never to the jaws."""
    clamping = bench.clamping
    width = tool.width or 0.0
    low, bottom, high, _ = place.bounds
    base = bottom - tool.nose_radius - UNDER  # The round corner has to pass the lowest edge.
    if clamping.parting is not None:
        base = max(base, min(NECK, place.bounds[3]))
    data = CuttingData(
        speed_m_per_min=choice.spindle.value, feed_mm_per_rev=choice.feed, depth=0.0, source=""
    )
    return Zone(
        axes=OUTSIDE,
        lo=max(low - BESIDE * width, clamping.turned_to),
        hi=high + BESIDE * width,
        base=base,
        allowance=ALLOWANCE,
        feed=choice.feed,
        finish_feed=round(min(choice.feed, finishing_feed(data, tool, USUAL_RA_UM)), 4),
    )
