"""Centre holes: those of the part, and those that are only there for the tailstock."""

from __future__ import annotations

from dxf2turn.features.model import CentreHole
from dxf2turn.planning.bench import Bench, Choice, made_step
from dxf2turn.planning.centre_holes import drill_for, outline_to
from dxf2turn.planning.cutting import Task, choose
from dxf2turn.planning.operations.drill import drill_cuts
from dxf2turn.planning.rest import inside_rest, places
from dxf2turn.planning.steps.turning import faced
from dxf2turn.planning.targets import front_bore
from dxf2turn.planning.tool_space.links import approach, retract
from dxf2turn.planning.tool_space.sweep import after
from dxf2turn.shop.model import Tool

THIN = 0.02  # half the thickness of what stands in a centre hole that is not made yet, mm


def centre_hole(bench: Bench) -> Bench:
    """The centre hole of the part at the front, if it has one that is not made yet."""
    hole = next((f for f in bench.clamping.part.features if _is_here(bench, f)), None)
    bore = front_bore(bench.clamping.part)
    if hole is None or not bore or not places(inside_rest(bench), THIN):
        return bench
    assert isinstance(hole, CentreHole)
    tool = drill_for(bench.cell.shop, hole.form, hole.size)
    if tool is None:
        return bench
    name = f"ISO 6411 {hole.form}{hole.size}"
    return centred(bench, tool, bore[0].start.x, f"centre hole {name} as the drawing asks", (hole.id,))


def front_face(bench: Bench) -> Bench:
    """The front faced; in front of a stub the stub's end, for it is cut off later."""
    planned = bench.clamping.centring
    return faced(bench, 0.0 if planned is None else planned.z)


def _is_here(bench: Bench, feature: object) -> bool:
    """Whether a feature is a centre hole of the front that opens on the axis."""
    bore = front_bore(bench.clamping.part)
    return (
        isinstance(feature, CentreHole) and feature.side == "face" and bool(bore) and bore[0].start.y == 0.0
    )


def for_the_centre(bench: Bench) -> Bench:
    """The centre hole that the next setup's tailstock needs and the part does not have."""
    planned = bench.clamping.centring
    if planned is None:
        return bench
    deep = outline_to(planned.tool, planned.radius)[-1].x
    return centred(bench, planned.tool, planned.z - deep, planned.why, ())


def centred(bench: Bench, tool: Tool, tip: float, why: str, features: tuple[str, ...]) -> Bench:
    """A centre hole with the drill's tip at z = tip."""
    radius = 0.5 * (tool.diameter_mm or 0.0)
    choice = choose(bench.cell, tool, Task(operation="centre drill", radius=radius))
    practice = bench.cell.practice.drilling
    cuts = drill_cuts(tool, bench.stock.bounds[2], tip, choice.feed, practice, bench.cell.clearance)
    work = bench.work(bench.clamping.part.segments)
    way_in = approach(work, tool, cuts[0].end)
    way_out = retract(after(work, cuts, tool), tool, cuts[-1].end)
    if way_in is None or way_out is None:
        return bench
    chosen = Choice(spindle=choice.spindle, feed=choice.feed, depth=radius, why=f"{why}; {choice.why}")
    moves = (*way_in, *cuts[1:], *way_out)
    return bench.with_step(made_step("centre drill", tool, chosen, moves, side="inside", features=features))
