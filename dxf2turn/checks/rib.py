"""Thin ribs between a groove and its neighbour."""

from __future__ import annotations

import math
from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, grooves_that_open
from dxf2turn.checks.rays import z_at
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Groove
from dxf2turn.findings import Finding, Severity

UPRIGHT = ("square", "round")  # beside a vee the rib is a strong triangle
BELOW = 0.5  # the rib is measured at this share of the groove's depth


def run(case: Case) -> Iterator[Finding]:
    """Thickness of the material on each side of a groove against its depth."""
    for groove in case.part.of_kind("groove"):
        upright = isinstance(groove, Groove) and groove.form in UPRIGHT and groove.opens == "out"
        if not isinstance(groove, Groove) or not upright or groove.mouth is None:
            continue
        thickness = min(_ribs(case, groove), default=math.inf)
        ring = groove.purpose == "retaining ring"
        rule = limit("T11", "ring_rib_per_depth" if ring else "rib_per_depth")
        if thickness >= rule.value * groove.depth:
            continue
        thin = thickness < limit("T11", "rib_per_depth").value * groove.depth
        yield Finding(
            code=CHECK.code,
            severity=Severity.FIX if thin else Severity.NOTE,
            text=f"beside {named(groove)} a rib of {mm(thickness)} stays, for a depth of {mm(groove.depth)}"
            + (f"; a ring asks for {rule.value:g} times the depth" if ring else ""),
            hint="Move the groove away from its neighbour or from the end.",
            where=case.place_of(groove),
            measured=thickness,
            limit=rule.value * groove.depth,
            source=rule.source,
        )


def _ribs(case: Case, groove: Groove) -> Iterator[float]:
    """Material before and behind the groove, at half its depth, up to the next surface along the profile."""
    assert groove.mouth is not None
    level = min(point.y for point in groove.mouth) - BELOW * groove.depth
    own = [z for index in groove.segments for z in z_at(case.segments[index], level)]
    if own:
        yield _next_surface(case, groove.segments[0], -1, level) - max(own)
        yield min(own) - _next_surface(case, groove.segments[-1], 1, level)


def _next_surface(case: Case, index: int, way: int, level: float) -> float:
    """z at which the profile, walked from a segment, comes back to a radius; far away when it does not."""
    count = len(case.segments)
    for step in range(1, count):
        there = (index + way * step) % count
        places = list(z_at(case.segments[there], level))
        if places:
            return min(places) if way < 0 else max(places)
        if case.part.profile.roles[there] == "axis":
            break
    return -way * math.inf


CHECK = Check(
    id="rib",
    why="A thin rib beside a groove bends when it is cut and breaks when it is loaded.",
    rules=("T11",),
    applies=grooves_that_open("out"),
    run=run,
)
