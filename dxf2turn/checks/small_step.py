"""Steps so small that they look like drawing mistakes."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, always
from dxf2turn.checks.words import mm, spot
from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.segment import Line
from dxf2turn.options import Tolerances


def run(case: Case) -> Iterator[Finding]:
    """Faces and cylinders between parallel neighbours that are hardly there."""
    rule = limit("T54", "step_mm")
    for index in small_steps(case, rule.value):
        step = case.segments[index]
        middle = step.point_at(0.5)
        yield Finding(
            code=CHECK.code,
            severity=Severity.FIX,
            text=f"a step of only {mm(step.length)} at {spot(*middle)} looks like a drawing mistake",
            hint="Remove the step, or give both sizes a tolerance if it is meant.",
            where=case.place(middle.x, middle.y, (index,)),
            measured=step.length,
            limit=rule.value,
            source=rule.source,
        )


def small_steps(case: Case, least: float) -> Iterator[int]:
    """Lines along or across the axis, shorter than `least`, between two lines that are square to them."""
    segments, roles = case.segments, case.part.profile.roles
    same = Tolerances().same_angle
    count = len(segments)
    for index, segment in enumerate(segments):
        around = (segments[index - 1], segments[(index + 1) % count])
        if roles[index] == "axis" or not isinstance(segment, Line) or segment.length >= least:
            continue
        if not all(isinstance(piece, Line) and piece.length > least for piece in around):
            continue
        way = segment.tangent_at(0.5)
        square = all(abs(way.dot(piece.tangent_at(0.5))) <= same for piece in around)
        # Both neighbours run on in the same direction: a step, not a groove floor or a rib.
        onward = around[0].tangent_at(0.5).dot(around[1].tangent_at(0.5)) > 0.0
        if square and onward and min(abs(way.dx), abs(way.dy)) <= same:
            yield index


CHECK = Check(
    id="small-step",
    why="A step below the resolution of a drawing is rarely meant and can't be measured on the part.",
    rules=("T54",),
    applies=always,
    run=run,
)
