"""Walls that lean over: dovetails and undercuts that no straight way of a tool reaches."""

from __future__ import annotations

import math
from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, always
from dxf2turn.checks.rays import BACK, FRONT, IN, OUT, blocked
from dxf2turn.checks.words import deg, spot
from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.options import Tolerances

STEPS = 8  # a piece is looked at in this many places
ALONG = 1e-4  # a wall that leans less is upright, radians


def run(case: Case) -> Iterator[Finding]:
    """A note where a tool with a leaning edge fits the angle, a stop where none does."""
    for index, role in enumerate(case.part.profile.roles):
        if role == "axis":
            continue
        leaning = hidden(case, index)
        if leaning is not None:
            yield _finding(case, index, leaning, leaning_edge(case, role))


def hidden(case: Case, index: int) -> tuple[Point, float] | None:
    """(place, angle by which it leans over, radians) of the worst place of a segment that is hidden.

    Hidden: from the place no straight way leads out across the axis or along it.
    """
    segment, role = case.segments[index], case.part.profile.roles[index]
    across = IN if role == "inside" else OUT
    worst: tuple[Point, float] | None = None
    for step in range(STEPS):
        t = (step + 0.5) / STEPS
        normal = -segment.tangent_at(t).left  # material lies to the left
        angle = math.asin(max(-1.0, min(1.0, -normal.dot(across))))
        if angle <= ALONG or (worst is not None and angle <= worst[1]):
            continue
        # A gap off the surface, so that what leans over by less than the gap is no overhang.
        start = segment.point_at(t) + normal * Tolerances().gap
        ways = [way for way in (across, FRONT, BACK) if _opens(normal, way)]
        if all(blocked(case.segments, start, way) for way in ways):
            worst = (segment.point_at(t), angle)
    return worst


def _opens(normal: Vector, way: Vector) -> bool:
    return normal.dot(way) >= -ALONG


def leaning_edge(case: Case, role: str) -> float:
    """Largest angle by which a main cutting edge of the crib leans over the wall, less clearance, radians."""
    clearance = math.radians(limit("T36", "clearance_deg").value)
    tools = case.shop.tools_of("boring" if role == "inside" else "turning")
    angles = [tool.cutting_edge_angle for tool in tools if tool.cutting_edge_angle is not None]
    return max(0.0, max(angles, default=0.0) - 0.5 * math.pi - clearance)


def _finding(case: Case, index: int, leaning: tuple[Point, float], able: float) -> Finding:
    place, angle = leaning
    reached = angle <= able
    why = (
        "it needs a tool whose cutting edge leans as much"
        if reached
        else f"no cutting edge of the crib leans over more than {deg(able)}, so plain turning can't make it"
    )
    return Finding(
        code=CHECK.code,
        severity=Severity.NOTE if reached else Severity.STOP,
        text=f"a wall leans over by {deg(angle)} at {spot(*place)}; {why}",
        hint="Make the wall upright or open it outwards, or have a form tool ground.",
        where=case.place(place.x, place.y, (index,)),
        measured=math.degrees(angle),
        limit=math.degrees(able),
        unit="deg",
        source=limit("T08", "overhang").source,
    )


CHECK = Check(
    id="overhanging-wall",
    why="A tool comes straight from outside; behind a wall that leans over it only a leaning edge can cut.",
    rules=("T08",),
    applies=always,
    run=run,
)
