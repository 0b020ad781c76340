"""Diameter and pitch pairs that no standard has."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, needs
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Thread
from dxf2turn.findings import Finding, Severity
from dxf2turn.tables import rows

SAME = 1e-4  # two diameters or pitches closer than this are one, mm


def run(case: Case) -> Iterator[Finding]:
    """Metric threads only: sizes of the other families exist in their tables alone."""
    for thread in case.part.of_kind("thread"):
        if not isinstance(thread, Thread) or thread.family != "M" or _known(thread):
            continue
        yield Finding(
            code=CHECK.code,
            severity=Severity.FIX,
            text=f"{named(thread)}, {thread.designation}: pitch {mm(thread.pitch)} at"
            f" {mm(thread.major_diameter_mm)} is not in the standard list; taps, dies and gauges are special",
            hint=_nearest(thread),
            where=case.place_of(thread),
            measured=thread.pitch,
            source=limit("T26", "standard").source,
        )


def _known(thread: Thread) -> bool:
    return any(
        abs(row.number("d_mm") - thread.major_diameter_mm) <= SAME
        and abs(row.number("pitch_mm") - thread.pitch) <= SAME
        for row in rows("thread_iso_sizes")
    )


def _nearest(thread: Thread) -> str:
    """The standard sizes next to it."""
    near = sorted(
        rows("thread_iso_sizes"),
        key=lambda row: (
            abs(row.number("d_mm") - thread.major_diameter_mm),
            abs(row.number("pitch_mm") - thread.pitch),
        ),
    )
    return "Nearest: " + ", ".join(row.text("designation") for row in near[:2]) + "."


CHECK = Check(
    id="thread-standard",
    why="A pair of diameter and pitch outside the standard list needs special gauges and mates with nothing.",
    rules=("T26",),
    applies=needs("thread"),
    run=run,
)
