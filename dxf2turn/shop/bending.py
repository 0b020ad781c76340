"""How far a slender part or a bar bends under the cutting force.

Units: mm, N, N/mm2. Source keys (S72 ...) are explained in docs/tables.md.
"""

from __future__ import annotations

import math

from dxf2turn.shop.bodies import usual

PASSIVE_SHARE = usual("passive_share")  # passive (radial) force over cutting force


def second_moment(diameter_mm: float, bore_mm: float = 0.0) -> float:
    """Second moment of area of a round section, mm4: I = pi (D^4 - d^4) / 64."""
    return math.pi * (diameter_mm**4 - bore_mm**4) / 64.0


def overhung(force: float, length: float, modulus: float, moment: float) -> float:
    """Bending at the free end of a bar held at one end: y = F L^3 / (3 E I) (S72)."""
    return force * length**3 / (3.0 * modulus * moment)


def between_centres(force: float, length: float, modulus: float, moment: float) -> float:
    """Bending at mid-span of a bar held at both ends by centres: y = F L^3 / (48 E I) (S50)."""
    return force * length**3 / (48.0 * modulus * moment)


def chuck_and_tailstock(force: float, length: float, modulus: float, moment: float) -> float:
    """Bending at mid-span, one end clamped, the other on a centre: y = 7 F L^3 / (768 E I) (from memory)."""
    return 7.0 * force * length**3 / (768.0 * modulus * moment)


def passive_force(cutting_force: float) -> float:
    """Radial force in N that bends the part (common practice, no source)."""
    return PASSIVE_SHARE * cutting_force
