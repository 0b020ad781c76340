"""Grooves outside that are deeper than a blade that fits reaches."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.deep import deep_for_its_width
from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, grooves_that_open
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Groove
from dxf2turn.findings import Finding, Severity
from dxf2turn.options import Tolerances

BLADES = ("grooving", "parting")
SAME = Tolerances().same_point


def run(case: Case) -> Iterator[Finding]:
    """Stop where no blade reaches the floor; a note where the groove is deep for its width."""
    for groove in case.part.of_kind("groove"):
        if not isinstance(groove, Groove) or groove.opens != "out":
            continue
        fitting = [tool for tool in case.shop.tools_of(*BLADES) if (tool.width or 0.0) <= groove.width + SAME]
        reach = max((tool.reach or 0.0 for tool in fitting), default=None)
        if reach is None or groove.width >= limit("T05", "turned_room").value:
            continue
        if groove.depth > reach + SAME:
            yield _too_deep(case, groove, reach)
        else:
            words = (CHECK.code, " in steel", "Plunge in steps with short retracts, coolant on the blade.")
            ratio = groove.depth / groove.width
            yield from deep_for_its_width(case, groove, ratio, ("T05", "depth_per_width"), words)


def _too_deep(case: Case, groove: Groove, reach: float) -> Finding:
    return Finding(
        code=CHECK.code,
        severity=Severity.STOP if groove.form in ("square", "round") else Severity.FIX,
        text=f"{named(groove)} is {mm(groove.depth)} deep and {mm(groove.width)} wide; the blades that fit"
        f" reach {mm(reach)}",
        hint="Make the groove wider or less deep, or add a longer blade to tools.toml.",
        where=case.place_of(groove),
        measured=groove.depth,
        limit=reach,
        source=limit("T05", "depth_per_width_possible").source,
    )


CHECK = Check(
    id="groove-depth",
    why="A blade is only as long as its reach; a long thin blade bends and breaks.",
    rules=("T05",),
    applies=grooves_that_open("out"),
    run=run,
)
