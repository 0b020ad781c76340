"""Drilled holes that are deep for their diameter, or deeper than the drills."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.deep import deep_for_its_width
from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, needs
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Hole
from dxf2turn.findings import Finding, Severity


def run(case: Case) -> Iterator[Finding]:
    """A note above the easy ratio, to fix above the possible one, stop when no drill is long enough."""
    for hole in case.part.of_kind("hole"):
        if not isinstance(hole, Hole):
            continue
        # A through hole may be drilled from both ends.
        depth = 0.5 * hole.depth if hole.through else hole.depth
        reach = longest_drill(case, hole.diameter_mm)
        if depth > reach:
            yield _out_of_reach(case, hole, depth, reach)
        else:
            hint = "Drill with retracts to clear the chips; expect the hole to wander."
            ratio = hole.depth / hole.diameter_mm
            yield from deep_for_its_width(
                case, hole, ratio, ("T15", "depth_per_diameter"), (CHECK.code, "", hint)
            )


def longest_drill(case: Case, diameter_mm: float) -> float:
    """Reach of the longest drill that is not larger than the hole, mm; 0 without one."""
    drills = case.shop.tools_of("drill", "flat drill")
    return max((d.reach or 0.0 for d in drills if (d.diameter_mm or 0.0) <= diameter_mm), default=0.0)


def _out_of_reach(case: Case, hole: Hole, depth: float, reach: float) -> Finding:
    from_both = " from each end" if hole.through else ""
    return Finding(
        code=CHECK.code,
        severity=Severity.STOP,
        text=f"{named(hole)}, diameter {mm(hole.diameter_mm)}, is to be drilled {mm(depth)} deep{from_both};"
        f" the drills of the crib that fit reach {mm(reach)}",
        hint="Make the hole larger or less deep, or add a longer drill to tools.toml.",
        where=case.place_of(hole),
        measured=depth,
        limit=reach,
        source=limit("T15", "depth_per_diameter_possible").source,
    )


CHECK = Check(
    id="hole-depth",
    why="Deep in a hole the chips jam and the drill wanders.",
    rules=("T15",),
    applies=needs("hole"),
    run=run,
)
