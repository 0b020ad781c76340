"""Words that findings share: sizes and places for people."""

from __future__ import annotations

import math

from dxf2turn.features.model import Feature
from dxf2turn.units import plain_text


def mm(value: float) -> str:
    """A length."""
    return f"{plain_text(value)} mm"


def deg(angle: float) -> str:
    """An angle in radians as degrees."""
    return f"{plain_text(math.degrees(angle), 1)} degrees"


def spot(z: float, r: float) -> str:
    """A place as the machinist reads it: X is a diameter."""
    return f"Z {plain_text(z)} X {plain_text(2.0 * r)}"


def named(feature: Feature) -> str:
    """A feature with its id and where it begins and ends."""
    kind = feature.kind.replace("_", " ")
    return f"{kind} {feature.id} (Z {plain_text(feature.z_front)} to {plain_text(feature.z_back)})"
