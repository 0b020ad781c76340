"""O-ring grooves: by cord diameter, radial (static, dynamic) and axial (in a face)."""

from __future__ import annotations

from dataclasses import replace

from dxf2turn import tables
from dxf2turn.contour.model import Contour
from dxf2turn.features.model import Groove
from dxf2turn.features.standards.report import near_miss
from dxf2turn.findings import Finding
from dxf2turn.units import plain_text

DEPTH_OFF = 0.03  # a depth within this share of the table's range fits
WIDTH_OFF = 0.02
NEAR = 0.12  # a depth off by up to this share, with a width that fits, is a near miss


def match_oring(contour: Contour, groove: Groove) -> tuple[Groove, tuple[Finding, ...]]:
    """The groove with its cord, or a note when its width fits a cord and its depth nearly does."""
    rows = [row for row in tables.rows("orings") if ("axial" in row["application"]) == _is_axial(groove)]
    fits = [row for row in rows if _off(groove.width, row, "width") <= WIDTH_OFF]
    exact = [row for row in fits if _off(groove.depth, row, "depth") <= DEPTH_OFF]
    if exact:
        best = min(exact, key=lambda row: _off(groove.depth, row, "depth"))
        return replace(groove, purpose="o-ring", standard=_name(best)), ()
    near = [row for row in fits if _off(groove.depth, row, "depth") <= NEAR]
    if near:
        best = min(near, key=lambda row: _off(groove.depth, row, "depth"))
        wanted = _nearest(groove.depth, best, "depth")
        text = (
            f"groove {plain_text(groove.width, 2)} mm wide and {plain_text(groove.depth, 2)} mm deep; "
            f"{plain_text(wanted, 2)} mm deep fits an {_name(best)}"
        )
        return groove, (near_miss(contour, groove, text, (groove.depth, wanted), best.source()),)
    return groove, ()


def _is_axial(groove: Groove) -> bool:
    return groove.opens in ("front", "back")


def _name(row: tables.Row) -> str:
    return f"O-ring {plain_text(row.number('cord_diameter_d2_mm'))}, {row['application']}"


def _off(size: float, row: tables.Row, what: str) -> float:
    """How far a size lies outside the table's range, as a share of it; 0 inside."""
    nearest = _nearest(size, row, what)
    return abs(size - nearest) / nearest


def _nearest(size: float, row: tables.Row, what: str) -> float:
    low, high = row.number(f"groove_{what}_min_mm"), row.number(f"groove_{what}_max_mm")
    return min(max(size, low), high)
