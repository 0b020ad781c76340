"""Parts that are too thick to part off."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, always
from dxf2turn.checks.words import mm
from dxf2turn.findings import Finding, Severity
from dxf2turn.options import Tolerances


def run(case: Case) -> Iterator[Finding]:
    """A note: the blank is sawn and turned in two clampings instead."""
    profile = case.part.profile
    reach = max((tool.reach or 0.0 for tool in case.shop.tools_of("parting")), default=0.0)
    box = profile.bounds
    gap = Tolerances().gap
    at_back = [p.y for s in profile.segments for p in (s.start, s.end) if p.x <= box.min_x + gap]
    wall = max(at_back, default=0.0) - min(at_back, default=0.0)
    if wall <= reach:
        return
    yield Finding(
        code=CHECK.code,
        severity=Severity.NOTE,
        text=f"parting off would have to go {mm(wall)} deep; the longest parting blade reaches {mm(reach)}",
        hint="Saw the blank and face its back in a second clamping.",
        where=case.place(box.min_x, max(at_back)),
        measured=wall,
        limit=reach,
        source=limit("T52", "reach").source,
    )


CHECK = Check(
    id="parting",
    why="A parting blade must reach the axis, or the bore, at its full width.",
    rules=("T52",),
    applies=always,
    run=run,
)
