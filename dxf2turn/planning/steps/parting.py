"""Parting off: straight in with the blade's front corner on the back face of the part."""

from __future__ import annotations

from dataclasses import replace

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.planning.bench import FAR, Bench, Choice, made_step
from dxf2turn.planning.cutting import Task, choose
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.operations.plunge import QUICK, SLOW_FROM
from dxf2turn.planning.targets import front_bore
from dxf2turn.planning.tool_space.links import approach, retract
from dxf2turn.planning.tool_space.sweep import after
from dxf2turn.planning.tool_space.sweeping import holder_hits
from dxf2turn.planning.tools import parting_tools
from dxf2turn.planning.work import Work
from dxf2turn.shop.model import Tool
from dxf2turn.shop.practice import PartingPractice
from dxf2turn.units import plain_text

PAST = 0.1  # how far the front corner goes past the axis or into the bore, beyond its own radius, mm
CENTRE = 1.0  # the feed is lowered below this many blade widths from the axis
THROUGH = 1.0  # and over this last bit before the blade breaks into a bore, mm
LIFT = 0.2  # mm
HAIR = 0.01  # mm
SLICE = 0.01  # thin slice of stock that is looked at behind the face, mm


def part_off(bench: Bench) -> Bench:
    """The last step of a bar setup. A finding with STOP when no blade reaches."""
    z = bench.clamping.parting
    if z is None:
        return bench
    strip = _strip(bench, z, SLICE)
    if strip.is_empty:
        return bench
    inner, outer = strip.bounds[1], strip.bounds[3]
    tools = parting_tools(bench.cell.shop, outer - inner + bench.cell.clearance)
    if not tools:
        return bench.with_finding(_too_deep(z, outer, inner))
    turned = [t for t in tools if _choice(bench, t, (outer, inner)).turns]
    if not turned:
        return bench.with_finding(_too_heavy(z, outer))
    fitting = (t for t in turned if (t.width or 0.0) <= bench.clamping.parting_room)
    done = (_with_tool(bench, tool, z, inner) for tool in fitting)
    return next((b for b in done if b is not None), None) or bench.with_finding(_no_way(z, outer))


def _with_tool(bench: Bench, tool: Tool, z: float, inner: float) -> Bench | None:
    """Parted off with one blade; None when its holder or the ways to it would touch something."""
    outer = _strip(bench, z, tool.width or 0.0).bounds[3]
    choice = _choice(bench, tool, (outer, inner))
    work = bench.work(bench.clamping.part.segments)
    practice = bench.cell.practice.parting
    room = bench.cell.clearance
    ways = (
        _there_and_back(work, tool, parting_cuts(tool, z, (outer, inner), choice.feed, practice, clear))
        for clear in (room, _beside(bench, z, tool) - outer + room)
    )
    moves = next((way for way in ways if way), ())
    if not moves:
        return None
    why = (
        f"blade {plain_text(tool.width or 0.0)} mm: the narrowest that reaches {plain_text(outer - inner)} mm"
        f" (rule T52); feed {100.0 * (1.0 - practice.centre_feed_share):.0f} % lower near the centre (S40);"
        f" {_edge_left(bench, z, inner)}; {choice.why}"
    )
    ids = tuple(f.id for f in bench.clamping.part.features if f.side == "end" and f.kind == "face")
    step = made_step("part off", tool, replace(choice, why=why), moves, side="end", features=ids)
    return bench.with_step(step)


def _there_and_back(work: Work, tool: Tool, cuts: tuple[Move, ...]) -> tuple[Move, ...]:
    """The cuts with the ways to and from them; empty when holder or ways would touch something."""
    if holder_hits(work.stock, tool, cuts):
        return ()
    way_in = approach(work, tool, cuts[0].end)
    way_out = retract(after(work, cuts, tool), tool, cuts[-1].end)
    return () if way_in is None or way_out is None else (*way_in, *cuts[1:], *way_out)


def _beside(bench: Bench, z: float, tool: Tool) -> float:
    """Radius of the highest stock that a blade passes on its way down: in a slot it comes down in feed."""
    room = bench.cell.clearance
    return max(_strip(bench, z + room, (tool.width or 0.0) + 2.0 * room).bounds[3], 0.0)


