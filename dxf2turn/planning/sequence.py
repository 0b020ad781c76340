"""The order of steps in one setup. The rules behind it are in docs/planning.md."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache

from dxf2turn.features.model import Limits
from dxf2turn.findings import stops
from dxf2turn.geometry.point import Point
from dxf2turn.planning.bench import Bench, Cell
from dxf2turn.planning.clamping import Clamping
from dxf2turn.planning.hollows import hollows_turned
from dxf2turn.planning.rest import is_corner, outside_rest, places
from dxf2turn.planning.steps import (
    blades,
    boring,
    centring,
    drilling,
    knurling,
    parting,
    reaming,
    rough_boring,
    threads,
    turning,
)
from dxf2turn.planning.times import tool_changes
from dxf2turn.shop.model import Shop

Stage = Callable[[Bench], Bench]

SEQUENCE: tuple[Stage, ...] = (
    turning.face,  # A flat front first: it is the datum, and a drill starts square on it.
    centring.centre_hole,
    drilling.drill,  # Into the full bar: it is stiffest before anything is turned off.
    turning.rough,  # All heavy cuts before any surface is finished.
    rough_boring.rough_bore,
    turning.finish,
    reaming.ream,
    boring.finish_bore,
    boring.far_edge,
    blades.grooves,  # Grooves weaken the part: after turning.
    turning.finish_rest,
    blades.face_grooves,
    blades.inside_grooves,
    rough_boring.bore_rest,
    threads.outside_threads,  # A thread needs its relief cut before.
    threads.inside_threads,
    knurling.knurls,  # Pressing needs the stiffest part, but swells the edges: after turning.
    parting.part_off,
)

AT_THE_FRONT: tuple[Stage, ...] = (  # What the centre stands in the way of.
    turning.face,
    centring.centre_hole,
    drilling.drill,
    rough_boring.rough_bore,
    reaming.ream,
    boring.finish_bore,
    boring.far_edge,
    blades.face_grooves,
    blades.inside_grooves,
    rough_boring.bore_rest,
    threads.inside_threads,
)
KITS: dict[str, tuple[Stage, ...]] = {
    "all": SEQUENCE,
    "centring": (centring.front_face, centring.centre_hole, centring.for_the_centre),
    "front": AT_THE_FRONT,
    "outside": (  # With the centre in.
        turning.rough,
        turning.finish,
        blades.grooves,
        turning.finish_rest,
        threads.outside_threads,
        knurling.knurls,
    ),
    "part off": (parting.part_off,),
}
OUTSIDE_KINDS = ("turning", "grooving", "parting", "threading", "knurl")  # tools of the kit "outside"


def filled(cell: Cell, clamping: Clamping, limits: tuple[Limits, ...], before: Bench | None = None) -> Bench:
    """A clamping with all its steps. before: the setup that came before it."""
    made, finished = (before.made, before.finished) if before is not None else (frozenset(), frozenset())
    plain = replace(clamping, findings=())
    bench = _filled(cell, plain, limits, made, finished)
    turned = hollows_turned(plain, cell) if _blades_take_long(bench) else None
    if turned is not None:
        bench = _better(bench, _filled(cell, turned, limits, made, finished))
    clamping = replace(clamping, blades_up_to=bench.clamping.blades_up_to)
    return replace(bench, clamping=clamping, findings=(*clamping.findings, *bench.findings))


def _better(bladed: Bench, turned: Bench) -> Bench:
    """Whole before what leaves something, then the quicker; turning has to save what makes it worth while."""
    gain = bladed.cell.practice.turning.hollow_gain_s
    (left, time), (less, quicker) = _left(bladed), _left(turned)
    return turned if less < left or (less == left and quicker + gain < time) else bladed


def _blades_take_long(bench: Bench) -> bool:
    """Whether turning tools in the hollows of the outside may save more than changing to them takes."""
    blades = sum(step.cut_time_s for step in bench.steps if step.operation == "groove")
    return blades > bench.cell.practice.turning.blade_time_s + 2.0 * bench.cell.machine.tool_change_s


def _left(bench: Bench) -> tuple[tuple[bool, float], float]:
    """Whether something stops, what is left (mm2); and the time of all steps with their tools, s."""
    profile = bench.clamping.part.segments
    left = sum(p.area for p in places(outside_rest(bench)) if not is_corner(profile, p))
    stopped = stops(bench.findings) or bool(bench.failures)
    return (stopped, round(left, 1)), bench.busy_s + tool_changes(
        bench.steps
    ) * bench.cell.machine.tool_change_s


# Ways share setups that differ only in what is found about the way they are held.
@lru_cache(maxsize=16)
def _filled(
    cell: Cell,
    clamping: Clamping,
    limits: tuple[Limits, ...],
    before: frozenset[str],
    finished_before: frozenset[str],
) -> Bench:
    bench = Bench(
        cell=cell,
        clamping=clamping,
        tool_change=tool_change_point(cell.shop, clamping),
        stock=clamping.stock,
        limits=limits,
        before=before,
        finished_before=finished_before,
    )
    for stage in KITS[clamping.purpose]:
        bench = stage(bench)
    return bench


def tool_change_point(shop: Shop, clamping: Clamping) -> Point:
    """A place where no tool of the crib, holder included, reaches back over the front of the stock.

    Every point of every tool lies at least a clearance in front of everything there, whatever its radius.
    """
    if clamping.purpose == "outside" and clamping.supports:
        return _beside_the_centre(shop, clamping)
    beside = shop.practice.holding.tool_change_room_mm
    front = max(clamping.stock.bounds[2], clamping.keep_out.bounds[2] if clamping.jaws else 0.0)
    behind = max(-min(p.x for ring in (t.outline, *t.holder) for p in ring) for t in shop.tools)
    room = 2.0 * shop.practice.travel.clearance_mm
    return Point(round(front + behind + room, 1), round(clamping.stock.bounds[3] + beside, 1))


def _beside_the_centre(shop: Shop, clamping: Clamping) -> Point:
    """A place above the sleeve in front of the work, where no tool for outside work reaches down to it; above
    the steady, behind it, where one parts the halves of the work."""
    tools = [tool for tool in shop.tools if tool.kind in OUTSIDE_KINDS]
    corners = [p for tool in tools for ring in (tool.outline, *tool.holder) for p in ring]
    front = clamping.stock.bounds[2] - min(p.x for p in corners) + 2.0 * shop.practice.travel.clearance_mm
    if clamping.support == "steady":
        front = 0.5 * (clamping.jaw_face + min(p.x for ring in clamping.supports for p in ring))
    top = max(p.y for ring in clamping.supports for p in ring)
    top = max(top, clamping.stock.bounds[3]) - min(p.y for p in corners)
    return Point(round(front, 1), round(top + shop.practice.holding.tool_change_room_mm, 1))
