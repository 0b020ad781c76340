"""Surfaces that are asked for finer than turning leaves them."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check
from dxf2turn.checks.words import named
from dxf2turn.findings import Finding, Severity
from dxf2turn.units import plain_text


def run(case: Case) -> Iterator[Finding]:
    """Below Ra 0.8 a note, below 0.4 to fix."""
    normal, possible = limit("T42", "ra_normal_um"), limit("T42", "ra_possible_um")
    for feature in case.part.features:
        asked = feature.roughness_ra_um
        if asked is None or asked >= normal.value:
            continue
        fine = asked < possible.value
        yield Finding(
            code=CHECK.code,
            severity=Severity.FIX if fine else Severity.NOTE,
            text=f"{named(feature)} asks for Ra {plain_text(asked)} um; turning normally reaches"
            f" {plain_text(normal.value)}, with care {plain_text(possible.value)}",
            hint="Grind, polish or burnish it."
            if fine
            else "Finish with a low feed and a large nose radius.",
            where=case.place_of(feature),
            measured=asked,
            limit=normal.value,
            unit="um",
            source=normal.source,
        )


CHECK = Check(
    id="roughness",
    why="Feed and nose radius leave a groove; below Ra 0.8 turning needs care, below 0.4 another process.",
    rules=("T42", "T41"),
    applies=lambda case: (
        None
        if any(feature.roughness_ra_um is not None for feature in case.part.features)
        else "no surface has a roughness"
    ),
    run=run,
)
