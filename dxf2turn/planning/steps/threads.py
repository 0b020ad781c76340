"""Single-point threads, outside and inside."""

from __future__ import annotations

import math
from collections.abc import Callable

from dxf2turn.features.model import Thread
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.planning.bench import Bench, Choice, made_step
from dxf2turn.planning.cutting import Task, choose
from dxf2turn.planning.model import Move, ShortThread, Spindle
from dxf2turn.planning.operations.thread import (
    ThreadCut,
    fastest_rpm,
    pass_count,
    pass_depths,
    run_in,
    thread_cuts,
)
from dxf2turn.planning.steps.tapping import tapped
from dxf2turn.planning.steps.thread_zone import Stop, Zone, room_ahead, stop_of
from dxf2turn.planning.targets import front_bore
from dxf2turn.planning.tool_space.links import approach, retract
from dxf2turn.planning.tools import threading_tools
from dxf2turn.shop.forces import fastest_with, threading_torque
from dxf2turn.shop.model import Tool
from dxf2turn.shop.practice import ThreadingPractice
from dxf2turn.units import plain_text

TURNS = {"right": "M03", "left": "M04"}  # towards the chuck (ISO 6983: M03 turns a right-hand screw inwards)
LEAST_OFF = 0.3  # a bar travels back at least this far off the crest, mm


def outside_threads(bench: Bench) -> Bench:
    """All outside threads in front of where this setup stops."""
    low = bench.clamping.finished_to - bench.cell.clearance
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
    for tool in tools:
        done = _with_tool(bench, zone, tool)
        if done is not None:
            return done
    by_tap = tapped(bench, zone)
    if by_tap is not None:
        done, stop = by_tap
        return done if stop.short <= 0.0 else _told_short(done, zone, stop)
    return bench.with_failure(zone.thread.id, _no_room(zone) if tools else _no_tool(zone))


def _bore_radius(bench: Bench, zone: Zone) -> float:
    return zone.crest - 0.5 * LEAST_OFF if zone.inside else math.inf


def _with_tool(bench: Bench, zone: Zone, tool: Tool) -> Bench | None:
    thread = zone.thread
    lead = thread.pitch * thread.starts
    machine = bench.cell.machine
    stop = stop_of(bench, zone, tool)
    room = room_ahead(bench, zone, tool)
    practice = bench.cell.practice.threading
    least_run_in = practice.run_in_pitches * thread.pitch
    if stop is None or room < 0.5 * least_run_in:
        return None
    choice = choose(
        bench.cell, tool, Task(operation="inside thread" if zone.inside else "thread", radius=zone.crest)
    )
    count = pass_count(zone.depth, thread.pitch, thread.form_angle, practice)
    least, half = practice.least_depth_mm, 0.5 * thread.form_angle
    depths = pass_depths(zone.depth, count, half, tool.tip_flat, least=least)
    rpm = fastest_with(
        machine,
        threading_torque(bench.cell.material, depths, half, tool.tip_flat, 2.0 * zone.crest),
        min(
            choice.spindle.value,
            fastest_rpm(lead, room, machine.acceleration_mm_per_s2, machine.thread_rate_max_mm_per_min),
        ),
    )
    if rpm is None or rpm < machine.min_rpm:
        return None
    rpm = float(math.floor(rpm))
    ahead = min(run_in(lead, rpm, machine.acceleration_mm_per_s2, least_run_in), room)
    start = thread.z_front + ahead
    moves = thread_cuts(
        ThreadCut(
            start=start,
            end=stop.z,
            crest=zone.crest + zone.slope * ahead,
            root=zone.root + zone.slope * ahead,
            clear=_clear(zone, start, stop.z, _off(zone, tool, bench.cell.clearance)),
            slope=zone.slope,
            pitch=thread.pitch,
            starts=thread.starts,
            form_angle=thread.form_angle,
            depths=depths,
            straight_passes=practice.straight_passes,
            flank_relief=math.radians(practice.flank_relief_deg),
            pull_out=stop.pull_out,
            spring_passes=practice.spring_passes,
        )
    )
    spindle = Spindle(mode="rpm", value=rpm, limit_rpm=machine.max_rpm, direction=TURNS[thread.hand])
    why = f"{_why(zone, depths, ahead, stop, practice)}; {choice.why}"
    choice = Choice(spindle=spindle, feed=lead, depth=depths[0], why=why)
    passes = (len(depths) + practice.spring_passes) * thread.starts
    done = _with_ways(bench, zone, tool, choice, moves, passes)
    return done if done is None or stop.short <= 0.0 else _told_short(done, zone, stop)


def _off(zone: Zone, tool: Tool, clearance: float) -> float:
    """How far off the crest the tool travels back, signed away from the work; less in a narrow bore."""
    if not zone.inside:
        return clearance
    return -min(clearance, max(LEAST_OFF, 2.0 * zone.crest - (tool.least_bore_mm or 0.0)))


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


def _why(zone: Zone, depths: tuple[float, ...], ahead: float, stop: Stop, practice: ThreadingPractice) -> str:
    thread = zone.thread
    angle = math.degrees(0.5 * thread.form_angle) - practice.flank_relief_deg
    parts = [
        f"{thread.designation}: {plain_text(zone.depth)} mm deep to {thread.thread_class or 'basic'} middle",
        f"{len(depths)} passes of equal chip area, first {plain_text(depths[0])} mm",
        f"infeed along the flank at {plain_text(angle)} deg, the last {practice.straight_passes} straight",
        _spring(practice.spring_passes),
        f"run-in {plain_text(ahead)} mm (v^2 / 2a, at least {plain_text(practice.run_in_pitches)} pitches)",
        "pulled out along the last half pitch, there is no relief"
        if stop.pull_out
        else "runs out into the relief",
    ]
    if thread.hand == "left":
        parts.append("left-hand thread: spindle turned round, tool upside down")
    return "; ".join(parts)


def _spring(count: int) -> str:
    """The spring passes in words."""
    return f"{count or 'no'} spring pass{'' if count == 1 else 'es'}"


def _told_short(bench: Bench, zone: Zone, stop: Stop) -> Bench:
    """The bench with what stays without full thread declared, part coordinates."""
    thread, part = zone.thread, bench.clamping.part
    ends = sorted(part.z_here(z) for z in (thread.z_back, thread.z_back + stop.short))
    finding = Finding(
        code="planning/thread-short",
        severity=Severity.FIX,
        text=(
            f"the last {plain_text(stop.short)} mm of {thread.designation} get no full thread: "
            f"the tool needs the room behind it"
        ),
        hint="accept it if the mating part does not go so far, or give it a relief or a longer hole (DIN 76)",
        where=Location(z=thread.z_back + 0.5 * stop.short, r=zone.crest),
        measured=stop.short,
    )
    return bench.with_short_thread(ShortThread(thread.id, ends[0], ends[1]), finding)


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
