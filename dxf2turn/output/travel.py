"""Moves as segments: where each one starts, and how far the cutting of a step reaches."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Bounds, Line, Segment
from dxf2turn.planning.model import Move, MoveKind, Setup, Step


def travels(step: Step) -> Iterator[tuple[Move, Segment]]:
    """Each move after the first with the segment it travels, setup coordinates (z, r)."""
    for before, move in zip(step.moves, step.moves[1:]):
        if move.kind is MoveKind.ARC and move.centre is not None:
            yield move, Arc(before.end, move.end, move.centre, move.clockwise)
        else:
            yield move, Line(before.end, move.end)


def cutting(step: Step) -> tuple[Segment, ...]:
    """The segments that are travelled at feed."""
    return tuple(segment for move, segment in travels(step) if move.kind is not MoveKind.RAPID)


def cut_range(step: Step) -> tuple[Point, Point] | None:
    """Where cutting starts and the furthest z and r it reaches from there; None without cutting."""
    segments = cutting(step)
    if not segments:
        return None
    start, box = segments[0].start, path_bounds(segments)
    z = max((box.min_x, box.max_x), key=lambda value: abs(value - start.x))
    r = max((box.min_y, box.max_y), key=lambda value: abs(value - start.y))
    return start, Point(z, r)


def setup_bounds(setup: Setup) -> Bounds:
    """Box around the stock of a setup."""
    return path_bounds(setup.stock)
