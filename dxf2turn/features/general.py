"""ISO 2768-1 general tolerances: what holds for a size without one."""

from __future__ import annotations

import re

from dxf2turn import tables
from dxf2turn.features.callouts import Callout

_NOTE = re.compile(
    r"(?:ISO|EN|DIN)?[\s-]*(?:ISO)?[\s-]*2768(?:\s*-\s*1)?[\s:-]*([fmcv])[HKL]?(?![a-z])", re.I
)


def general_class(notes: tuple[Callout, ...]) -> str | None:
    """The class that a general note gives: "f", "m", "c" or "v"; None when there is none.

    >>> from dxf2turn.geometry.point import Point
    >>> general_class((Callout("", "C45   ISO 2768-mK", Point(0, 0), (), "text"),))
    'm'
    """
    for callout in notes:
        match = _NOTE.search(callout.raw)
        if match is not None:
            return match[1].lower()
    return None


def general_limit(size: float, tolerance_class: str) -> tuple[float, str] | None:
    """Plus and minus of an untoleranced length or diameter in mm, and the source; None outside the table."""
    return _limit("linear", size, tolerance_class)


def general_edge_limit(size: float, tolerance_class: str) -> tuple[float, str] | None:
    """The same for radii and chamfer heights."""
    return _limit("radius_or_chamfer_height", size, tolerance_class)


def _limit(kind: str, size: float, tolerance_class: str) -> tuple[float, str] | None:
    for row in tables.rows("iso2768"):
        upto = row.optional_number("to_mm")
        if row["kind_of_dimension"] != kind or not row.number("over_mm") <= size:
            continue
        if upto is None or size <= upto:
            value = row.optional_number(f"plus_minus_{tolerance_class}")
            return None if value is None else (value, f"ISO 2768-1 {tolerance_class}, {row.source()}")
    return None
