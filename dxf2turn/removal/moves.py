"""The moves of a step as polylines, and what is wrong with a path before anything is cut."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import flatten_segment
from dxf2turn.geometry.segment import Arc
from dxf2turn.planning.model import Move, MoveKind, Step
from dxf2turn.removal.model import Trouble
from dxf2turn.removal.sweep import Corners
from dxf2turn.removal.tolerances import PLACE, SAGITTA


@dataclass(frozen=True, slots=True)
class Travel:
    """One move of one step as a polyline (n, 2) of z and r, start included."""

    step: Step
    index: int
    kind: MoveKind
    path: Corners


def travels(step: Step) -> Iterator[Travel]:
    """All moves with their paths; the first one stands still at the tool-change point."""
    here = step.moves[0].end
    for index, move in enumerate(step.moves):
        yield Travel(step, index, move.kind, _path(here, move))
        here = move.end


def still(step: Step, index: int) -> Travel:
    """A move of a step where only its number matters."""
    return Travel(step, index, MoveKind.RAPID, np.zeros((0, 2)))


def is_finite(step: Step) -> bool:
    """Whether all coordinates of a step are numbers that can be driven to."""
    return all(math.isfinite(value) for move in step.moves for value in _numbers(move))


def path_troubles(step: Step, tool_change: Point) -> Iterator[Trouble]:
    """Steps start and end at the tool-change point; circular moves have a centre and one radius."""
    if not is_finite(step):
        yield trouble_in("path", still(step, 0), tool_change, 0.0, "has a coordinate that is no number")
        return
    for index in (0, len(step.moves) - 1):
        end = step.moves[index].end
        off = end.distance(tool_change)
        if off > PLACE:
            text = f"is {off:.3f} mm away from the tool-change point where the step starts and ends"
            yield trouble_in("path", still(step, index), end, off, text)
    for index, (last, move) in enumerate(zip(step.moves, step.moves[1:]), start=1):
        if move.kind is MoveKind.ARC:
            yield from _arc_trouble(still(step, index), last, move)


def _arc_trouble(travel: Travel, last: Move, move: Move) -> Iterator[Trouble]:
    if move.centre is None:
        yield trouble_in("path", travel, move.end, 0.0, "is an arc without a centre")
        return
    off = abs(last.end.distance(move.centre) - move.end.distance(move.centre))
    if off > PLACE:
        text = f"is no circle: its two radii differ by {off:.3f} mm"
        yield trouble_in("path", travel, move.end, off, text)


def trouble_in(kind: str, travel: Travel, at: Point, size: float, text: str) -> Trouble:
    """A trouble of one move; the setup's number is filled in by `verify`."""
    return Trouble(kind=kind, setup=0, step=travel.step.no, move=travel.index, at=at, size=size, text=text)


def _path(start: Point, move: Move) -> Corners:
    if move.kind is MoveKind.ARC and move.centre is not None and start != move.end:
        arc = Arc(start, move.end, move.centre, move.clockwise)
        return np.array(flatten_segment(arc, SAGITTA), dtype=float)
    return np.array([start, move.end], dtype=float)


def _numbers(move: Move) -> tuple[float, ...]:
    return (move.z, move.r, *(move.centre or ()))
