"""Which parts of a cut the holder allows while the stock beside it still stands."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from dxf2turn.geometry.segment import Segment
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.tool_space.axes import Axes
from dxf2turn.planning.tool_space.sweep import TOUCH, cut_by, holder_meets, holder_shapes, meets, track
from dxf2turn.planning.work import Work
from dxf2turn.shop.model import Tool

GRAIN = 1.0  # a piece where the holder touches is tried again in parts of this length, mm
Path = tuple[Segment, ...]


def clear_runs(work: Work, tool: Tool, axes: Axes, way: Sequence[Segment]) -> tuple[Path, ...]:
    """The runs of a way (u, v) on which the holder stays out of the stock, cut one after the other."""
    if not tool.holder or not _meets(work, tool, axes, way):
        return (tuple(way),)
    runs: list[list[Segment]] = [[]]
    for piece in (part for segment in way for part in _grains(work, tool, axes, segment)):
        if _meets(work, tool, axes, (piece,)):
            runs.append([])
            continue
        work = cut_by(work, _moves(axes, (piece,)), tool)
        runs[-1].append(piece)
    return tuple(tuple(run) for run in runs if run)


def _grains(work: Work, tool: Tool, axes: Axes, segment: Segment) -> Iterator[Segment]:
    """The segment whole, or in short parts where the holder touches on its way."""
    if not _meets(work, tool, axes, (segment,)):
        yield segment
        return
    count = max(1, math.ceil(segment.length / GRAIN))
    for i in range(count):
        yield segment.part(i / count, (i + 1) / count)


def _meets(work: Work, tool: Tool, axes: Axes, way: Sequence[Segment]) -> bool:
    moves = _moves(axes, way)
    tracks = [track(before, move) for before, move in zip(moves, moves[1:])]
    if not meets(np.concatenate(tracks), holder_shapes(tool, -TOUCH), work.stock):
        return False
    for before, move, line in zip(moves, moves[1:], tracks):
        if holder_meets(tool, line, work.stock):
            return True
        work = cut_by(work, (before, move), tool)
    return False


def _moves(axes: Axes, way: Sequence[Segment]) -> tuple[Move, ...]:
    start = axes.zr(way[0].start)
    return (Move(MoveKind.RAPID, *start), *(axes.along(segment, 0.0) for segment in way))
