"""Knurls that the crib has no wheel for."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.model import Case, Check, needs
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Knurl
from dxf2turn.findings import Finding, Severity
from dxf2turn.shop.choice import knurl_wheels


def run(case: Case) -> Iterator[Finding]:
    """To fix when no wheel has the pitch, or no wheel of it the form."""
    wheels = case.shop.tools_of("knurl")
    for knurl in case.part.of_kind("knurl"):
        if not isinstance(knurl, Knurl):
            continue
        # A pitch of 0 was not stated; that is a finding of the features already.
        if knurl.pitch == 0.0 or knurl_wheels(case.shop, knurl.form, knurl.pitch):
            continue
        pitches = sorted({(wheel.pitch_range or (0.0, 0.0))[0] for wheel in wheels})
        nearest = min(pitches, key=lambda pitch: abs(pitch - knurl.pitch), default=None)
        yield Finding(
            code=CHECK.code,
            severity=Severity.FIX,
            text=f"{named(knurl)}: the crib has no {knurl.form} wheel with pitch {mm(knurl.pitch)}",
            hint="" if nearest is None else f"The nearest pitch of the crib is {mm(nearest)}.",
            where=case.place_of(knurl),
            measured=knurl.pitch,
            limit=nearest,
            source="tools.toml",
        )


CHECK = Check(
    id="knurl-wheel",
    why="A knurl copies its wheel: form and pitch must be in the crib.",
    rules=(),
    applies=needs("knurl"),
    run=run,
)
