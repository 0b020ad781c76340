"""Thread reliefs that are not deep or not wide enough."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, needs
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Groove, Thread
from dxf2turn.findings import Finding, Severity
from dxf2turn.options import Tolerances

SAME = Tolerances().same_point


def run(case: Case) -> Iterator[Finding]:
    """Depth and width of the relief of each thread."""
    grooves = {groove.id: groove for groove in case.part.of_kind("groove") if isinstance(groove, Groove)}
    for thread in case.part.of_kind("thread"):
        relief = grooves.get(thread.relief or "") if isinstance(thread, Thread) else None
        if relief is not None and isinstance(thread, Thread):
            yield from _depth(case, thread, relief)
            yield from _width(case, thread, relief)


def _depth(case: Case, thread: Thread, relief: Groove) -> Iterator[Finding]:
    """Outside the floor lies below the root, inside beyond the major diameter."""
    inside = thread.side == "inside"
    root = thread.major_diameter_mm if inside else thread.minor_diameter_mm
    floor = 2.0 * relief.floor_radius
    if (floor >= root - SAME) if inside else (floor <= root + SAME):
        return
    yield Finding(
        code=CHECK.code,
        severity=Severity.FIX,
        text=f"the relief {named(relief)} of {thread.designation} has a floor diameter of {mm(floor)}; the"
        f" thread's root is at {mm(root)}, so the tool cuts into the floor",
        hint=f"Make the floor diameter {'larger' if inside else 'smaller'} than {mm(root)}.",
        where=case.place_of(relief),
        measured=floor,
        limit=root,
        source=limit("T22", "deeper").source,
    )


def _width(case: Case, thread: Thread, relief: Groove) -> Iterator[Finding]:
    rule = limit("T21", "relief_pitches")
    least = rule.value * thread.pitch
    if relief.width >= least - SAME:
        return
    yield Finding(
        code=CHECK.code,
        severity=Severity.FIX if thread.family in ("M", "UN") else Severity.NOTE,
        text=f"the relief {named(relief)} of {thread.designation} is {mm(relief.width)} wide; about"
        f" {mm(least)} ({rule.value:g} pitches) is the least",
        hint="Widen the relief, or thread at a lower speed.",
        where=case.place_of(relief),
        measured=relief.width,
        limit=least,
        source=rule.source,
    )


CHECK = Check(
    id="thread-relief",
    why="The relief must be below the root of the thread and wide enough for the tool to stop in it.",
    rules=("T22", "T21"),
    applies=needs("thread"),
    run=run,
)
