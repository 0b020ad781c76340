"""Speed, feed and depth of a step, held to what machine, part and surface allow; each with its reason."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from dxf2turn.planning.bench import Cell, Choice
from dxf2turn.planning.model import Spindle
from dxf2turn.shop.bending import chuck_and_tailstock, overhung, passive_force, second_moment
from dxf2turn.shop.cutting import cutting_data, finishing_feed
from dxf2turn.shop.forces import cutting_force, drilling_torque, largest_depth, torque_at
from dxf2turn.shop.model import CuttingData, Machine, Tool
from dxf2turn.shop.speeds import spindle_speed
from dxf2turn.units import plain_text

LEAST_DEPTH = 0.3  # a roughing cut is not made shallower for the sake of power or bending, mm
LOWERED = (
    1.0,
    0.85,
    0.7,
    0.6,
    0.5,
    0.4,
)  # shares of feed and speed that a weak spindle drills with (judgement)
TWO_LIPPED = ("drill", "flat drill")
LEAST_RADIUS = 0.5  # smallest radius for which a spindle speed is worked out, mm

ON_AXIS = ("drill", "flat drill", "centre drill", "reamer", "tap")
ONE_SPEED = (*ON_AXIS, "threading", "inside threading", "knurl")


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What a step has to cut. operation: a word of the plan. radius: the largest that is cut, mm.

    depth: wanted depth of a pass, None = what tool and table allow. ra_um: roughness to reach, None = none.
    overhang, diameter: of the work out of the jaws, for its bending; 0 = not checked. propped: the other
    end of that length is held as well.
    """

    operation: str
    radius: float
    depth: float | None = None
    ra_um: float | None = None
    overhang: float = 0.0
    diameter: float = 0.0
    propped: bool = False


def choose(cell: Cell, tool: Tool, task: Task) -> Choice:
    """Cutting data for one step, within the limits of tool, machine, part and surface.

    Raises BadShopData when the cutting table has no row that could stand in.
    """
    data = cutting_data(cell.shop, task.operation, tool, cell.material)
    reasons = [f"{cell.material.name}: {data.source}"]
    if task.ra_um is not None:
        feed = finishing_feed(data, tool, task.ra_um, cell.practice.cutting)
        data = replace(data, feed_mm_per_rev=feed)
        reasons.append(f"feed {plain_text(feed)} mm for Ra {plain_text(task.ra_um)} um (f = sqrt(32 r Ra))")
    if task.depth is not None:
        data = replace(data, depth=task.depth)
    elif tool.kind in ("turning", "boring") and task.ra_um is None:
        data, why = _held(cell, tool, task, data)
        reasons += why
    elif tool.kind in TWO_LIPPED:
        data, why = _turned(cell, tool, data)
        reasons += why
    spindle = spindle_for(cell.machine, tool, data.speed_m_per_min, task.radius)
    feed = round(data.feed_mm_per_rev, 4)
    return Choice(spindle=spindle, feed=feed, depth=data.depth, why="; ".join(reasons))


def data_of(choice: Choice) -> CuttingData:
    """The cutting data of a choice, for the operations that make moves."""
    return CuttingData(
        speed_m_per_min=choice.spindle.value,
        feed_mm_per_rev=choice.feed,
        depth=choice.depth,
        source=choice.why,
    )


def _held(cell: Cell, tool: Tool, task: Task, data: CuttingData) -> tuple[CuttingData, list[str]]:
    """The depth lowered to what the machine's torque and power and the part's stiffness hold."""
    kappa = tool.cutting_edge_angle or math.pi / 2.0
    kappa = min(kappa, math.pi - kappa)
    reasons: list[str] = []
    diameter = 2.0 * max(task.radius, LEAST_RADIUS)
    most = largest_depth(
        cell.material, cell.machine, diameter, data.speed_m_per_min, data.feed_mm_per_rev, kappa
    )
    if most < data.depth:
        reasons.append(f"depth {plain_text(most)} mm: what the spindle's power holds (Kienzle)")
        data = replace(data, depth=max(LEAST_DEPTH, most))
    force = cutting_force(cell.material, data.depth, data.feed_mm_per_rev, kappa)
    reasons.append(f"cutting force {force:.0f} N (Kienzle)")
    if task.overhang > 0.0 and task.diameter > 0.0:
        moment = second_moment(task.diameter)
        held = chuck_and_tailstock if task.propped else overhung
        bend = held(passive_force(force), task.overhang, cell.material.youngs_modulus, moment)
        most_bend = cell.practice.turning.most_bending_mm
        if bend > most_bend:
            depth = max(LEAST_DEPTH, data.depth * most_bend / bend)
            reasons.append(
                f"depth {plain_text(depth)} mm: at {plain_text(data.depth)} mm the part would bend "
                f"{plain_text(bend)} mm"
            )
            data = replace(data, depth=depth)
    return data, reasons


def _turned(cell: Cell, tool: Tool, data: CuttingData) -> tuple[CuttingData, list[str]]:
    """Feed and speed of a drill lowered to what the spindle turns, the quickest pair of `LOWERED` first."""
    ways = ((f, v) for f in LOWERED for v in LOWERED)
    for feed_share, speed_share in sorted(ways, key=lambda way: -way[0] * way[1]):
        feed, speed = data.feed_mm_per_rev * feed_share, data.speed_m_per_min * speed_share
        rpm = spindle_for(cell.machine, tool, speed, 0.0).value
        torque = drilling_torque(cell.material, tool.diameter_mm or 0.0, feed, tool.point_angle or math.pi)
        if torque <= torque_at(cell.machine, rpm):
            if feed_share == speed_share == 1.0:
                return data, []
            why = f"feed {plain_text(feed)} mm at {rpm:.0f} rev/min: what the spindle turns ({torque:.0f} Nm)"
            return replace(data, feed_mm_per_rev=feed, speed_m_per_min=speed), [why]
    return data, []


def spindle_for(machine: Machine, tool: Tool, speed_m_per_min: float, radius: float) -> Spindle:
    """Surface speed where machine and tool allow it, else one spindle speed for the largest diameter."""
    size = 0.5 * (tool.diameter_mm or 0.0) if tool.kind in ON_AXIS else radius
    if tool.kind not in ONE_SPEED and machine.constant_surface_speed:
        return Spindle(
            mode="surface speed",
            value=round(speed_m_per_min, 1),
            limit_rpm=machine.max_rpm,
            direction=tool.direction,
        )
    rpm = spindle_speed(2.0 * max(size, LEAST_RADIUS), speed_m_per_min, machine.max_rpm)
    value = float(math.floor(max(machine.min_rpm, rpm)))
    return Spindle(mode="rpm", value=value, limit_rpm=machine.max_rpm, direction=tool.direction)
