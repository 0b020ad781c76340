"""Threads that are longer than useful or too short to hold."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import Threshold, limit
from dxf2turn.checks.model import Case, Check, needs
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Thread
from dxf2turn.findings import Finding, Severity

MOVING = ("Tr", "ACME")  # lead screws are long on purpose


def run(case: Case) -> Iterator[Finding]:
    """Notes only: the length may well be meant."""
    for thread in case.part.of_kind("thread"):
        if not isinstance(thread, Thread) or thread.family in MOVING:
            continue
        length = thread.z_front - thread.z_back
        longest, shortest = limit("T25", "longest"), limit("T25", "shortest_pitches")
        if length > longest.value * thread.major_diameter_mm and thread.side == "inside":
            yield _note(case, thread, length, (longest.value * thread.major_diameter_mm, longest))
        elif length < shortest.value * thread.pitch:
            yield _note(case, thread, length, (shortest.value * thread.pitch, shortest))


def _note(case: Case, thread: Thread, length: float, bound: tuple[float, Threshold]) -> Finding:
    value, rule = bound
    long = length > value
    return Finding(
        code=CHECK.code,
        severity=Severity.NOTE,
        text=f"{named(thread)}, {thread.designation}, is {mm(length)} long; "
        + (f"more than {mm(value)} does not hold better" if long else f"less than {mm(value)} holds badly"),
        hint="Shorten the thread." if long else "Lengthen the thread or take a finer pitch.",
        where=case.place_of(thread),
        measured=length,
        limit=value,
        source=rule.source,
    )


CHECK = Check(
    id="thread-length",
    why="Beyond two diameters an inside thread only costs; under three turns a thread hardly holds.",
    rules=("T25",),
    applies=needs("thread"),
    run=run,
)
