"""Standard tapers: Morse, metric, Jarno, Jacobs by ratio and diameter; 1:x and 7/24 by ratio alone."""

from __future__ import annotations

from dataclasses import replace

from dxf2turn import tables
from dxf2turn.contour.model import Contour
from dxf2turn.features.model import Taper
from dxf2turn.features.standards.report import near_miss
from dxf2turn.findings import Finding
from dxf2turn.units import plain_text

SAME = 0.0004  # ratios within this share are the same: MT2 (1:20.020) and 1:20 differ by 0.001
NEAR = 0.01  # within this share it is a near miss
LARGE_END = 0.08  # the large end may lie this share beyond the gauge diameter (cut back or run over)
GENERAL = ("ISO 1119 general", "Steep taper (7/24)")


def match_cone(contour: Contour, taper: Taper) -> tuple[Taper, tuple[Finding, ...]]:
    """The taper with its standard; a ratio that is nearly a standard one is named."""
    rows = sorted(_candidates(taper), key=lambda row: _off(taper, row))
    exact = [row for row in rows if _off(taper, row) <= SAME]
    if exact:
        best = min(exact, key=lambda row: (row["family"] in GENERAL, _off(taper, row)))
        return replace(taper, standard=_name(best)), ()
    if rows and _off(taper, rows[0]) <= NEAR:
        best = rows[0]
        text = f"taper 1:{plain_text(1.0 / taper.ratio)}; {_name(best)} is {best['ratio']}"
        wanted = best.number("taper_per_unit_length")
        return taper, (near_miss(contour, taper, text, (taper.ratio, wanted), best.source()),)
    return taper, ()


def _candidates(taper: Taper) -> list[tables.Row]:
    """Rows that a taper of these diameters can be."""
    small, large = 2.0 * taper.r_small, 2.0 * taper.r_large
    found = []
    for row in tables.rows("tapers"):
        gauge, end = (
            row.optional_number("gauge_or_large_diameter_mm"),
            row.optional_number("small_diameter_mm"),
        )
        if row["family"] in GENERAL or (
            gauge is not None
            and large <= gauge * (1.0 + LARGE_END)
            and large > (end or 0.5 * gauge)
            and small >= (end or 0.5 * gauge) * (1.0 - LARGE_END)
        ):
            found.append(row)
    return found


def _off(taper: Taper, row: tables.Row) -> float:
    wanted = row.number("taper_per_unit_length")
    return abs(taper.ratio - wanted) / wanted


def _name(row: tables.Row) -> str:
    if row["family"] in GENERAL:
        return "7/24" if "7/24" in row["family"] else f"ISO 1119 {row['ratio']}"
    return (
        f"{row['family']} {row['designation']}" if row["family"] != "Morse" else f"Morse {row['designation']}"
    )
