"""Grooves inside a bore against the grooving bars."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from dxf2turn.checks.access import Access, ways_in
from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, grooves_that_open
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Groove
from dxf2turn.findings import Finding, Severity
from dxf2turn.options import Tolerances
from dxf2turn.shop.model import Tool

SAME = Tolerances().same_point
UPRIGHT = ("square",)  # a form that only a blade can cut; a pointed bar may follow a round one

# One after the other: the first demand that no tool meets is the reason.
Demand = tuple[str, Callable[[Tool, Groove, Access], bool], Callable[[Tool], float]]
DEMANDS: tuple[Demand, ...] = (
    ("width", lambda t, g, _: (t.width or 0.0) <= g.width + SAME, lambda t: t.width or 0.0),
    (
        "way in",
        lambda t, _, w: (t.least_bore_mm or 0.0) <= w.entrance_mm + SAME,
        lambda t: t.least_bore_mm or 0.0,
    ),
    ("depth", lambda t, g, _: (t.reach or 0.0) >= g.depth - SAME, lambda t: t.reach or 0.0),
    ("distance", lambda t, _, w: (t.overhang or 0.0) >= w.distance - SAME, lambda t: t.overhang or 0.0),
)


def run(case: Case) -> Iterator[Finding]:
    """One finding for each inside groove that no tool makes, with the demand that fails."""
    inside = ways_in(case)
    for groove in case.part.of_kind("groove"):
        if not isinstance(groove, Groove) or groove.opens != "in":
            continue
        ways = inside.to(groove)
        failures = [failure for way in ways if (failure := first_failure(case, groove, way)) is not None]
        if ways and len(failures) == len(ways):
            yield _finding(case, groove, failures[0])


def first_failure(case: Case, groove: Groove, way: Access) -> tuple[str, float, float | None] | None:
    """(demand, needed, best of the crib) that no remaining tool meets; None when some tool makes it."""
    tools = list(case.shop.tools_of("inside grooving"))
    needed = (groove.width, way.entrance_mm, groove.depth, way.distance)
    for (name, meets, value), need in zip(DEMANDS, needed):
        left = [tool for tool in tools if meets(tool, groove, way)]
        if not left:
            smaller_is_better = name in ("width", "way in")
            values = [value(tool) for tool in tools]
            return name, need, (min if smaller_is_better else max)(values, default=None)
        tools = left
    return None


def _finding(case: Case, groove: Groove, failure: tuple[str, float, float | None]) -> Finding:
    name, need, best = failure
    words = {
        "width": "is {need} wide; the narrowest blade is {best}",
        "way in": "is reached through {need}; the bars with a blade that fits need {best}",
        "depth": "is {need} deep; blades that get in reach {best}",
        "distance": "lies {need} from the end; bars that fit stick out {best}",
    }
    shown = "missing" if best is None else mm(best)
    rule = limit("T13", "reach_per_bar") if name == "distance" else limit("T12", "head")
    return Finding(
        code=CHECK.code,
        severity=Severity.STOP if groove.form in UPRIGHT else Severity.FIX,
        text=f"{named(groove)} " + words[name].format(need=mm(need), best=shown),
        hint="Change the groove, or add a grooving bar to tools.toml.",
        where=case.place_of(groove),
        measured=need,
        limit=best,
        source=rule.source,
    )


CHECK = Check(
    id="inside-groove",
    why="Blade, bar and swarf must all pass the bore, and the bar must reach the groove without bending.",
    rules=("T12", "T13"),
    applies=grooves_that_open("in"),
    run=run,
)
