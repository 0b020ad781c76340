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
GAUGE = 0.03  # the large end is at the gauge plane within this share of its diameter
SHARED_GAUGE = 0.003  # both ends of families that share their ratio with others (1:20)
GENERAL = ("ISO 1119 general", "ISO 1119 special / pipe-thread cone", "Steep taper (7/24)")
OWN_RATIO = ("Morse", "Jacobs")  # families whose sizes have ratios of their own


def match_cone(contour: Contour, taper: Taper) -> tuple[Taper, tuple[Finding, ...]]:
    """The taper with its standard; a ratio that is nearly a standard one is named.

    A sized taper needs its gauge diameter at the large end, or (Morse, Jacobs) a ratio that only it has.
    """
    rows = sorted(tables.rows("tapers"), key=lambda row: (_off(taper, row), not _sized(taper, row)))
    exact = [row for row in rows if _off(taper, row) <= SAME and _possible(taper, row)]
    if exact:
        best = min(exact, key=lambda row: (not _sized(taper, row), _off(taper, row)))
        return replace(taper, standard=_name(best)), ()
    near = [row for row in rows if _off(taper, row) <= NEAR and (_sized(taper, row) or _by_ratio(row))]
    if near:
        best = min(near, key=lambda row: (not _sized(taper, row), _off(taper, row)))
        text = f"taper 1:{plain_text(1.0 / taper.ratio)}; {_name(best)} is {best['ratio']}"
        wanted = best.number("taper_per_unit_length")
        return taper, (near_miss(contour, taper, text, (taper.ratio, wanted), best.source()),)
    return taper, ()


def _possible(taper: Taper, row: tables.Row) -> bool:
    """Whether a row with the right ratio may be meant for these diameters."""
    family = row["family"]
    if family in GENERAL or _sized(taper, row):
        return True
    gauge = row.optional_number("gauge_or_large_diameter_mm") or 0.0
    return family in OWN_RATIO and 2.0 * taper.r_small < gauge * (1.0 + GAUGE) and 4.0 * taper.r_large > gauge


def _by_ratio(row: tables.Row) -> bool:
    """A general taper 1:x; the angles of the same standard are any countersink's and barb's."""
    return row["family"] in GENERAL and "deg" not in row["designation"]


def _sized(taper: Taper, row: tables.Row) -> bool:
    """Whether the large end has the row's gauge diameter; where the ratio is shared, the small end too."""
    gauge = row.optional_number("gauge_or_large_diameter_mm")
    small = row.optional_number("small_diameter_mm")
    if gauge is None:
        return False
    if row["family"] in OWN_RATIO:
        return abs(2.0 * taper.r_large - gauge) <= GAUGE * gauge
    ends = [(2.0 * taper.r_large, gauge)] + ([(2.0 * taper.r_small, small)] if small is not None else [])
    return all(abs(drawn - wanted) <= SHARED_GAUGE * wanted for drawn, wanted in ends)


def _off(taper: Taper, row: tables.Row) -> float:
    wanted = row.number("taper_per_unit_length")
    return abs(taper.ratio - wanted) / wanted


def _name(row: tables.Row) -> str:
    if row["family"] in GENERAL:
        return "7/24" if "7/24" in row["family"] else f"ISO 1119 {row['designation']}"
    return (
        f"{row['family']} {row['designation']}" if row["family"] != "Morse" else f"Morse {row['designation']}"
    )
