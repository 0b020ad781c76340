"""Speed, feed and depth of a step, held to what machine, part and surface allow; each with its reason."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from dxf2turn.planning.bench import Cell, Choice
from dxf2turn.planning.model import Spindle
from dxf2turn.planning.overload import edge_angle
from dxf2turn.planning.spindle_load import FEED_SHARES, ON_AXIS, cutting_radius, held
from dxf2turn.shop.bending import overhung, passive_force, second_moment
from dxf2turn.shop.cutting import cutting_data, finishing_feed
from dxf2turn.shop.forces import cutting_force, largest_depth
from dxf2turn.shop.model import CuttingData, Machine, Tool
from dxf2turn.shop.speeds import spindle_speed
from dxf2turn.units import plain_text

DEPTH_SHARES = (1.0, 0.85, 0.7, 0.6, 0.5, 0.4, 0.3, 0.2)  # of the depth, that are tried (judgement)
ONE_SPEED = (*ON_AXIS, "threading", "inside threading", "knurl")

Give = Callable[[float], float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What a step has to cut. operation: a word of the plan. radius: the largest that is cut, mm.

    depth: wanted depth of a pass, None = what tool and table allow. ra_um: roughness to reach, None = none.
    give: how far the work bends under a radial force of 1 N while a pass of some depth is taken off it, mm;
    None = not looked at. The bar of an inside tool is always looked at.
    """

    operation: str
    radius: float
    depth: float | None = None
    ra_um: float | None = None
    give: Give | None = None


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
        data, why = _powered(cell, tool, task, data)
        reasons += why
    data, why = _stiff(cell, tool, task, data)
    reasons += why
    turned = held(cell, tool, data, task.radius)
    data = data if turned is None else turned.data
    reasons += [turned.why] if turned is not None and turned.why else []
    return Choice(
        spindle=spindle_for(cell.machine, tool, data.speed_m_per_min, task.radius),
        feed=round(data.feed_mm_per_rev, 4),
        depth=data.depth,
        why="; ".join(reasons),
        turns=turned is not None,
    )


def data_of(choice: Choice) -> CuttingData:
    """The cutting data of a choice, for the operations that make moves."""
    return CuttingData(
        speed_m_per_min=choice.spindle.value,
        feed_mm_per_rev=choice.feed,
        depth=choice.depth,
        source=choice.why,
    )


def _powered(cell: Cell, tool: Tool, task: Task, data: CuttingData) -> tuple[CuttingData, list[str]]:
    """The depth lowered to what the machine's torque and power hold, and the force that it takes."""
    kappa = edge_angle(tool)
    radius = cutting_radius(tool, task.radius)
    most = largest_depth(
        cell.material, cell.machine, 2.0 * radius, data.speed_m_per_min, data.feed_mm_per_rev, kappa
    )
    if cell.machine.constant_surface_speed:  # The tip, not the surface, runs at that speed.
        tip = max(radius - min(most, data.depth), 0.5 * radius)
        most *= tip / (0.5 * (tip + radius))
    reasons: list[str] = []
    if most < data.depth:
        depth = max(cell.practice.cutting.least_depth_mm, most)
        reasons.append(f"depth {plain_text(depth)} mm: what the spindle's power holds (Kienzle)")
        data = replace(data, depth=depth)
    force = cutting_force(cell.material, data.depth, data.feed_mm_per_rev, kappa)
    return data, [*reasons, f"cutting force {force:.0f} N (Kienzle)"]


def _stiff(cell: Cell, tool: Tool, task: Task, data: CuttingData) -> tuple[CuttingData, list[str]]:
    """Depth of roughing, then feed, lowered to what the work or the bar of an inside tool gives way."""
    bar = bar_give(tool)
    give = bar or task.give
    if give is None or tool.kind not in ("turning", "boring"):
        return data, []
    free = task.depth is None and task.ra_um is None
    turning = cell.practice.turning
    most = turning.most_bending_mm if free else turning.most_free_bending_mm
    bend = _bend(cell, tool, data, give)
    if bend <= most:
        return data, []
    depths = _depths(cell, data) if free else (data.depth,)
    cuts = [
        replace(data, depth=d, feed_mm_per_rev=f * data.feed_mm_per_rev) for f in FEED_SHARES for d in depths
    ]
    light = (cut for cut in cuts if _bend(cell, tool, cut, give) <= most)
    lighter = next(light, None) or min(cuts, key=lambda cut: _bend(cell, tool, cut, give))
    force = cutting_force(cell.material, lighter.depth, lighter.feed_mm_per_rev, edge_angle(tool))
    why = (
        f"depth {plain_text(lighter.depth)} mm, feed {plain_text(lighter.feed_mm_per_rev)} mm: at "
        f"{plain_text(data.depth)} and {plain_text(data.feed_mm_per_rev)} mm the {'bar' if bar else 'part'} "
        f"would bend {plain_text(bend, 3)} mm, now {plain_text(_bend(cell, tool, lighter, give), 3)} mm "
        f"under {force:.0f} N"
    )
    return lighter, [why]


def _depths(cell: Cell, data: CuttingData) -> tuple[float, ...]:
    """Depths of roughing that are tried, the largest first."""
    least = min(data.depth, cell.practice.cutting.least_depth_mm)
    return tuple(max(least, share * data.depth) for share in DEPTH_SHARES)


def _bend(cell: Cell, tool: Tool, data: CuttingData, give: Give) -> float:
    force = cutting_force(cell.material, data.depth, data.feed_mm_per_rev, edge_angle(tool))
    return passive_force(force) * give(data.depth)


def bar_give(tool: Tool) -> Give | None:
    """How far the bar of an inside tool bends under 1 N at its tip, mm; None without one."""
    if tool.bar_mm is None or tool.overhang is None or tool.bar_modulus is None:
        return None
    bend = overhung(1.0, tool.overhang, tool.bar_modulus, second_moment(tool.bar_mm))
    return lambda depth: bend


def spindle_for(machine: Machine, tool: Tool, speed_m_per_min: float, radius: float) -> Spindle:
    """Surface speed where machine and tool allow it, else one spindle speed for the largest diameter.

    Nor where the surface speed would ask for less than the spindle's least speed there.
    """
    size = cutting_radius(tool, radius)
    rpm = spindle_speed(2.0 * size, speed_m_per_min, machine.max_rpm)
    if tool.kind not in ONE_SPEED and machine.constant_surface_speed and rpm >= machine.min_rpm:
        return Spindle(
            mode="surface speed",
            value=round(speed_m_per_min, 1),
            limit_rpm=machine.max_rpm,
            direction=tool.direction,
        )
    value = float(math.floor(max(machine.min_rpm, rpm)))
    return Spindle(mode="rpm", value=value, limit_rpm=machine.max_rpm, direction=tool.direction)
