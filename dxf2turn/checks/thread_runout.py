"""Threads up to a shoulder without relief or run-out."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, needs
from dxf2turn.checks.thread_ends import rooms
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Thread
from dxf2turn.findings import Finding, Severity
from dxf2turn.options import Tolerances
from dxf2turn.tables import rows


def run(case: Case) -> Iterator[Finding]:
    """One finding for each thread that ends nowhere freely."""
    for thread in case.part.of_kind("thread"):
        if not isinstance(thread, Thread) or thread.relief is not None:
            continue
        needed, source = needed_runout(thread)
        room = min(rooms(case, thread))
        if room >= needed - Tolerances().same_point:
            continue
        yield Finding(
            code=CHECK.code,
            severity=Severity.FIX,
            text=f"{named(thread)}, {thread.designation}, ends at a shoulder with {mm(room)} to run out and"
            f" no relief; {mm(needed)} are needed",
            hint="Draw a thread relief, or shorten the full thread and state its length.",
            where=case.place_of(thread),
            measured=room,
            limit=needed,
            source=source,
        )


def needed_runout(thread: Thread) -> tuple[float, str]:
    """(least length to run out, mm, and its source): the short run-out of the table, else by pitches."""
    rule = limit("T21", "runout_pitches")
    side = "internal" if thread.side == "inside" else "external"
    for row in rows("thread_reliefs"):
        if row["side"] == side and abs(row.number("pitch_mm") - thread.pitch) <= Tolerances().same_point:
            short = row.optional_number("runout_x_short_max_mm")
            if short is not None:
                return short, f"{rule.source}; {row.text('standard')}, {row.source()}"
    return rule.value * thread.pitch, rule.source


CHECK = Check(
    id="thread-runout",
    why="The tool needs room to leave the thread; against a shoulder the last turns can't be full.",
    rules=("T21", "T24"),
    applies=needs("thread"),
    run=run,
)