def _edge_left(bench: Bench, z: float, inner: float) -> str:
    """What the blade leaves where it breaks through: a nub, a burr, or an edge that is broken already."""
    part = bench.clamping.part
    if z < -part.length - HAIR:
        return "nub or burr go when the other setup faces this end"
    bore = front_bore(part)
    if inner <= SLICE or not bore:
        return "the front corner goes past the axis, so that the nub stays on the bar"
    edge, wall = bore[0].start, bore[0].end
    if edge.y > wall.y + HAIR:
        return "it breaks into a bore whose edge is broken already"
    return f"a burr stays at the edge of the bore, diameter {plain_text(2.0 * edge.y)} mm: break it by hand"


def _choice(bench: Bench, tool: Tool, radii: tuple[float, float]) -> Choice:
    """Cutting data of a blade between an outer and an inner radius."""
    outer, inner = radii
    return choose(bench.cell, tool, Task(operation="part off", radius=outer, depth=outer - inner))


def _strip(bench: Bench, z: float, width: float) -> BaseGeometry:
    """The stock behind the parting face over a width, without the hairs beside a cut of the same width."""
    hair = min(HAIR, 0.25 * width)
    return shapely.intersection(bench.stock, shapely.box(z - width + hair, 0.0, z - hair, FAR))


def parting_cuts(
    tool: Tool,
    z: float,
    radii: tuple[float, float],
    feed: float,
    practice: PartingPractice,
    clearance: float,
) -> tuple[Move, ...]:
    """From beside the bar to past the centre and back out; the first move states where the cut starts.

    z: of the blade's front corner (the one away from the chuck). radii: outer and inner of the strip;
    clearance: how far above it the blade stands free.
    """
    outer, inner = radii
    here = z - max(p.x for p in tool.outline)
    end = inner - tool.nose_radius - PAST
    width = tool.width or 0.0
    slow = inner + (
        min(CENTRE * width, 0.5 * outer) if inner <= SLICE else min(THROUGH, 0.5 * (outer - inner))
    )
    clear = outer + clearance
    near = outer + SLOW_FROM
    moves = [Move(MoveKind.RAPID, here, clear), Move(MoveKind.FEED, here, near, feed=round(QUICK * feed, 4))]
    r = outer
    peck = practice.peck_widths * width
    while r - peck > slow:
        r -= peck
        moves += [Move(MoveKind.FEED, here, r, feed=feed), Move(MoveKind.RAPID, here, r + LIFT)]
    moves.append(Move(MoveKind.FEED, here, slow, feed=feed))
    moves.append(Move(MoveKind.FEED, here, end, feed=round(practice.centre_feed_share * feed, 4)))
    moves.append(Move(MoveKind.RAPID, here, clear))
    return tuple(moves)


def _too_deep(z: float, outer: float, inner: float) -> Finding:
    return Finding(
        code="planning/parting-too-deep",
        severity=Severity.STOP,
        text=(
            f"no parting blade reaches {plain_text(outer - inner)} mm deep "
            f"at diameter {plain_text(2.0 * outer)} mm"
        ),
        hint="add a blade to tools.toml that reaches further, or saw the blank and give --stock",
        where=Location(z=z, r=outer),
        measured=outer - inner,
        source="rules T05 and T52",
    )


def _too_heavy(z: float, outer: float) -> Finding:
    return Finding(
        code="planning/parting-too-heavy",
        severity=Severity.STOP,
        text=f"the spindle has not the torque for a parting blade at diameter {plain_text(2.0 * outer)} mm",
        hint="use another machine, or saw the blank and give --stock",
        where=Location(z=z, r=outer),
        source="Kienzle, see docs/shop.md",
    )


def _no_way(z: float, outer: float) -> Finding:
    return Finding(
        code="planning/no-clear-way",
        severity=Severity.STOP,
        text="the parting blade can't get to its cut without touching stock or jaws",
        hint="let the bar stick out further or use a longer blade",
        where=Location(z=z, r=outer),
    )
