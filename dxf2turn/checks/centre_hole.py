"""Long parts without a centre hole."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, always
from dxf2turn.checks.slenderness import lacks_centre, mean_diameter
from dxf2turn.findings import Finding, Severity
from dxf2turn.tables import rows
from dxf2turn.units import plain_text


def run(case: Case) -> Iterator[Finding]:
    """A note when a part that needs the tailstock shows no centre hole and no bore."""
    profile = case.part.profile
    ratio = profile.length / mean_diameter(profile.volume, profile.length)
    rule, chuck = limit("T47", "centre_hole"), limit("T27", "overhang")
    if ratio <= chuck.value or not lacks_centre(case):
        return
    front = profile.bounds.max_x
    size = size_for(2.0 * profile.max_radius)
    yield Finding(
        code=CHECK.code,
        severity=Severity.NOTE,
        text=f"the part is {plain_text(ratio, 1)} times as long as thick, which usually asks for the"
        " tailstock, and shows no centre hole",
        hint=f"Say whether a centre hole{f' A{size}' if size else ''} may stay (ISO 6411).",
        where=case.place(front, 0.0),
        measured=ratio,
        limit=chuck.value,
        unit="length per diameter",
        source=rule.source,
    )


def size_for(diameter_mm: float) -> str:
    """Form A size for a shaft diameter by the guide column of the table; empty when it has none."""
    for row in rows("centre_holes"):
        words = row["for_shaft_diameter_mm"].split()
        if row["form"] != "A" or not words:
            continue
        if words[0] == "over" and float(words[1]) < diameter_mm <= (
            float(words[3]) if len(words) > 3 else 1e9
        ):
            return row["d_mm"]
        if words[0] == "up" and diameter_mm <= float(words[2]):
            return row["d_mm"]
    return ""


CHECK = Check(
    id="centre-hole",
    why="The tailstock needs a centre hole; the drawing should say whether it may stay.",
    rules=("T47",),
    applies=always,
    run=run,
)
