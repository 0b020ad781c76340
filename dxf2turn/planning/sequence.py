"""The order of steps in one setup. The rules behind it are in docs/planning.md."""

from __future__ import annotations

from collections.abc import Callable

from dxf2turn.features.model import Limits
from dxf2turn.geometry.point import Point
from dxf2turn.planning.bench import Bench, Cell
from dxf2turn.planning.clamping import Clamping
from dxf2turn.planning.steps import blades, boring, drilling, knurling, parting, reaming, threads, turning
from dxf2turn.planning.work import CLEARANCE
from dxf2turn.shop.model import Tool

BESIDE = 10.0  # of the tool-change point from the stock, mm (common practice, no source)

Stage = Callable[[Bench], Bench]

SEQUENCE: tuple[Stage, ...] = (
    turning.face,  # A flat front first: it is the datum, and a drill starts square on it.
    drilling.drill,  # Into the full bar: it is stiffest before anything is turned off.
    turning.rough,  # All heavy cuts before any surface is finished.
    boring.rough_bore,
    turning.finish,
    reaming.ream,
    boring.finish_bore,
    blades.grooves,  # Grooves weaken the part: after turning.
    blades.face_grooves,
    blades.inside_grooves,
    threads.outside_threads,  # A thread needs its relief cut before.
    threads.inside_threads,
    knurling.knurls,  # Pressing needs the stiffest part, but swells the edges: after turning.
    parting.part_off,
)


def filled(cell: Cell, clamping: Clamping, limits: tuple[Limits, ...], before: Bench | None = None) -> Bench:
    """A clamping with all its steps. before: the setup that came before it."""
    bench = Bench(
        cell=cell,
        clamping=clamping,
        tool_change=tool_change_point(cell.shop.tools, clamping),
        stock=clamping.stock,
        limits=limits,
        findings=clamping.findings,
        before=before.made if before is not None else frozenset(),
        finished_before=before.finished if before is not None else frozenset(),
    )
    for stage in SEQUENCE:
        bench = stage(bench)
    return bench


def tool_change_point(tools: tuple[Tool, ...], clamping: Clamping) -> Point:
    """A place where no tool of the crib, holder included, reaches back over the front of the stock.

    Every point of every tool lies at least a clearance in front of everything there, whatever its radius.
    """
    front = max(clamping.stock.bounds[2], clamping.keep_out.bounds[2] if clamping.jaws else 0.0)
    behind = max(-min(p.x for ring in (t.outline, *t.holder) for p in ring) for t in tools)
    return Point(round(front + behind + 2.0 * CLEARANCE, 1), round(clamping.stock.bounds[3] + BESIDE, 1))
