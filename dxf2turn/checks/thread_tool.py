"""Threads that no tool of the crib cuts."""

from __future__ import annotations

import math
from collections.abc import Iterator

from dxf2turn.checks.access import Access, ways_in
from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, needs
from dxf2turn.checks.words import mm, named
from dxf2turn.features.model import Thread
from dxf2turn.findings import Finding, Severity
from dxf2turn.options import Tolerances
from dxf2turn.shop.choice import taps, threading_tools
from dxf2turn.shop.model import Tool

SAME = Tolerances().same_point


def run(case: Case) -> Iterator[Finding]:
    """One finding for each thread without a tool."""
    ways = ways_in(case)
    for thread in case.part.of_kind("thread"):
        if not isinstance(thread, Thread):
            continue
        inside = thread.side == "inside"
        tools = threading_tools(case.shop, inside, thread.family, thread.form_angle, thread.pitch)
        problem = None
        if not tools:
            form = f"{math.degrees(thread.form_angle):g} degrees, pitch {mm(thread.pitch)}"
            problem = f"no threading tool of the crib has {form}"
        elif inside and not any(_enters(ways.to(thread), thread, t) for t in tools):
            problem = f"no bar for this pitch gets in: its minor diameter is {mm(thread.minor_diameter_mm)}"
        if problem is None or (
            inside and taps(case.shop, thread.major_diameter_mm, thread.pitch, thread.hand)
        ):
            continue
        yield Finding(
            code=CHECK.code,
            severity=Severity.STOP,
            text=f"{named(thread)}, {thread.designation}: {problem}",
            hint="Choose a pitch of the crib, or add a threading tool or a tap to tools.toml.",
            where=case.place_of(thread),
            measured=thread.pitch,
            source=limit("T26", "standard").source,
        )


def _enters(ways: tuple[Access, ...], thread: Thread, bar: Tool) -> bool:
    """Whether a bar passes the minor diameter and everything before it, and is long enough."""
    return any(
        min(way.entrance_mm, thread.minor_diameter_mm) >= (bar.least_bore_mm or 0.0) - SAME
        and way.distance <= (bar.overhang or math.inf) + SAME
        for way in ways
    )


CHECK = Check(
    id="thread-tool",
    why="A thread needs a tool with its flank angle and pitch, inside also one that passes the bore.",
    rules=("T26",),
    applies=needs("thread"),
    run=run,
)
