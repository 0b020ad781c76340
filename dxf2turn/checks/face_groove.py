"""Grooves in a face against the face grooving blades."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, grooves_that_open
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Groove
from dxf2turn.findings import Finding, Severity
from dxf2turn.options import Tolerances
from dxf2turn.shop.model import Tool
from dxf2turn.units import plain_text

SAME = Tolerances().same_point


def run(case: Case) -> Iterator[Finding]:
    """Stop with the first demand that no blade meets."""
    blades, turned = case.shop.tools_of("face grooving"), limit("T04", "turned_per_depth").value
    for groove in case.part.of_kind("groove"):
        if not isinstance(groove, Groove) or groove.opens not in ("front", "back"):
            continue
        if groove.width >= turned * groove.depth or groove.form not in ("square", "round"):
            continue
        narrow = [blade for blade in blades if (blade.width or 0.0) <= groove.width + SAME]
        long = [blade for blade in narrow if (blade.reach or 0.0) >= groove.depth - SAME]
        if any(_enters(blade, groove) for blade in long):
            continue
        yield _finding(case, groove, narrow, long)


def _enters(blade: Tool, groove: Groove) -> bool:
    """Whether the first plunge lies within the blade's diameters somewhere in the groove."""
    least, largest = blade.first_groove_mm or (0.0, float("inf"))
    inner, outer = edges_mm(groove)
    return outer >= least - SAME and inner + 2.0 * (blade.width or 0.0) <= largest + SAME


def edges_mm(groove: Groove) -> tuple[float, float]:
    """Inner and outer diameter of a face groove, mm."""
    if groove.mouth is None:
        return 2.0 * groove.r_small, 2.0 * groove.r_large
    radii = sorted(point.y for point in groove.mouth)
    return 2.0 * radii[0], 2.0 * radii[1]


def _finding(case: Case, groove: Groove, narrow: list[Tool], long: list[Tool]) -> Finding:
    blades = case.shop.tools_of("face grooving")
    measured, best = groove.width, min((b.width or 0.0 for b in blades), default=0.0)
    reason = f"is {mm(groove.width)} wide; the narrowest face grooving blade is {mm(best)}"
    if narrow and not long:
        measured, best = groove.depth, max(b.reach or 0.0 for b in narrow)
        reason = f"is {mm(groove.depth)} deep; the blades that fit reach {mm(best)}"
    elif long:
        measured = edges_mm(groove)[1]
        ranges = sorted(blade.first_groove_mm or (0.0, 0.0) for blade in long)
        best = min(ranges, key=lambda pair: min(abs(measured - pair[0]), abs(measured - pair[1])))[0]
        shown = ", ".join(f"{plain_text(a)} to {plain_text(b)}" for a, b in ranges)
        reason = f"has an outer diameter of {mm(measured)}; blades that fit enter at {shown} mm"
    return Finding(
        code=CHECK.code,
        severity=Severity.STOP,
        text=f"{named(groove)} {reason}",
        hint="Change the groove, or add a face grooving blade to tools.toml.",
        where=case.place_of(groove),
        measured=measured,
        limit=best,
        source=limit("T04", "narrowest").source,
    )


CHECK = Check(
    id="face-groove",
    why="A face grooving blade is curved: it enters only within its range of diameters, and only so deep.",
    rules=("T04",),
    applies=grooves_that_open("front", "back"),
    run=run,
)
