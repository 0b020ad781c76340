"""Single-point threads, outside and inside."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from dxf2turn.features.model import Thread
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.planning.bench import FAR, Bench, Choice, made_step
from dxf2turn.planning.cutting import Task, choose
from dxf2turn.planning.links import approach, retract
from dxf2turn.planning.model import Move, Spindle
from dxf2turn.planning.operations.thread import (
    RUN_IN_PITCHES,
    SPRING_PASSES,
    ThreadCut,
    fastest_rpm,
    pass_count,
    pass_depths,
    run_in,
    thread_cuts,
)
from dxf2turn.planning.targets import front_bore
from dxf2turn.planning.tools import threading_tools
from dxf2turn.planning.work import CLEARANCE
from dxf2turn.shop.model import Tool
from dxf2turn.units import plain_text

REVERSED = {"M03": "M04", "M04": "M03"}
PULL_OUT = 0.5  # length of the pull-out where there is no relief, pitches
OVER = 1.0  # how far the tip runs past the full thread into a relief or the open, pitches
MARGIN = 0.05  # between the tool and a wall, mm
LEAST_OFF = 0.3  # a bar travels back at least this far off the crest, mm
STEP = 0.01  # how closely the last place before a wall is sought, mm


@dataclass(frozen=True, slots=True)
class Zone:
    """A thread in setup coordinates: crest and root radius at its front, radius gained per mm of z."""

    thread: Thread
    crest: float
    root: float
    slope: float

    @property
    def inside(self) -> bool:
        return self.thread.side == "inside"

    @property
    def depth(self) -> float:
        return abs(self.crest - self.root)


def outside_threads(bench: Bench) -> Bench:
    """All outside threads in front of where this setup stops turning."""
    low = max(bench.clamping.outside_to, -bench.clamping.part.length) - CLEARANCE
    return _threads(bench, "outside", lambda thread: thread.z_back >= low)


def inside_threads(bench: Bench) -> Bench:
    """All threads in the bore that opens at the front."""
    part = bench.clamping.part
    mine = {id(segment) for segment in front_bore(part)}
    return _threads(bench, "inside", lambda t: any(id(part.segments[i]) in mine for i in t.segments))


def _threads(bench: Bench, side: str, is_here: Callable[[Thread], bool]) -> Bench:
    for feature in bench.clamping.part.features:
        if isinstance(feature, Thread) and feature.side == side and feature.id not in bench.made:
            bench = _cut(bench, _zone(bench, feature)) if is_here(feature) else bench
    return bench


def _zone(bench: Bench, thread: Thread) -> Zone:
    """Crest and root from the thread; along a taper the crest follows the drawn cone."""
    crest, root = 0.5 * thread.cut_from_mm, 0.5 * thread.cut_to_mm
    if thread.taper == 0.0 or not thread.segments:
        return Zone(thread, crest, root, 0.0)
    cone = bench.clamping.part.segments[thread.segments[0]]
    (z0, r0), (z1, r1) = cone.start, cone.end
    slope = (r1 - r0) / (z1 - z0)
    front = r0 + (thread.z_front - z0) * slope
    return Zone(thread, front, front + (root - crest), slope)


def _cut(bench: Bench, zone: Zone) -> Bench:
    tools = threading_tools(bench.cell.shop, zone.thread, _bore_radius(bench, zone))
    if not tools:
        return bench.with_failure(zone.thread.id, _no_tool(zone))
    for tool in tools:
        done = _with_tool(bench, zone, tool)
        if done is not None:
            return done
    return bench.with_failure(zone.thread.id, _no_room(zone))


def _bore_radius(bench: Bench, zone: Zone) -> float:
    return zone.crest - 0.5 * LEAST_OFF if zone.inside else math.inf


def _with_tool(bench: Bench, zone: Zone, tool: Tool) -> Bench | None:
    thread = zone.thread
    lead = thread.pitch * thread.starts
    machine = bench.cell.machine
    place = _end(bench, zone, tool)
    if place is None:
        return None
    end, pull_out = place
    choice = choose(
        bench.cell, tool, Task(operation="inside thread" if zone.inside else "thread", radius=zone.crest)
    )
    room = _room_ahead(bench, zone, tool)
    rpm = min(
        choice.spindle.value,
        fastest_rpm(lead, room, machine.acceleration_mm_per_s2, machine.thread_rate_max_mm_per_min),
    )
    rpm = float(math.floor(rpm))
    if rpm < machine.min_rpm or room < RUN_IN_PITCHES * thread.pitch * 0.5:
        return None
    ahead = min(run_in(lead, rpm, machine.acceleration_mm_per_s2, thread.pitch), room)
    count = pass_count(zone.depth, thread.pitch, thread.form_angle)
    depths = pass_depths(zone.depth, count, 0.5 * thread.form_angle, tool.tip_flat)
    start = thread.z_front + ahead
    moves = thread_cuts(
        ThreadCut(
            start=start,
            end=end,
            crest=zone.crest + zone.slope * ahead,
            root=zone.root + zone.slope * ahead,
            clear=_clear(zone, start, end, _off(zone, tool)),
            slope=zone.slope,
            pitch=thread.pitch,
            starts=thread.starts,
            form_angle=thread.form_angle,
            depths=depths,
            pull_out=pull_out,
        )
    )
    direction = tool.direction if thread.hand == "right" else REVERSED[tool.direction]
    spindle = Spindle(mode="rpm", value=rpm, limit_rpm=machine.max_rpm, direction=direction)
    why = _why(zone, depths, ahead, pull_out, choice)
    choice = Choice(spindle=spindle, feed=lead, depth=depths[0], why=why)
    return _with_ways(bench, zone, tool, choice, moves, (len(depths) + SPRING_PASSES) * thread.starts)


def _off(zone: Zone, tool: Tool) -> float:
    """How far from the crest the tool travels back, signed away from the work; less where a bore is narrow."""
    if not zone.inside:
        return CLEARANCE
    return -min(CLEARANCE, max(LEAST_OFF, 2.0 * zone.crest - (tool.least_bore_mm or 0.0)))


def _clear(zone: Zone, start: float, end: float, off: float) -> float:
    """Radius at which the tool travels back: off the higher end of the crest."""
    ends = [zone.crest + zone.slope * (z - zone.thread.z_front) for z in (start, end)]
    return (max(ends) if off > 0.0 else min(ends)) + off


def _with_ways(
    bench: Bench, zone: Zone, tool: Tool, choice: Choice, cuts: tuple[Move, ...], passes: int
) -> Bench | None:
    work = bench.work(bench.clamping.part.segments)
    way_in = approach(work, tool, cuts[0].end)
    way_out = retract(work, tool, cuts[-1].end)
    if way_in is None or way_out is None:
        return None
    operation = "inside thread" if zone.inside else "thread"
    moves = (*way_in, *cuts[1:], *way_out)
    step = made_step(
        operation, tool, choice, moves, side=zone.thread.side, passes=passes, features=(zone.thread.id,)
    )
    return bench.with_step(step)


def _end(bench: Bench, zone: Zone, tool: Tool) -> tuple[float, float] | None:
    """z where the tip stops on the last pass, and the length of the pull-out (0 into a relief).

    The tip runs past the full thread as far as the walls behind it let the tool.
    """
    thread = zone.thread
    over = OVER * thread.pitch
    body = _without_threads(bench, zone)
    reached = _furthest(body, zone, tool, over)
    if reached is None:
        return None
    if thread.run_out >= over - STEP and reached <= thread.z_back - PULL_OUT * thread.pitch:
        return reached, 0.0
    if thread.run_out > STEP:
        return max(reached, thread.z_back - thread.run_out), 0.0
    return thread.z_back - PULL_OUT * thread.pitch, PULL_OUT * thread.pitch


def _furthest(body: BaseGeometry, zone: Zone, tool: Tool, over: float) -> float | None:
    """The furthest place of the tip at the root, at most `over` behind the thread; None = not even there."""
    thread = zone.thread
    z, last = thread.z_back, None
    while z >= thread.z_back - over - 1e-9:
        r = zone.root + zone.slope * (z - thread.z_front)
        if any(shapely.intersects(translate(shape, z, r), body) for shape in _shapes(tool)):
            break
        last = z
        z -= STEP * 5
    return last


def _shapes(tool: Tool) -> list[BaseGeometry]:
    return [shapely.Polygon(ring).buffer(MARGIN, join_style="mitre") for ring in (tool.outline, *tool.holder)]


def _without_threads(bench: Bench, zone: Zone) -> BaseGeometry:
    """The stock without the band that the thread may use, less a hair so that flanks may slide."""
    thread = zone.thread
    behind = min(max(thread.run_out, 0.6 * thread.pitch), FAR)
    front, back = thread.z_front + min(thread.run_in + thread.pitch, FAR), thread.z_back - behind
    roots = [zone.root + zone.slope * (z - thread.z_front) for z in (front, back)]
    far = 0.0 if zone.inside else FAR
    sink = MARGIN * 2.0 * (1.0 if zone.inside else -1.0)
    band = shapely.Polygon([(front, roots[0] + sink), (front, far), (back, far), (back, roots[1] + sink)])
    solid = shapely.union(bench.body, bench.clamping.keep_out)
    return shapely.difference(solid, band)


def _room_ahead(bench: Bench, zone: Zone, tool: Tool) -> float:
    """Free length in front of the thread for the run-in, mm; large in the open."""
    room = zone.thread.run_in
    if math.isinf(room):
        return FAR
    return room - 0.5 * zone.thread.pitch


def _why(zone: Zone, depths: tuple[float, ...], ahead: float, pull_out: float, choice: Choice) -> str:
    thread = zone.thread
    angle = math.degrees(0.5 * thread.form_angle) - 0.5
    parts = [
        f"{thread.designation}: {plain_text(zone.depth)} mm deep to {thread.thread_class or 'basic'} middle",
        f"{len(depths)} passes of equal chip area, first {plain_text(depths[0])} mm",
        f"infeed along the flank at {plain_text(angle)} deg, the last two straight, {SPRING_PASSES} spring pass",
        f"run-in {plain_text(ahead)} mm (v^2 / 2a, at least {plain_text(RUN_IN_PITCHES)} pitches)",
        "pulled out along the last half pitch, there is no relief"
        if pull_out
        else "runs out into the relief",
    ]
    if thread.hand == "left":
        parts.append("left-hand thread: spindle turned round, tool upside down")
    return "; ".join((*parts, choice.why))


def _no_tool(zone: Zone) -> Finding:
    thread = zone.thread
    return Finding(
        code="planning/no-threading-tool",
        severity=Severity.STOP,
        text=f"no tool in the crib cuts {thread.designation} ({thread.side})",
        hint=f"add a threading tool for pitch {plain_text(thread.pitch)} mm to tools.toml",
        where=Location(z=thread.z_front, r=zone.crest),
    )


def _no_room(zone: Zone) -> Finding:
    thread = zone.thread
    return Finding(
        code="planning/no-room-for-thread",
        severity=Severity.STOP,
        text=f"no threading tool gets to {thread.designation} without touching the part",
        hint="give the thread a wider relief or a longer run-in",
        where=Location(z=thread.z_back, r=zone.crest),
        measured=thread.run_out if math.isfinite(thread.run_out) else None,
    )
