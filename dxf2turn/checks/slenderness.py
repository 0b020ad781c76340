"""Parts that are long for their diameter."""

from __future__ import annotations

import math
from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, always
from dxf2turn.checks.words import mm
from dxf2turn.findings import Finding, Severity
from dxf2turn.units import plain_text


def run(case: Case) -> Iterator[Finding]:
    """A note where the tailstock is needed, to fix where a steady is."""
    profile = case.part.profile
    diameter = mean_diameter(profile.volume, profile.length)
    ratio = profile.length / diameter
    chuck, tailstock = limit("T27", "overhang"), limit("T28", "tailstock")
    if ratio <= chuck.value:
        return
    rule = tailstock if ratio > tailstock.value else chuck
    if rule is chuck and lacks_centre(case):
        return  # the check of centre holes says it, with the size of one
    box = profile.bounds
    support = "a steady" if rule is tailstock else "the tailstock"
    yield Finding(
        code=CHECK.code,
        severity=Severity.FIX if rule is tailstock else Severity.NOTE,
        text=f"the part is {plain_text(ratio, 1)} times as long as thick ({mm(profile.length)}, mean diameter"
        f" {mm(diameter)}); beyond {plain_text(rule.value)} times {support} is usual",
        hint="Say whether a centre hole may stay; shorten or thicken the part where it may bend.",
        where=case.place(0.5 * (box.min_x + box.max_x), 0.5 * diameter),
        measured=ratio,
        limit=rule.value,
        unit="length per diameter",
        source=rule.source,
    )


def lacks_centre(case: Case) -> bool:
    """Whether the part shows neither a centre hole nor a bore for the tailstock, at either end."""
    return "inside" not in case.part.profile.roles and not case.part.of_kind("centre_hole")


def mean_diameter(volume: float, length: float) -> float:
    """Diameter of the plain rod of the same length and volume, mm."""
    return 2.0 * math.sqrt(volume / (math.pi * length))


CHECK = Check(
    id="slenderness",
    why="A slender part bends under the cutting force and chatters; it needs a tailstock, then a steady.",
    rules=("T27", "T28"),
    applies=always,
    run=run,
)
