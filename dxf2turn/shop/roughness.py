"""Roughness from feed and nose radius, and the nose radius in programmed points.

Units: mm, micrometres for roughness, radians. Source keys (S45 ...) are explained in docs/tables.md.
"""

from __future__ import annotations

import math

UM_PER_MM = 1000.0
RA_DIVISOR = 32.0  # Ra = f^2 / (32 r); exactly 18 sqrt 3 = 31.18 for a train of parabolas


def peak_to_valley(feed_mm_per_rev: float, nose_radius: float) -> float:
    """Theoretical height in micrometres: Rt = f^2 / (8 r) (S45, S29)."""
    return UM_PER_MM * feed_mm_per_rev**2 / (8.0 * nose_radius)


def mean_roughness(feed_mm_per_rev: float, nose_radius: float) -> float:
    """Theoretical Ra in micrometres: f^2 / (32 r), the rounded mean of the parabola train."""
    return UM_PER_MM * feed_mm_per_rev**2 / (RA_DIVISOR * nose_radius)


def feed_for(ra_um: float, nose_radius: float) -> float:
    """Largest feed in mm/rev for a theoretical Ra: f = sqrt(32 r Ra)."""
    return math.sqrt(RA_DIVISOR * nose_radius * ra_um / UM_PER_MM)


def cone_shift(nose_radius: float, angle: float) -> tuple[float, float]:
    """(z, r) by which the imaginary tip misses a cone at `angle` to the axis, mm (S52).

    In r: R (1 - tan((90 - A) / 2)); in z: R (1 - tan(A / 2)).
    """
    quarter = 0.5 * math.pi
    return (
        nose_radius * (1.0 - math.tan(0.5 * angle)),
        nose_radius * (1.0 - math.tan(0.5 * (quarter - angle))),
    )


def tip_shift(corner_angle: float, edge_angle: float) -> tuple[float, float]:
    """(z, r) by which the tip moves per mm that the corner radius gets smaller in the same holder (S29).

    r: cos(e/2 + kappa - 90) / sin(e/2) - 1; z the same with the sine.
    """
    half = 0.5 * corner_angle
    turned = half + edge_angle - 0.5 * math.pi
    return math.sin(turned) / math.sin(half) - 1.0, math.cos(turned) / math.sin(half) - 1.0
