"""Threads that start without a chamfer."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, needs
from dxf2turn.checks.thread_ends import radial_size, start_break
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Thread
from dxf2turn.findings import Finding, Severity


def run(case: Case) -> Iterator[Finding]:
    """A missing chamfer is to fix, a shallow one a note."""
    rule, enough = limit("T23", "chamfer_per_pitch"), limit("T23", "chamfer_enough")
    for thread in case.part.of_kind("thread"):
        if not isinstance(thread, Thread):
            continue
        depth = rule.value * thread.pitch
        radial = radial_size(start_break(case, thread))
        if radial >= enough.value * depth:
            continue
        yield Finding(
            code=CHECK.code,
            severity=Severity.NOTE if radial else Severity.FIX,
            text=f"{named(thread)}, {thread.designation}, starts "
            + (f"with a break of only {mm(radial)}" if radial else "with a sharp edge")
            + f"; {mm(depth)} on the radius takes it to the root",
            hint=f"Draw a chamfer of about {mm(depth)} x 45 degrees.",
            where=case.place_of(thread),
            measured=radial,
            limit=depth,
            source=rule.source,
        )


CHECK = Check(
    id="thread-start",
    why="Without a chamfer down to the root the first turn is a burr and the mating part does not find in.",
    rules=("T23",),
    applies=needs("thread"),
    run=run,
)
