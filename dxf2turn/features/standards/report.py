"""Findings of the standards: a feature that is nearly, but not quite, what a table says."""

from __future__ import annotations

from dxf2turn.contour.model import Contour, located
from dxf2turn.features.model import Feature
from dxf2turn.findings import Finding, Severity


def near_miss(
    contour: Contour, feature: Feature, text: str, values: tuple[float, float], source: str
) -> Finding:
    """A note that a feature misses a standard by little. values: (drawn, standard), mm."""
    middle = 0.5 * (feature.z_front + feature.z_back)
    return Finding(
        code="features/near-standard",
        severity=Severity.NOTE,
        text=text,
        hint="Leave it if it is meant so; else take the standard size.",
        where=located(contour.frame, middle, feature.r_large),
        measured=values[0],
        limit=values[1],
        source=source,
    )
