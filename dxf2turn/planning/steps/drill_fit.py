"""Which holes a drill makes as they are drawn, and how near it may go to the others."""

from __future__ import annotations

import math

from dxf2turn.features.model import Bore, Hole, Thread
from dxf2turn.geometry.segment import Line
from dxf2turn.planning.bench import Bench
from dxf2turn.planning.leftover import UNDER_THREAD
from dxf2turn.planning.targets import front_bore
from dxf2turn.planning.tools import boring_bars
from dxf2turn.shop.model import Tool

EXACT_DIAMETER = 0.011  # a drill makes a hole whose diameter it has within this, mm
EXACT_ANGLE = math.radians(2.5)  # and whose point it has within this
CONE_SHARE = 0.5  # a cone that begins below this share of a drill's diameter is for its point


def hole_of(bench: Bench, tool: Tool) -> Hole | Bore | None:
    """The hole of the part that a drill makes as drawn: size, point and accuracy are a drill's.

    A bore counts as one when it is too deep for a boring bar of its size (rule T14).
    """
    diameter, least_ra = tool.diameter_mm or 0.0, bench.cell.practice.drilling.least_ra_um
    for feature in bench.clamping.part.features:
        if not isinstance(feature, Hole | Bore) or not _makes(bench, feature, diameter):
            continue
        rough = feature.roughness_ra_um is None or feature.roughness_ra_um > least_ra
        if (
            rough
            and _ends_alike(bench, feature, tool)
            and not _fine(bench, feature)
            and _opens_here(bench, feature)
        ):
            return feature
    return None


def _makes(bench: Bench, feature: Hole | Bore, diameter: float) -> bool:
    """Whether a drill makes the target's diameter; under a thread, with its wide limits, less will do."""
    part = bench.clamping.part
    walls = [2.0 * s.start.y for s in (part.segments[i] for i in feature.segments) if s.start.y == s.end.y]
    size = walls[0] if walls else feature.diameter_mm
    thread = _thread_in(bench, feature)
    under = EXACT_DIAMETER if thread is None else max(EXACT_DIAMETER, UNDER_THREAD * thread.pitch)
    return -EXACT_DIAMETER <= size - diameter <= under


def _thread_in(bench: Bench, feature: Hole | Bore) -> Thread | None:
    """The thread that is cut into a hole."""
    threads = (f for f in bench.clamping.part.features if isinstance(f, Thread))
    return next((f for f in threads if set(f.segments) & set(feature.segments)), None)


def _ends_alike(bench: Bench, feature: Hole | Bore, tool: Tool) -> bool:
    """Whether the drill leaves the end as drawn; a hole for a thread that comes out at the back has none."""
    through = front_bore(bench.clamping.part)[0].start.y > 0.0
    threaded = through and tool.kind == "drill" and _thread_in(bench, feature) is not None
    return threaded or _same_end(feature, tool, bench.cell.practice.drilling.deep_bore_diameters)


def _same_end(feature: Hole | Bore, tool: Tool, deep: float) -> bool:
    """Whether the end of a hole is what the drill leaves: its own point, or none in a through hole.

    deep: diameters beyond which a bore is a drill's, not a bar's.
    """
    if isinstance(feature, Bore):
        return -feature.z_back > deep * feature.diameter_mm and tool.kind == "drill"
    return feature.through or abs(feature.point_angle - (tool.point_angle or 0.0)) < EXACT_ANGLE


def shares_its_point(bench: Bench, tool: Tool) -> bool:
    """Whether the bore has a cone like the drill's point, wider than the drill: then it goes to that cone.

    Only the wall beside it is bored.
    """
    wall = 2.0 * bench.cell.practice.drilling.leave_mm
    half = 0.5 * (tool.point_angle or 0.0)
    diameter = tool.diameter_mm or 0.0
    return any(
        isinstance(s, Line)
        and diameter < 2.0 * s.bounds.max_y - wall + EXACT_DIAMETER
        and s.bounds.min_y < CONE_SHARE * diameter
        and abs(math.atan2(s.end.y - s.start.y, s.end.x - s.start.x) - half) < 0.5 * EXACT_ANGLE
        for s in front_bore(bench.clamping.part)
    )


def beyond_bars(bench: Bench, tool: Tool) -> bool:
    """Whether a drill is nearly as wide as a bore that no bar reaches to the end of."""
    wall = 2.0 * bench.cell.practice.drilling.leave_mm
    return any(
        isinstance(f, Hole | Bore)
        and -EXACT_DIAMETER <= f.diameter_mm - (tool.diameter_mm or 0.0) < wall
        and _opens_here(bench, f)
        and all((t.overhang or 0.0) < -f.z_back for t in boring_bars(bench.cell.shop, 0.5 * f.diameter_mm))
        for f in bench.clamping.part.features
    )


def _fine(bench: Bench, hole: Hole | Bore) -> bool:
    """Whether the drawing asks for a closer diameter than a drill makes."""
    return any(
        limit.what == "diameter"
        and limit.grade is not None
        and limit.grade < bench.cell.practice.drilling.least_grade
        and abs(2.0 * limit.r - hole.diameter_mm) < EXACT_DIAMETER
        for limit in bench.limits
    )


def _opens_here(bench: Bench, hole: Hole | Bore) -> bool:
    """Whether the hole belongs to the bore that opens at this setup's front."""
    part = bench.clamping.part
    mine = {id(s) for s in front_bore(part)}
    return any(id(part.segments[index]) in mine for index in hole.segments)
