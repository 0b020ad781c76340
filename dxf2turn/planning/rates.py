"""Feeds held to what the slide can do: a quick feed near the axis may ask for more than its greatest rate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from dxf2turn.planning.model import Move, Spindle
from dxf2turn.planning.times import spindle_rpm
from dxf2turn.shop.model import Machine


def within_rates(moves: Sequence[Move], spindle: Spindle, machine: Machine) -> tuple[Move, ...]:
    """The moves, with no feed above the machine's greatest rate at the smallest radius of its way."""
    held = [*moves[:1]]
    for before, move in zip(moves, moves[1:]):
        held.append(move if move.feed is None else _held(before, move, spindle, machine))
    return tuple(held)


def _held(before: Move, move: Move, spindle: Spindle, machine: Machine) -> Move:
    radius = min(abs(before.r), abs(move.r)) if before.r * move.r > 0.0 else 0.0
    most = machine.feed_max_mm_per_min / spindle_rpm(spindle, radius)
    return move if move.feed is None or move.feed <= most else replace(move, feed=round(most - ROUNDING, 4))


ROUNDING = 5e-5  # half of the last decimal that a feed is stated with, mm
