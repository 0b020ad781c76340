"""Cutting force and power after Kienzle, and what a machine can give.

Units: lengths mm, force N, specific force N/mm2, power kW, torque Nm, speed m/min. Source keys (S32 ...) are
explained in docs/tables.md.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from dxf2turn.shop.model import Machine, Material

WATT_PER_KW = 1000.0
KW_DIVISOR = 60_000.0  # N m/min per kW
TAP_TEETH = 10.0  # three lands times the pitches of the chamfer, from memory
TINY = 1e-9  # rounding
DEFAULT_EDGE = math.radians(90.0)  # cutting edge angle where a tool states none


def specific_force(material: Material, chip_thickness: float) -> float:
    """Specific cutting force in N/mm2: kc = kc1.1 h^-mc (S32), h in mm.

    Holds for h of about 0.05 to 2.5 mm; outside the formula is used as it stands.
    """
    return material.kc11 * chip_thickness**-material.mc


def cutting_force(
    material: Material, depth: float, feed_mm_per_rev: float, edge_angle: float = DEFAULT_EDGE
) -> float:
    """Cutting force in N: Fc = kc b h with h = f sin kappa, b = ap / sin kappa (S32). edge_angle: radians."""
    thickness = feed_mm_per_rev * math.sin(edge_angle)
    width = depth / math.sin(edge_angle)
    return specific_force(material, thickness) * width * thickness


def cutting_power(force: float, speed_m_per_min: float) -> float:
    """Power at the edge in kW: Pc = Fc vc / 60000 (S69)."""
    return force * speed_m_per_min / KW_DIVISOR


def motor_power(force: float, speed_m_per_min: float, efficiency: float) -> float:
    """Power at the motor in kW: Pc / efficiency (S69)."""
    return cutting_power(force, speed_m_per_min) / efficiency


def cutting_torque(force: float, diameter_mm: float) -> float:
    """Torque at the spindle in Nm of a force at a diameter."""
    return 0.5 * force * diameter_mm / WATT_PER_KW


def drilling_torque(
    material: Material, diameter_mm: float, feed_mm_per_rev: float, point_angle: float
) -> float:
    """Torque in Nm of a two-lipped drill (from memory): M = kc f D^2 / 8, h = f/2 sin(point angle / 2)."""
    thickness = 0.5 * feed_mm_per_rev * math.sin(0.5 * point_angle)
    return specific_force(material, thickness) * feed_mm_per_rev * diameter_mm**2 / 8.0 / WATT_PER_KW


def torque_at(machine: Machine, rpm: float) -> float:
    """Torque in Nm that the spindle gives: the curve of the machine, and never above its power."""
    points = machine.torque_points
    torque = points[0][1] if rpm <= points[0][0] else points[-1][1]
    for (n0, m0), (n1, m1) in zip(points, points[1:]):
        if n0 <= rpm <= n1:
            torque = m0 + (m1 - m0) * (rpm - n0) / (n1 - n0)
    return min(torque, _torque_of(machine.power_kw * machine.efficiency, rpm))


def fastest_with(machine: Machine, torque: float, rpm: float) -> float | None:
    """The highest speed, not above `rpm`, at which the spindle gives a torque in Nm; None if it never does.

    Speeds at which it gives just that much are on the lines of the curve and where its power ends.
    """
    points = machine.torque_points
    crossings = (
        n0 + (n1 - n0) * (m0 - torque) / (m0 - m1)
        for (n0, m0), (n1, m1) in zip(points, points[1:])
        if min(m0, m1) <= torque <= max(m0, m1) and m0 != m1
    )
    by_power = machine.power_kw * machine.efficiency * KW_DIVISOR / (2.0 * math.pi * max(torque, TINY))
    speeds = (rpm, by_power, machine.min_rpm, *(n for n, _ in points), *crossings)
    usable = (n for n in speeds if machine.min_rpm <= n <= rpm)
    return max((n for n in usable if torque_at(machine, n) >= torque * (1.0 - TINY)), default=None)


def threading_torque(
    material: Material, depths: Sequence[float], half_angle: float, flat: float, diameter_mm: float
) -> float:
    """Greatest torque in Nm of the passes of a thread. depths: total depth after each, mm on the radius.

    A tip `flat` wide with flanks at `half_angle` has cut the area flat t + t^2 tan(half_angle) at depth t;
    a pass takes the difference, spread over its tip and one flank (Kienzle with that thickness, S32).
    """
    slope = math.tan(half_angle)
    areas = [flat * t + slope * t * t for t in (0.0, *depths)]
    chips = [(b - a, flat + t / math.cos(half_angle)) for a, b, t in zip(areas, areas[1:], depths) if b > a]
    forces = [specific_force(material, area / contact) * area for area, contact in chips]
    return cutting_torque(max(forces, default=0.0), diameter_mm)


def tapping_torque(
    material: Material, pitch: float, depth: float, half_angle: float, diameter_mm: float
) -> float:
    """Torque in Nm of a tap that cuts a thread of a depth, mm on the radius, about a mean diameter.

    In one turn it takes the whole groove, 7/8 pitch wide at its mouth; some ten teeth share the depth
    (from memory).
    """
    groove = depth * (0.875 * pitch - depth * math.tan(half_angle))
    return cutting_torque(specific_force(material, depth / TAP_TEETH) * groove, diameter_mm)


def power_at(machine: Machine, rpm: float) -> float:
    """Power in kW at the spindle: what its torque gives at that speed."""
    return torque_at(machine, rpm) * rpm * 2.0 * math.pi / KW_DIVISOR


def largest_depth(
    material: Material,
    machine: Machine,
    diameter_mm: float,
    speed_m_per_min: float,
    feed_mm_per_rev: float,
    edge_angle: float = DEFAULT_EDGE,
) -> float:
    """Largest depth of cut in mm that the machine's torque allows at a diameter and cutting speed.

    The force grows in proportion to the depth, so the depth follows in closed form.
    """
    limited = WATT_PER_KW * speed_m_per_min / (math.pi * diameter_mm)
    rpm = min(machine.max_rpm, max(machine.min_rpm, limited))
    force_per_mm = cutting_force(material, 1.0, feed_mm_per_rev, edge_angle)
    return torque_at(machine, rpm) / cutting_torque(force_per_mm, diameter_mm)


def _torque_of(power_kw: float, rpm: float) -> float:
    """Torque in Nm of a power in kW."""
    return power_kw * KW_DIVISOR / (2.0 * math.pi * rpm)
