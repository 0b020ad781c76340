"""Cutting speed, spindle speed and cutting time: closed formulas with their sources.

Units: diameters and lengths mm, speed m/min, spindle rev/min, feed mm/rev, times minutes. Source keys
(S45 ...) are explained in docs/tables.md.
"""

from __future__ import annotations

import math

MM_PER_M = 1000.0


def surface_speed(diameter_mm: float, rpm: float) -> float:
    """Cutting speed in m/min: vc = pi D n / 1000 (S45).

    >>> round(surface_speed(50.0, 700.0))
    110
    """
    return math.pi * diameter_mm * rpm / MM_PER_M


def spindle_speed(diameter_mm: float, speed_m_per_min: float, limit_rpm: float = math.inf) -> float:
    """Spindle speed in rev/min: n = 1000 vc / (pi D), never above `limit_rpm` (S45, S47). diameter >= 0."""
    circumference = math.pi * diameter_mm
    if circumference * limit_rpm <= MM_PER_M * speed_m_per_min:
        return limit_rpm
    return MM_PER_M * speed_m_per_min / circumference


def cap_diameter(speed_m_per_min: float, limit_rpm: float) -> float:
    """Diameter in mm below which the spindle stays at its limit: D = 1000 vc / (pi n) (S47)."""
    return MM_PER_M * speed_m_per_min / (math.pi * limit_rpm)


def feed_per_rev(feed_rate_mm_per_min: float, rpm: float) -> float:
    """Feed in mm/rev: f = vf / n (S45)."""
    return feed_rate_mm_per_min / rpm


def turning_time(length: float, feed_mm_per_rev: float, rpm: float) -> float:
    """Minutes for a length at constant spindle speed: t = L / (f n) (S45, S87)."""
    return length / (feed_mm_per_rev * rpm)


def turning_time_at_speed(
    diameter_mm: float, length: float, feed_mm_per_rev: float, speed_m_per_min: float
) -> float:
    """Minutes for a length on one diameter: t = pi D L / (1000 vc f) (S46)."""
    return math.pi * diameter_mm * length / (MM_PER_M * speed_m_per_min * feed_mm_per_rev)


def facing_time(from_mm: float, to_mm: float, feed_mm_per_rev: float, rpm: float) -> float:
    """Minutes to face from one diameter to a smaller one at constant speed: t = (D1 - D2) / (2 f n) (S46)."""
    return (from_mm - to_mm) / (2.0 * feed_mm_per_rev * rpm)


def facing_time_at_speed(
    from_mm: float,
    to_mm: float,
    feed_mm_per_rev: float,
    speed_m_per_min: float,
    limit_rpm: float = math.inf,
) -> float:
    """Minutes to face at constant surface speed, with the spindle at its limit near the axis.

    t = pi (D1^2 - D2^2) / (4000 vc f) down to the capped diameter (S46), the rest at constant speed.
    """
    cap = 0.0 if math.isinf(limit_rpm) else cap_diameter(speed_m_per_min, limit_rpm)
    middle = min(from_mm, max(to_mm, cap))
    followed = math.pi * (from_mm**2 - middle**2) / (4.0 * MM_PER_M * speed_m_per_min * feed_mm_per_rev)
    capped = facing_time(middle, to_mm, feed_mm_per_rev, limit_rpm) if middle > to_mm else 0.0
    return followed + capped


def cone_time(
    from_mm: float, to_mm: float, length: float, feed_mm_per_rev: float, speed_m_per_min: float
) -> float:
    """Minutes for a cone at constant surface speed, slant s: t = pi (D1 + D2) s / (2000 vc f) (S70)."""
    slant = math.hypot(length, 0.5 * (to_mm - from_mm))
    return turning_time_at_speed(0.5 * (from_mm + to_mm), slant, feed_mm_per_rev, speed_m_per_min)


def removal_rate(speed_m_per_min: float, depth: float, feed_mm_per_rev: float) -> float:
    """Metal removal in cm3/min: Q = vc ap f (S29, S46)."""
    return speed_m_per_min * depth * feed_mm_per_rev


def passes(from_mm: float, to_mm: float, depth: float) -> int:
    """Number of passes between two diameters: ceil((D1 - D2) / (2 ap)) (S46)."""
    return max(0, math.ceil((from_mm - to_mm) / (2.0 * depth) - COUNT_SLACK))


COUNT_SLACK = 1e-9  # a last pass thinner than this share of the depth is rounding
