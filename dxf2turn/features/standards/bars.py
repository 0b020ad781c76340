"""Bar sizes: the largest diameter of a part that is one, or that misses one by little."""

from __future__ import annotations

from dataclasses import replace

from dxf2turn import tables
from dxf2turn.features.model import Cylinder, Feature
from dxf2turn.units import MM_PER_INCH, plain_text

SAME = 0.01  # mm
OVER = 0.015  # a diameter this share above a bar needs the next bar for very little
INCH_SERIES = "inch"  # series of bars in inches start with this


def with_bar_size(feature: Feature, largest: float, inch: bool) -> Feature:
    """The feature with a note when it is the largest cylinder (radius `largest`) and a bar has its diameter,
    or nearly. inch: the drawing's numbers are inches, so inch bars are looked at."""
    if not isinstance(feature, Cylinder) or feature.radius < largest or feature.side != "outside":
        return feature
    said = _said(2.0 * feature.radius, inch)
    return replace(feature, note="; ".join(filter(None, (feature.note, said))))


def _said(diameter: float, inch: bool) -> str:
    rows = [row for row in tables.rows("bar_stock") if row["series"].startswith(INCH_SERIES) == inch]
    same = [row["series"] for row in rows if abs(row.number("diameter_mm") - diameter) <= SAME]
    if same:
        return f"bar size: {', '.join(dict.fromkeys(name.partition(' (')[0] for name in same))}"
    below = max((d for row in rows if (d := row.number("diameter_mm")) < diameter), default=0.0)
    if diameter - below > OVER * below:
        return ""
    unit, name = (MM_PER_INCH, "inch") if inch else (1.0, "mm")
    more, bar = plain_text((diameter - below) / unit, 4), plain_text(below / unit, 4)
    return f"{more} {name} above the bar of {bar} {name}"
