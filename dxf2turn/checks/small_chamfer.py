"""Chamfers too small to tell from a broken edge."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, needs
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Chamfer
from dxf2turn.findings import Finding, Severity


def run(case: Case) -> Iterator[Finding]:
    """A note for each."""
    rule = limit("T34", "chamfer_mm")
    for chamfer in case.part.of_kind("chamfer"):
        if not isinstance(chamfer, Chamfer):
            continue
        leg = min(chamfer.axial, chamfer.radial)
        if leg >= rule.value:
            continue
        yield Finding(
            code=CHECK.code,
            severity=Severity.NOTE,
            text=f"{named(chamfer)} has a leg of {mm(leg)}; it can't be measured or told from a broken edge",
            hint="Ask for broken edges in a note instead.",
            where=case.place_of(chamfer),
            measured=leg,
            limit=rule.value,
            source=rule.source,
        )


CHECK = Check(
    id="small-chamfer",
    why="A chamfer below 0.2 mm is no larger than an edge broken by hand.",
    rules=("T34",),
    applies=needs("chamfer"),
    run=run,
)
