"""Chamfers, rounds and fillets: whether their size is a preferred one, said in the feature's note."""

from __future__ import annotations

from dataclasses import replace

from dxf2turn import tables
from dxf2turn.features.model import Chamfer, EdgeRound, Feature, Fillet
from dxf2turn.units import MM_PER_INCH, plain_text

SAME = 0.002  # mm
SIXTY_FOURTHS = 64.0


def with_preferred_size(feature: Feature) -> Feature:
    """The feature with a note when its size is neither preferred (mm) nor a 64th of an inch."""
    if isinstance(feature, Chamfer):
        size, kind = min(feature.axial, feature.radial), "chamfer"
    elif isinstance(feature, Fillet | EdgeRound):
        size, kind = feature.radius, "radius"
    else:
        return feature
    sizes = preferred_sizes(kind)
    nearest = min(sizes, key=lambda preferred: abs(preferred - size))
    parts = size / MM_PER_INCH * SIXTY_FOURTHS
    inch = abs(parts - round(parts)) * MM_PER_INCH / SIXTY_FOURTHS <= SAME and round(parts) > 0
    if abs(nearest - size) <= SAME or inch or size > sizes[-1]:
        return feature
    text = f"{kind} {plain_text(size)} is no preferred size; {plain_text(nearest)} is"
    return replace(feature, note=f"{feature.note}; {text}" if feature.note else text)


def preferred_sizes(kind: str) -> tuple[float, ...]:
    """Preferred sizes in mm, ascending. kind: "radius" or "chamfer"."""
    return tuple(
        sorted(row.number("size_mm") for row in tables.rows("preferred_edges") if row["kind"] == kind)
    )
