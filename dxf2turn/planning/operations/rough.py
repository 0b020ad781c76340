"""Rough turning and boring: passes of a few heights through the tool space, nothing in air.

A pass follows its level where the tool is free and the edge of the space (part plus allowance) where that
stands above the level, then climbs the wall up to the level before. So every pass is at most one depth
thick, slopes and hollows are entered along the edge of the space, and no steps are left. See
docs/tool_space.md.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Vector
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.planning.levels import Floor, levels
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.tool_space.axes import AXES, COUNTERBORE, FACE, Axes
from dxf2turn.planning.tool_space.holder import clear_runs
from dxf2turn.planning.tool_space.links import linked, surroundings
from dxf2turn.planning.tool_space.passes import CHIP, RUN_IN, Reach, Slab, clipped, stretches, ways
from dxf2turn.planning.tool_space.plane import PlaneSpace, in_plane, shape_uv
from dxf2turn.planning.tool_space.sides import of_side
from dxf2turn.planning.tool_space.space import FAR, ToolSpace, cleared, tool_space
from dxf2turn.planning.tool_space.sweep import areas, cut_by, holder_meets, swept, track
from dxf2turn.planning.work import Work
from dxf2turn.shop.model import CuttingData, Tool

TOO_DEEP = 0.25  # share of a slab: material above it, thicker than twice this, was left by a pass not taken
FILLET = 0.3  # share of the nose radius: half the thickness of what the nose leaves in a corner
WORTH = 0.3  # thinner material is left for finishing, mm
FLAT = 1e-6  # a contact that rises less than this is level, mm
AIR = 10.0  # how far in front of the material a level is followed, mm
BESIDE = 1e-4  # just below a level, mm


@dataclass(frozen=True, slots=True)
class Roughing:
    """What stays the same for all passes of one operation."""

    tool: Tool
    data: CuttingData
    plane: PlaneSpace
    curves: tuple[Segment, ...]
    reach: Reach
    span: tuple[float, float]  # where the controlled point may go along u
    floor: float  # how low it may go along v
    room: BaseGeometry  # what the tool can remove, (z, r)
    todo: BaseGeometry  # what it is asked to remove, (z, r)


def rough_moves(
    work: Work,
    tool: Tool,
    data: CuttingData,
    allowance: tuple[float, float] = (0.0, 0.0),
    side: str = "outside",
    z_range: tuple[float, float] | None = None,
) -> tuple[Move, ...]:
    """Lengthwise passes down to the part plus `allowance` (radial, axial; mm).

    side: "outside" or "inside". z_range: (lower, upper) z between which material is removed; the
    controlled point never goes below the lower one. Empty when there is nothing to cut.
    """
    zone = z_range or (work.part.bounds[0], FAR)
    space = tool_space(work, tool, allowance, zone[0])
    return _moves(_roughing(work, data, space, _handed(AXES[side], tool), (side, zone)), work)


def rough_face_moves(
    work: Work,
    tool: Tool,
    data: CuttingData,
    allowance: tuple[float, float] = (0.0, 0.0),
    side: str = "outside",
    z_range: tuple[float, float] | None = None,
) -> tuple[Move, ...]:
    """The same with passes across the axis, level by level from the front.

    Outside they run from outside in; inside from the hole that is there already towards the wall.
    """
    zone = z_range or (work.part.bounds[0], FAR)
    space = tool_space(work, tool, allowance, zone[0])
    axes = COUNTERBORE if side == "inside" else FACE
    return _moves(_roughing(work, data, space, axes, (side, zone)), work)


def _handed(axes: Axes, tool: Tool) -> Axes:
    """Left-hand tools feed away from the chuck."""
    return replace(axes, forward=-1.0) if tool.hand == "left" else axes


def _moves(job: Roughing, work: Work) -> tuple[Move, ...]:
    moves: tuple[Move, ...] = (Move(MoveKind.RAPID, *work.tool_change),)
    for slab in _slabs(job):
        for way in _ways(work, job, slab):
            for run in clear_runs(work, job.tool, job.plane.axes, way):
                cut = _pass(work, job, slab, moves, run)
                work = cut_by(work, (moves[-1], *cut), job.tool)
                moves += cut
    if len(moves) == 1:
        return ()
    back = linked(surroundings(work, job.tool), moves, work.tool_change)
    return (*moves, *back) if back is not None else ()


def _roughing(
    work: Work, data: CuttingData, space: ToolSpace, axes: Axes, zone: tuple[str, tuple[float, float]]
) -> Roughing:
    side, (low, high) = zone
    plane = in_plane(space, axes)
    room = shapely.intersection(cleared(space, work.stock), shapely.box(low, 0.0, FAR, FAR))
    asked = of_side(shapely.intersection(room, shapely.box(low, 0.0, high, FAR)), work.part, side)
    thick = shapely.buffer(asked, -0.5 * WORTH, join_style="mitre")
    todo = areas(shapely.intersection(asked, shapely.buffer(thick, WORTH, join_style="mitre")))
    curves = tuple(contact.path for ring in plane.edges for contact in ring)
    return Roughing(
        space.tool,
        data,
        plane,
        curves,
        _reach(space.tool, axes, RUN_IN * work.clearance),
        _span(axes, low),
        low if axes.swap else -FAR,
        room,
        todo,
    )


def _span(axes: Axes, low_z: float) -> tuple[float, float]:
    """Where the controlled point may go along u: nowhere below the least z."""
    if axes.swap:
        return -FAR, FAR
    return (low_z, FAR) if axes.forward > 0.0 else (-FAR, -low_z)


def _reach(tool: Tool, axes: Axes, run_in: float) -> Reach:
    corners = [axes.uv(p) for p in tool.outline]
    sole = min(p.y for p in corners)
    near = [p.x for p in corners if p.y < sole + tool.nose_radius + 1e-6]
    return Reach(min(near), axes.uv(tool.nose_centre).x, sole, run_in)


def _slabs(job: Roughing) -> Iterator[Slab]:
    """The levels from top to bottom, as slabs between neighbours."""
    todo = shape_uv(job.todo, job.plane.axes)
    solid = shapely.buffer(todo, -CHIP, join_style="mitre")
    if solid.is_empty:
        return
    left, bottom, right, top = solid.bounds
    floors = _floors(job)

    def width(height: float) -> float:
        v = height + job.reach.sole - BESIDE
        return float(shapely.intersection(shapely.LineString([(left, v), (right, v)]), todo).length)

    high = top + CHIP - job.reach.sole
    lowest = _lowest(job, bottom - CHIP - job.reach.sole, floors)
    for low in levels(high, lowest, job.data.depth, floors, width):
        yield Slab(low, high, job.span[0], min(job.span[1], right + AIR))
        high = low


def _lowest(job: Roughing, bottom: float, floors: Sequence[Floor]) -> float:
    """The last level: a floor at the bottom of the material, else low enough for the nose to clear it."""
    near = [floor.height for floor in floors if abs(floor.height - bottom) < 3.0 * CHIP]
    if near:
        return max(near)
    return max(bottom - job.tool.nose_radius, job.plane.free.bounds[1], job.floor)


def _floors(job: Roughing) -> list[Floor]:
    flat = [
        c.path
        for ring in job.plane.edges
        for c in ring
        if isinstance(c.path, Line) and c.source is not None and abs(c.path.end.y - c.path.start.y) < FLAT
    ]
    return [Floor(p.start.y, p.length) for p in flat if p.end.x < p.start.x]


def _ways(work: Work, job: Roughing, slab: Slab) -> Iterator[tuple[Segment, ...]]:
    """The ways of one level, from right to left, each cut to where there is material."""
    spans = _asked(work, job, slab)
    if not spans:
        return
    found = sorted(ways(job.plane.free, job.curves, slab), key=lambda way: -way[0].start.x)
    for way in found:
        left, right = min(s.end.x for s in way), max(s.start.x for s in way)
        for start, end in spans:
            if start > left and end < right:
                part = clipped(way, start, end)
                if part:
                    yield part


def _asked(work: Work, job: Roughing, slab: Slab) -> list[tuple[float, float]]:
    """From where to where to feed at a level: through all that is in the way of what is asked for."""
    wanted, there = (
        stretches(shape_uv(shapely.intersection(work.stock, region), job.plane.axes), slab, job.reach)
        for region in (job.todo, job.room)
    )
    return [(start, end) for start, end in there if any(a > end and b < start for a, b in wanted)]


def _pass(
    work: Work, job: Roughing, slab: Slab, done: Sequence[Move], way: Sequence[Segment]
) -> tuple[Move, ...]:
    """Rapid to the start and feed along the way; empty where the pass can't be taken safely."""
    axes, feed = job.plane.axes, job.data.feed_mm_per_rev
    around = surroundings(work, job.tool)
    start = axes.zr(way[0].start)
    above = axes.zr(way[0].start + Vector(0.0, work.clearance))
    near = not around.clear(start, start, 0.5 * work.clearance)
    entry = above if near else start
    link = linked(around, done, entry)
    if link is None:
        return ()
    cut = tuple(axes.along(segment, feed) for segment in way)
    if near:
        cut = (Move(MoveKind.FEED, *start, feed=feed), *cut)
    return (*link, *cut) if _is_safe(work, job, slab, Move(MoveKind.RAPID, *entry), cut) else ()


def _is_safe(work: Work, job: Roughing, slab: Slab, start: Move, cut: Sequence[Move]) -> bool:
    """Whether the pass takes no more than its slab, and the holder stays out of the stock."""
    moves = (start, *cut)
    taken = shape_uv(shapely.intersection(work.stock, swept(moves, [job.tool.outline])), job.plane.axes)
    above = shapely.intersection(taken, shapely.box(-FAR, slab.high + job.reach.sole, FAR, FAR))
    usual = max(TOO_DEEP * (slab.high - slab.low), FILLET * job.tool.nose_radius)
    if not shapely.buffer(above, -usual).is_empty:
        return False
    way = np.concatenate([track(a, b) for a, b in zip(moves, moves[1:])])
    return not holder_meets(job.tool, way, work.stock)
