"""Grooves that plain turning can't make: walls that lean over the floor."""

from __future__ import annotations

from dxf2turn.contour.model import Contour, located
from dxf2turn.features.model import Feature, Groove
from dxf2turn.findings import Finding, Severity
from dxf2turn.units import plain_text


def overhangs(contour: Contour, features: tuple[Feature, ...]) -> tuple[Finding, ...]:
    """One finding for each groove with an overhanging wall (dovetail, tee slot)."""
    return tuple(
        Finding(
            code="features/groove-overhangs",
            severity=Severity.FIX,
            text=f"{groove.id}: groove {plain_text(groove.width, 2)} mm wide with a wall that leans over its "
            "floor (dovetail or tee): not to be made by plain turning",
            hint="Make the walls upright, or plan it with a form tool.",
            where=located(contour.frame, 0.5 * (groove.z_front + groove.z_back), groove.floor_radius),
            measured=groove.depth,
        )
        for groove in features
        if isinstance(groove, Groove) and groove.overhangs
    )
