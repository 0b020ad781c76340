"""Grooves outside that are deeper than a blade that fits reaches."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, grooves_that_open
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Groove
from dxf2turn.findings import Finding, Severity
from dxf2turn.options import Tolerances
from dxf2turn.units import plain_text

BLADES = ("grooving", "parting")
SAME = Tolerances().same_point
# Two holders of 25 mm, one of each hand, work side by side in a recess this wide, however deep.
TURNED_ROOM = 55.0


def run(case: Case) -> Iterator[Finding]:
    """Stop where no blade reaches the floor; a note where the groove is deep for its width."""
    for groove in case.part.of_kind("groove"):
        if not isinstance(groove, Groove) or groove.opens != "out":
            continue
        fitting = [tool for tool in case.shop.tools_of(*BLADES) if (tool.width or 0.0) <= groove.width + SAME]
        reach = max((tool.reach or 0.0 for tool in fitting), default=None)
        if reach is None or groove.width >= TURNED_ROOM:
            continue
        if groove.depth > reach + SAME:
            yield _too_deep(case, groove, reach)
        else:
            yield from _deep(case, groove)


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


def _deep(case: Case, groove: Groove) -> Iterator[Finding]:
    ratio, easy = groove.depth / groove.width, limit("T05", "depth_per_width_easy")
    if ratio <= easy.value:
        return
    possible = limit("T05", "depth_per_width_possible")
    yield Finding(
        code=CHECK.code,
        severity=Severity.FIX if ratio > possible.value else Severity.NOTE,
        text=f"{named(groove)} is {plain_text(ratio, 1)} times as deep as wide; up to"
        f" {plain_text(easy.value)} is easy, {plain_text(possible.value)} the usual limit in steel",
        hint="Plunge in steps with short retracts, coolant on the blade.",
        where=case.place_of(groove),
        measured=ratio,
        limit=easy.value,
        unit="depth per width",
        source=easy.source,
    )


CHECK = Check(
    id="groove-depth",
    why="A blade is only as long as its reach; a long thin blade bends and breaks.",
    rules=("T05",),
    applies=grooves_that_open("out"),
    run=run,
)
