"""Outside surfaces that fall towards the chuck more steeply than a right-hand tool can follow."""

from __future__ import annotations

import math
from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, always
from dxf2turn.checks.words import deg, spot
from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.point import Vector
from dxf2turn.options import Tolerances
from dxf2turn.shop.model import Tool

SQUARE = 0.5 * math.pi - 1e-6  # a cutting edge angle of 90 degrees or more cuts a square wall, radians
LEFT_OUT = ("groove", "chamfer", "edge_round")  # cut with their own tools or while parting


def run(case: Case) -> Iterator[Finding]:
    """One finding for each run of falling segments that needs another tool than a right-hand one."""
    clearance = math.radians(limit("T36", "clearance_deg").value)
    right = [t for t in case.shop.tools_of("turning") if t.hand != "left"]
    steepest = max((free_angle(tool) for tool in right), default=0.0) - clearance
    left = any(
        tool.hand == "left" and (tool.cutting_edge_angle or 0.0) >= SQUARE
        for tool in case.shop.tools_of("turning")
    )
    for index, angle in falling_runs(case):
        square = case.segments[index].bounds.max_x - case.segments[index].bounds.min_x <= Tolerances().gap
        if angle > steepest and not (square and left):  # a left-hand tool's everyday work
            yield _finding(case, index, angle, (steepest, left))


def free_angle(tool: Tool) -> float:
    """Free angle behind the trailing edge, radians: 180 - kappa - corner angle.

    0 for a round insert: it follows any slope, but no deeper than its own radius.
    """
    if tool.corner_angle is None or tool.cutting_edge_angle is None:
        return 0.0
    return math.pi - tool.cutting_edge_angle - tool.corner_angle


def falling_runs(case: Case) -> Iterator[tuple[int, float]]:
    """(segment, angle) of the steepest piece of each connected fall."""
    claimed = {i for feature in case.part.of_kind(*LEFT_OUT) for i in feature.segments}
    best: tuple[int, float] | None = None
    for index, (segment, role) in enumerate(zip(case.segments, case.part.profile.roles)):
        angle = max(fall(segment.tangent_at(t)) for t in (0.0, 0.5, 1.0))
        if role == "outside" and index not in claimed and angle > 0.0:
            best = max(best or (index, angle), (index, angle), key=lambda pair: pair[1])
        elif best is not None:
            yield best
            best = None
    if best is not None:
        yield best


def fall(direction: Vector) -> float:
    """Angle to the axis at which the outside falls towards the chuck, radians; 0 when it does not fall."""
    if direction.dy >= 0.0:
        return 0.0
    return math.atan2(-direction.dy, max(0.0, -direction.dx))


def _finding(case: Case, index: int, angle: float, able: tuple[float, bool]) -> Finding:
    steepest, left = able
    middle = case.segments[index].point_at(0.5)
    how = (
        "a left-hand tool cuts it, or the part is turned end for end" if left else "turn the part end for end"
    )
    return Finding(
        code=CHECK.code,
        severity=Severity.NOTE if left else Severity.FIX,
        text=f"the outside falls towards the chuck by {deg(angle)} at {spot(*middle)}; right-hand tools of"
        f" the crib follow {deg(max(0.0, steepest))}: {how}",
        hint="Where the shoulder need not be square, a gentler slope is turned in one cut from the front.",
        where=case.place(middle.x, middle.y, (index,)),
        measured=math.degrees(angle),
        limit=math.degrees(max(0.0, steepest)),
        unit="deg",
        source=limit("T36", "clearance_deg").source,
    )


CHECK = Check(
    id="falling-slope",
    why="Behind its trailing edge a tool has only so much free angle; on a steeper fall the edge rubs.",
    rules=("T36", "T46"),
    applies=always,
    run=run,
)
