"""What the spindle holds: feed and speed of a step lowered until the torque that it asks for is there.

The formulas are those of `shop/forces.py` (Kienzle). The depth of roughing is lowered before: `cutting.py`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from dxf2turn.planning.bench import Cell
from dxf2turn.planning.overload import BLADES, edge_angle
from dxf2turn.shop.forces import cutting_force, cutting_torque, drilling_torque, fastest_with
from dxf2turn.shop.model import CuttingData, Tool
from dxf2turn.shop.speeds import spindle_speed, surface_speed
from dxf2turn.units import plain_text

LEAST_RADIUS = 0.5  # smallest radius for which a spindle speed is worked out, mm
FEED_SHARES = (1.0, 0.85, 0.7, 0.6, 0.5, 0.4)  # of the feed, that are tried: with less a cut rubs (judgement)
TENTHS = 10.0  # surface speeds are stated in tenths of a metre
DRILLS = ("drill", "flat drill", "centre drill")
ON_AXIS = (*DRILLS, "reamer", "tap")


@dataclass(frozen=True, slots=True)
class Held:
    """Cutting data that the spindle turns. why: what was lowered, empty where nothing was."""

    data: CuttingData
    why: str = ""


def cutting_radius(tool: Tool, radius: float) -> float:
    """Radius that a tool's speed counts for, mm: of a tool on the axis its own, else that of the work."""
    return max(0.5 * (tool.diameter_mm or 0.0) if tool.kind in ON_AXIS else radius, LEAST_RADIUS)


def held(cell: Cell, tool: Tool, data: CuttingData, radius: float) -> Held | None:
    """The data with as much feed and speed as the spindle turns at a radius, mm; None where it is too weak.

    A blade cuts with its whole width, a turning tool with the depth in `data`. Of the shares of the feed the
    one that gets on quickest is taken, with the highest speed that it allows.
    """
    torque = _torque_of(cell, tool, data, radius)
    if torque is None:
        return Held(data)
    diameter, machine = 2.0 * cutting_radius(tool, radius), cell.machine
    wanted = max(machine.min_rpm, spindle_speed(diameter, data.speed_m_per_min, machine.max_rpm))
    feeds = [share * data.feed_mm_per_rev for share in FEED_SHARES]
    pairs = [(f, n) for f in feeds if (n := fastest_with(machine, torque(f), wanted)) is not None]
    if not pairs:
        return None
    feed, rpm = max(pairs, key=lambda pair: pair[0] * pair[1])
    if (feed, rpm) == (data.feed_mm_per_rev, wanted):
        return Held(data)
    speed = min(data.speed_m_per_min, math.floor(TENTHS * surface_speed(diameter, rpm)) / TENTHS)
    why = (
        f"feed {plain_text(feed)} mm at {rpm:.0f} rev/min: "
        f"what the spindle turns ({torque(feed):.0f} Nm, Kienzle)"
    )
    return Held(replace(data, feed_mm_per_rev=feed, speed_m_per_min=speed), why)


def _torque_of(cell: Cell, tool: Tool, data: CuttingData, radius: float) -> Callable[[float], float] | None:
    """Torque in Nm as a function of the feed; None for tools whose load does not follow from a feed."""
    material, diameter = cell.material, 2.0 * cutting_radius(tool, radius)
    if tool.kind in DRILLS:
        point = tool.point_angle or math.pi
        return lambda feed: drilling_torque(material, diameter, feed, point)
    if tool.kind in BLADES:
        width = tool.width or 0.0
        return lambda feed: cutting_torque(cutting_force(material, width, feed), diameter)
    if tool.kind in ("turning", "boring"):
        kappa = edge_angle(tool)
        return lambda feed: cutting_torque(cutting_force(material, data.depth, feed, kappa), diameter)
    return None

