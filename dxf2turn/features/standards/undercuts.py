"""DIN 509 undercuts: form E (into the cylinder), form F (into cylinder and face)."""

from __future__ import annotations

import re
from dataclasses import replace

from dxf2turn import tables
from dxf2turn.contour.model import Contour
from dxf2turn.features.model import Groove
from dxf2turn.features.standards.report import near_miss
from dxf2turn.findings import Finding
from dxf2turn.units import plain_text

RADIUS_OFF = 0.1  # mm, the table's own tolerance
DEPTH_PLUS = 0.1
WIDTH_PLUS = 0.2
ROUNDING = 0.02  # mm, drawn short of the table by rounding
NEAR = 0.35  # within this share of radius and depth it is a near miss


def match_undercut(contour: Contour, groove: Groove) -> tuple[Groove, tuple[Finding, ...]]:
    """The undercut with its designation; a near miss, or one for another diameter, is named."""
    form = "F" if groove.mouth is not None and len(groove.mouth) > 2 else "E"
    diameter = 2.0 * (groove.floor_radius + (groove.depth if groove.opens == "out" else -groove.depth))
    rows = sorted(
        (row for row in tables.rows("undercuts") if row["form"] == form),
        key=lambda row: (not in_range(row["for_diameter_d1_mm"], diameter), _off(groove, row)),
    )
    for row in rows:
        if _fits(groove, row):
            named = replace(groove, purpose="undercut", standard=f"DIN 509 - {row['designation']}")
            if in_range(row["for_diameter_d1_mm"], diameter):
                return named, ()
            text = f"DIN 509 - {row['designation']} is meant for diameters {row['for_diameter_d1_mm']} mm"
            return named, (near_miss(contour, groove, text, (diameter, diameter), row.source()),)
    best = min(rows, key=lambda row: _off(groove, row))
    if _off(groove, best) > NEAR:
        return groove, ()
    text = (
        f"undercut r {plain_text(groove.corner_radius, 2)}, {plain_text(groove.depth, 2)} mm deep and "
        f"{plain_text(groove.width, 2)} mm wide; DIN 509 - {best['designation']} is "
        f"{plain_text(best.number('f_mm'), 2)} mm wide"
    )
    return groove, (near_miss(contour, groove, text, (groove.width, best.number("f_mm")), best.source()),)


def in_range(text: str, diameter: float) -> bool:
    """Whether a diameter lies in a range such as "over 18 to 80", "1.6 and below" or "over 125".

    >>> in_range("over 18 to 80", 80.0), in_range("over 18 to 80", 18.0), in_range("1.6 and below", 1.0)
    (True, False, True)
    """
    over = re.search(r"over ([\d.]+)", text)
    upto = re.search(r"to ([\d.]+)|([\d.]+) and below", text)
    low = float(over[1]) if over else 0.0
    high = float(upto[1] or upto[2]) if upto else float("inf")
    return low < diameter <= high


def _fits(groove: Groove, row: tables.Row) -> bool:
    return (
        abs(groove.corner_radius - row.number("r_mm")) <= min(RADIUS_OFF, 0.1 * row.number("r_mm") + ROUNDING)
        and -ROUNDING <= groove.depth - row.number("t1_mm") <= DEPTH_PLUS
        and -ROUNDING <= groove.width - row.number("f_mm") <= WIDTH_PLUS
    )


def _off(groove: Groove, row: tables.Row) -> float:
    """The largest relative difference of radius, depth and width."""
    pairs = ((groove.corner_radius, "r_mm"), (groove.depth, "t1_mm"), (groove.width, "f_mm"))
    return max(abs(drawn - row.number(column)) / row.number(column) for drawn, column in pairs)
