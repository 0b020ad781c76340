"""Whether a second clamping has something to hold."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, always
from dxf2turn.checks.words import mm
from dxf2turn.features.model import Cylinder
from dxf2turn.findings import Finding, Severity


def run(case: Case) -> Iterator[Finding]:
    """A note when no plain cylinder is long enough; from bar in one clamping the part may still be made."""
    rule = limit("T45", "grip_mm")
    lengths = list(grips(case))
    longest = max(lengths, default=0.0)
    if longest >= rule.value:
        return
    box = case.part.profile.bounds
    yield Finding(
        code=CHECK.code,
        severity=Severity.NOTE,
        text=f"the longest plain cylinder to grip is {mm(longest)} long; jaws want about {mm(rule.value)}",
        hint="Make it from bar in one clamping, or hold it in soft jaws, in a collet or on a mandrel.",
        where=case.place(0.5 * (box.min_x + box.max_x), box.max_y),
        measured=longest,
        limit=rule.value,
        source=rule.source,
    )


def grips(case: Case) -> Iterator[float]:
    """Lengths of the outside cylinders that carry no thread and no knurl."""
    cut = {i for feature in case.part.of_kind("thread", "knurl") for i in feature.segments}
    for feature in case.part.of_kind("cylinder"):
        if isinstance(feature, Cylinder) and feature.side == "outside" and not cut & set(feature.segments):
            yield feature.z_front - feature.z_back


CHECK = Check(
    id="grip",
    why="Jaws need a length of plain cylinder; they must not hold a thread, a groove or a taper.",
    rules=("T45",),
    applies=always,
    run=run,
)
