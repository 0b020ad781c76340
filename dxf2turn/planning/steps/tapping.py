"""Inside threads that are too small or too deep for a threading bar: tapped on the axis."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point
from dxf2turn.planning.bench import FAR, Bench, Choice, made_step
from dxf2turn.planning.cutting import Task, choose
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.operations.thread import fastest_rpm
from dxf2turn.planning.rest import opened
from dxf2turn.planning.steps.thread_zone import MOST_SHORT, PULL_OUT, STEP, Stop, Zone, without_ridges
from dxf2turn.planning.tool_space.links import approach, retract
from dxf2turn.shop.choice import taps
from dxf2turn.shop.forces import fastest_with, tapping_torque
from dxf2turn.shop.model import Tool
from dxf2turn.units import plain_text

HAIR = 0.0002  # the tap may touch by so much, mm
PAST = 0.05  # how far the full diameter of the tap goes past the full thread, mm


def tapped(bench: Bench, zone: Zone) -> tuple[Bench, Stop] | None:
    """The thread tapped, and where the full thread ends; None when the crib has no tap that gets there."""
    thread = zone.thread
    if not zone.inside or thread.taper != 0.0 or thread.starts > 1:
        return None
    for tap in taps(bench.cell.shop, thread.major_diameter_mm, thread.pitch, thread.hand):
        tool = _of_class(tap, zone)
        tip = _deepest(bench, zone, tool)
        done = None if tip is None else _with_tap(bench, zone, tool, tip)
        if done is not None and tip is not None:
            return done, Stop(tip, 0.0, max(0.0, tip + tool.point_length - thread.z_back))
    return None


def _of_class(tap: Tool, zone: Zone) -> Tool:
    """The tap as it is ground: it cuts to the middle of the class, a little over the nominal size."""
    largest = max(p.y for p in tap.outline)
    outline = tuple(
        Point(p.x, math.copysign(zone.root, p.y)) if abs(p.y) == largest else p for p in tap.outline
    )
    return replace(tap, outline=outline, core=outline)


def _deepest(bench: Bench, zone: Zone, tool: Tool) -> float | None:
    """The lowest place of the tip where the tap meets nothing but the ridges of the thread."""
    back = zone.thread.z_back - tool.point_length
    end = min(p.y for p in tool.outline if p.y > 0.0)  # What is thinner on the wall goes with the thread.
    waste = opened(shapely.difference(bench.stock, bench.body))
    waste = shapely.intersection(waste, shapely.box(-FAR, 0.0, FAR, end))
    solid = shapely.union(without_ridges(bench, zone), waste)
    shapely.prepare(solid)
    shapes = [_thin(ring) for ring in (tool.outline, *tool.holder)]
    short = (MOST_SHORT + PULL_OUT) * zone.thread.pitch
    places = np.arange(back - PAST, back + short, STEP).tolist()
    return next(
        (z for z in places if not any(shapely.intersects(solid, translate(s, z)) for s in shapes)), None
    )


def _thin(ring: tuple[Point, ...]) -> BaseGeometry:
    """The upper half of a shape, a hair smaller, so that it may slide along a wall."""
    shape = shapely.buffer(shapely.Polygon(ring), -HAIR, join_style="mitre")
    return shapely.intersection(shape, shapely.box(-FAR, 0.0, FAR, FAR))


def _with_tap(bench: Bench, zone: Zone, tool: Tool, tip: float) -> Bench | None:
    thread, machine = zone.thread, bench.cell.machine
    practice = bench.cell.practice.tapping
    run_in = max(practice.least_run_in_mm, practice.run_in_pitches * thread.pitch)
    start = max(0.0, float(bench.stock.bounds[2])) + run_in
    choice = choose(bench.cell, tool, Task(operation="tap", radius=zone.root))
    fastest = fastest_rpm(
        thread.pitch, run_in, machine.acceleration_mm_per_s2, machine.thread_rate_max_mm_per_min
    )
    torque = tapping_torque(
        bench.cell.material, thread.pitch, zone.depth, 0.5 * thread.form_angle, 2.0 * zone.root
    )
    rpm = float(math.floor(fastest_with(machine, torque, min(choice.spindle.value, fastest)) or 0.0))
    work = bench.work(bench.clamping.part.segments)
    way_in = approach(work, tool, Point(start, 0.0))
    way_out = retract(work, tool, Point(start, 0.0))
    if rpm < machine.min_rpm or way_in is None or way_out is None:
        return None
    cuts = (
        Move(MoveKind.THREAD, tip, 0.0, lead=thread.pitch),
        Move(MoveKind.THREAD, start, 0.0, lead=thread.pitch),
    )
    direction = tool.direction if thread.hand == "right" else "M04"
    why = (
        f"{thread.designation}: tapped, no threading bar gets into the hole; the spindle turns back on the "
        f"way out; run-in {plain_text(run_in)} mm; {choice.why}"
    )
    spindle = replace(choice.spindle, mode="rpm", value=rpm, direction=direction)
    chosen = Choice(spindle=spindle, feed=thread.pitch, depth=zone.depth, why=why)
    moves = (*way_in, *cuts, *way_out)
    return bench.with_step(
        made_step("inside thread", tool, chosen, moves, side="inside", features=(thread.id,))
    )
