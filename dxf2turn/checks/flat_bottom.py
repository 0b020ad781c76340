"""Blind holes that are drawn with a flat bottom."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check
from dxf2turn.checks.words import mm, spot
from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.segment import Line
from dxf2turn.options import Tolerances


def run(case: Case) -> Iterator[Finding]:
    """A note where the crib has a tool for it, else to fix."""
    for index in flat_bottoms(case):
        face = case.segments[index]
        z, radius = face.start.x, max(face.start.y, face.end.y)
        diameter = 2.0 * radius
        flat = [t for t in case.shop.tools_of("flat drill") if (t.diameter_mm or 0.0) <= diameter]
        yield Finding(
            code=CHECK.code,
            severity=Severity.NOTE if flat else Severity.FIX,
            text=f"the blind hole of {mm(diameter)} has a flat bottom at {spot(z, radius)}; a drill"
            " leaves a cone"
            + (", an extra tool cuts it flat" if flat else " and the crib has nothing to cut it flat"),
            hint="Draw the 118 degree cone of a drill where the bottom does not matter.",
            where=case.place(z, 0.0, (index,)),
            measured=180.0,
            limit=118.0,
            unit="deg",
            source=limit("T16", "flat_bottom").source,
        )


def flat_bottoms(case: Case) -> Iterator[int]:
    """Inside faces that reach the axis."""
    profile = case.part.profile
    same = Tolerances().same_point
    for index in profile.run("inside"):
        segment = profile.segments[index]
        flat = isinstance(segment, Line) and abs(segment.start.x - segment.end.x) <= same
        if flat and min(segment.start.y, segment.end.y) <= same:
            yield index


CHECK = Check(
    id="flat-bottom",
    why="A twist drill leaves a cone of 118 degrees, 0.3 diameters long; a flat bottom takes another tool.",
    rules=("T16",),
    applies=lambda case: None if "inside" in case.part.profile.roles else "the part has no hole",
    run=run,
)
