"""Finish turning and boring: continuous cuts along the exact edge of the tool space, where stock remains.

The edge is made of lines and arcs offset for the nose; what the tool can't reach is not part of it. A cut
starts and ends in the air or on a surface that is finished already.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Segment
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.tool_space.axes import AXES, Axes
from dxf2turn.planning.tool_space.holder import clear_runs
from dxf2turn.planning.tool_space.links import linked, surroundings
from dxf2turn.planning.tool_space.passes import RUN_IN
from dxf2turn.planning.tool_space.plane import in_plane
from dxf2turn.planning.tool_space.sides import of_side
from dxf2turn.planning.tool_space.space import FAR, tool_space
from dxf2turn.planning.tool_space.surfaces import Sought, stretches
from dxf2turn.planning.tool_space.sweep import areas, cut_by, holder_meets, track
from dxf2turn.planning.work import SAGITTA, Work
from dxf2turn.shop.model import CuttingData, Tool

THICK = 1.5  # stock thicker than this, and than three depths of cut, is for roughing, mm
ROOM = 0.3  # a cut starts at least this far from any stock, in clearances


@dataclass(frozen=True, slots=True)
class Finishing:
    """What stays the same for all cuts of one operation. free: the tool space, a hair wider; low: least z."""

    tool: Tool
    axes: Axes
    feed: float
    free: BaseGeometry
    low: float
    run_in: float


def finish_moves(
    work: Work,
    tool: Tool,
    data: CuttingData,
    side: str = "outside",
    z_range: tuple[float, float] | None = None,
    allowance: float = 0.0,
) -> tuple[Move, ...]:
    """Cuts along the target wherever the tool reaches it and stock remains beside it.

    side: "outside" or "inside". z_range: (lower, upper) z of the surfaces to finish; the controlled point
    never goes below the lower one. allowance: left all round, mm. Empty when there is nothing to cut.
    """
    axes = replace(AXES[side], forward=-1.0) if tool.hand == "left" else AXES[side]
    low, high = z_range or (work.part.bounds[0], FAR)
    plane = in_plane(tool_space(work, tool, (allowance, allowance), behind=low), axes)
    room = of_side(areas(shapely.difference(work.stock, work.part)), work.part, side)
    shapely.prepare(room)
    thick = max(THICK, 3.0 * data.depth)
    paths = stretches(plane, Sought(room, work.surface, low, high, thick, tool.nose_radius + allowance))
    free = shapely.buffer(plane.free, 2.0 * SAGITTA)
    run_in = RUN_IN * work.clearance
    return _moves(work, Finishing(tool, axes, data.feed_mm_per_rev, free, low, run_in), paths)


def _moves(work: Work, job: Finishing, paths: Iterator[tuple[Segment, ...]]) -> tuple[Move, ...]:
    moves: tuple[Move, ...] = (Move(MoveKind.RAPID, *work.tool_change),)
    for path in paths:
        for run in clear_runs(work, job.tool, job.axes, path):
            cut = _cut(work, job, run, moves)
            work = cut_by(work, (moves[-1], *cut), job.tool)
            moves += cut
    if len(moves) == 1:
        return ()
    back = linked(surroundings(work, job.tool), moves, work.tool_change)
    return (*moves, *back) if back is not None else ()


def _cut(work: Work, job: Finishing, path: Sequence[Segment], done: Sequence[Move]) -> tuple[Move, ...]:
    """Rapid to the start, run in, along the path, run out; empty where no safe way was found."""
    around = surroundings(work, job.tool)
    run = [path[0].start, *_exit(path[-1], job)]
    for entry in _entries(path[0], job):
        start = job.axes.zr(entry)
        link = linked(around, done, start) if around.clear(start, start, ROOM * work.clearance) else None
        if link is None:
            continue
        cut = [job.axes.feed(run[0], job.feed), *(job.axes.along(segment, job.feed) for segment in path)]
        cut += [job.axes.feed(place, job.feed) for place in run[1:]]
        moves = (Move(MoveKind.RAPID, *start), *cut)
        way = np.concatenate([track(a, b) for a, b in zip(moves, moves[1:])])
        if not holder_meets(job.tool, way, work.stock):
            return (*link, *cut)
    return ()


def _entries(first: Segment, job: Finishing) -> Iterator[Point]:
    """Places to run in from: along the path, aslant, or straight at the surface."""
    along, away = first.tangent_at(0.0), -first.tangent_at(0.0).left
    for far in (job.run_in, 2.0 * job.run_in, 4.0 * job.run_in):
        for way in (-along, away + -along, away, Vector(0.0, 1.0), Vector(1.0, 1.0)):
            place = first.start + way * far
            if _is_free(job, place, first.start):
                yield place


def _exit(last: Segment, job: Finishing) -> tuple[Point, ...]:
    """Where to run out to: straight on where that is free; else the cut ends at the surface."""
    place = last.end + last.tangent_at(1.0) * job.run_in
    if job.axes.zr(place).x < job.low or not _is_free(job, last.end, place):
        return ()
    return (place,)


def _is_free(job: Finishing, a: Point, b: Point) -> bool:
    return bool(shapely.covers(job.free, LineString([a, b])))
