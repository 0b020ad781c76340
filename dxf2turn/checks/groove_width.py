"""Grooves outside that are narrower than every blade."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, grooves_that_open
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Groove
from dxf2turn.findings import Finding, Severity
from dxf2turn.options import Tolerances

BLADES = ("grooving", "parting")
UPRIGHT = ("square", "round")  # forms that only a blade can cut


def run(case: Case) -> Iterator[Finding]:
    """Stop where only a blade could cut it, else the turning tools may still reach."""
    narrowest = min((tool.width or 0.0 for tool in case.shop.tools_of(*BLADES)), default=None)
    for groove in outside_grooves(case):
        if narrowest is not None and groove.width >= narrowest - Tolerances().same_point:
            continue
        if groove.form not in UPRIGHT:
            continue
        blade = (
            "the crib has no grooving blade"
            if narrowest is None
            else f"the narrowest blade is {mm(narrowest)}"
        )
        yield Finding(
            code=CHECK.code,
            severity=Severity.STOP,
            text=f"{named(groove)} is {mm(groove.width)} wide; {blade}",
            hint="Widen the groove, or add a narrower blade to tools.toml.",
            where=case.place_of(groove),
            measured=groove.width,
            limit=narrowest,
            source=limit("T04", "narrowest").source,
        )


def outside_grooves(case: Case) -> Iterator[Groove]:
    """The grooves that open outwards."""
    for groove in case.part.of_kind("groove"):
        if isinstance(groove, Groove) and groove.opens == "out":
            yield groove


CHECK = Check(
    id="groove-width",
    why="A blade can't cut a groove narrower than itself; nothing else reaches between two upright walls.",
    rules=("T04",),
    applies=grooves_that_open("out"),
    run=run,
)
