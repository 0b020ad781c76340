"""Chamfers, rounds and fillets: whether their size is a preferred one, said in the feature's note."""

from __future__ import annotations

from dataclasses import replace

from dxf2turn import tables
from dxf2turn.features.model import Chamfer, EdgeRound, Feature, Fillet
from dxf2turn.units import MM_PER_INCH, plain_text

SAME = 0.002  # mm
INCH_STEPS = (1.0 / 64.0, 0.005)  # on inch drawings: a 64th or five thousandths


def with_preferred_size(feature: Feature, inch: bool) -> Feature:
    """The feature with a note when its size is no preferred one. inch: the drawing's numbers are inches."""
    if isinstance(feature, Chamfer):
        size, kind = min(feature.axial, feature.radial), "chamfer"
    elif isinstance(feature, Fillet | EdgeRound):
        size, kind = feature.radius, "radius"
    else:
        return feature
    sizes = preferred_sizes(kind)
    nearest = min(sizes, key=lambda preferred: abs(preferred - size))
    in_steps = inch and any(_is_multiple(size, step * MM_PER_INCH) for step in INCH_STEPS)
    if abs(nearest - size) <= SAME or in_steps or size > sizes[-1]:
        return feature
    text = f"{kind} {plain_text(size)} is no preferred size; {plain_text(nearest)} is"
    return replace(feature, note=f"{feature.note}; {text}" if feature.note else text)


def _is_multiple(size: float, step: float) -> bool:
    return abs(size - round(size / step) * step) <= SAME and size > 0.5 * step


def preferred_sizes(kind: str) -> tuple[float, ...]:
    """Preferred sizes in mm, ascending. kind: "radius" or "chamfer"."""
    return tuple(
        sorted(row.number("size_mm") for row in tables.rows("preferred_edges") if row["kind"] == kind)
    )
