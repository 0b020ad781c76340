"""Bores that no bar of the crib gets into or reaches the end of."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.access import Access, ways_in
from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, needs
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Bore, Hole
from dxf2turn.findings import Finding, Severity
from dxf2turn.options import Tolerances
from dxf2turn.tables import rows

SAME = Tolerances().same_point
AXIAL = ("drill", "flat drill", "reamer")


def run(case: Case) -> Iterator[Finding]:
    """Each bore and hole on its own: stop when neither a bar nor a tool on the axis makes it."""
    inside = ways_in(case)
    for feature in case.part.of_kind("bore", "hole"):
        if not isinstance(feature, Bore | Hole):
            continue
        ways = inside.to(feature)
        if not ways or _on_axis(case, feature.diameter_mm, ways):
            continue
        reaches = [_bar_reach(case, way) for way in ways]
        recess = max(way.entrance_mm for way in ways) < feature.diameter_mm - Tolerances().gap
        smaller = None if recess else largest_below(case, feature.diameter_mm, ways)
        if smaller is not None and not any(r >= w.distance - SAME for r, w in zip(reaches, ways)):
            yield _nearly(case, feature, smaller)
        elif not any(reaches):
            yield _too_narrow(case, feature, ways)
        elif not any(reach >= way.distance - SAME for reach, way in zip(reaches, ways)):
            yield _too_deep(case, feature, ways, (inside.length, *reaches))


def _on_axis(case: Case, diameter_mm: float, ways: tuple[Access, ...]) -> bool:
    """Whether a drill or reamer of the very size passes and is long enough."""
    gap = Tolerances().gap
    return any(
        abs((tool.diameter_mm or 0.0) - diameter_mm) <= gap
        and any(w.entrance_mm >= diameter_mm - gap and w.distance <= (tool.reach or 0.0) for w in ways)
        for tool in case.shop.tools_of(*AXIAL)
    )


def largest_below(case: Case, diameter_mm: float, ways: tuple[Access, ...]) -> float | None:
    """The largest drill below a diameter that reaches its end, if that is still within ISO 2768 m."""
    sizes = [
        tool.diameter_mm or 0.0
        for tool in case.shop.tools_of(*AXIAL)
        if (tool.diameter_mm or 0.0) < diameter_mm and any(w.distance <= (tool.reach or 0.0) for w in ways)
    ]
    largest = max(sizes, default=0.0)
    return largest if diameter_mm - largest <= general_tolerance(diameter_mm) else None


def general_tolerance(size: float) -> float:
    """Plus and minus of an untoleranced size, class m of ISO 2768-1, mm; 0 outside the table."""
    for row in rows("iso2768"):
        if row["kind_of_dimension"] == "linear" and row.number("over_mm") <= size <= row.number("to_mm"):
            return row.optional_number("plus_minus_m") or 0.0
    return 0.0


def _nearly(case: Case, feature: Bore | Hole, smaller: float) -> Finding:
    return Finding(
        code=CHECK.code,
        severity=Severity.FIX,
        text=f"{named(feature)}, diameter {mm(feature.diameter_mm)}, has no drill or reamer of its size and"
        f" no bar that reaches its end; the next smaller tool leaves it at {mm(smaller)}, within ISO 2768 m",
        hint=f"Draw it with {mm(smaller)}, or add a tool to tools.toml.",
        where=case.place_of(feature),
        measured=feature.diameter_mm,
        limit=smaller,
        source=limit("T14", "depth_per_bar").source,
    )


def _bar_reach(case: Case, way: Access) -> float:
    """How far the longest bar that passes the way in sticks out, mm; 0 when none passes."""
    return max(
        (
            bar.overhang or 0.0
            for bar in case.shop.tools_of("boring")
            if way.entrance_mm >= (bar.least_bore_mm or 0.0) - SAME
        ),
        default=0.0,
    )


def _too_narrow(case: Case, feature: Bore | Hole, ways: tuple[Access, ...]) -> Finding:
    entrance = max(way.entrance_mm for way in ways)
    least = min((bar.least_bore_mm or 0.0 for bar in case.shop.tools_of("boring")), default=None)
    needed = "the crib has no boring bar" if least is None else f"the smallest boring bar needs {mm(least)}"
    sizes = [tool.diameter_mm or 0.0 for tool in case.shop.tools_of(*AXIAL)]
    nearest = min(sizes, key=lambda size: abs(size - feature.diameter_mm), default=None)
    recess = feature.diameter_mm > entrance + Tolerances().gap or nearest is None
    return Finding(
        code=CHECK.code,
        severity=Severity.STOP,
        text=f"{named(feature)}, diameter {mm(feature.diameter_mm)}, is reached through {mm(entrance)};"
        f" {needed}, and no drill or reamer of this size goes there",
        hint="Make the way in wider." if recess else f"The nearest drill or reamer is {mm(nearest or 0.0)}.",
        where=case.place_of(feature),
        measured=entrance,
        limit=least,
        source=limit("T14", "depth_per_bar").source,
    )


def _too_deep(
    case: Case, feature: Bore | Hole, ways: tuple[Access, ...], lengths: tuple[float, ...]
) -> Finding:
    """Out of reach from one end. Both ends together may do for a bore that goes through.

    lengths: of the part, then the reach through each way.
    """
    length, *reaches = lengths
    distance = min(way.distance for way in ways)
    from_both = len(ways) == 2 and sum(reaches) >= length
    return Finding(
        code=CHECK.code,
        severity=Severity.FIX if from_both else Severity.STOP,
        text=f"{named(feature)} ends {mm(distance)} from the nearer end; bars that get in stick out"
        f" {mm(max(reaches))} at most",
        hint="Bore it from both ends."
        if from_both
        else "Shorten or widen it, or add a longer bar to tools.toml.",
        where=case.place_of(feature),
        measured=distance,
        limit=max(reaches),
        source=limit("T14", "depth_per_bar").source,
    )


CHECK = Check(
    id="bore-access",
    why="A boring bar must pass the way in and may stick out only some diameters before it bends and sings.",
    rules=("T14", "T20"),
    applies=needs("bore", "hole"),
    run=run,
)
