"""How long moves take: the spindle speed follows the diameter, in closed form for lines and arcs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc
from dxf2turn.planning.model import Move, MoveKind, Spindle, Step
from dxf2turn.shop.model import Machine

SECONDS = 60.0
FULL_TURN = 2.0 * math.pi


def spindle_rpm(spindle: Spindle, radius: float) -> float:
    """Spindle speed in rev/min with the controlled point at `radius` mm.

    n = 1000 vc / (pi D), never above the limit (see docs/planning.md for the source).
    """
    if spindle.mode == "rpm":
        return min(spindle.value, spindle.limit_rpm)
    circumference = FULL_TURN * abs(radius)
    if circumference * spindle.limit_rpm <= 1000.0 * spindle.value:
        return spindle.limit_rpm
    return 1000.0 * spindle.value / circumference


def cut_time(moves: Sequence[Move], spindle: Spindle, machine: Machine) -> float:
    """Seconds spent in feed, arc and thread moves (the first move is the start)."""
    return math.fsum(_cut_time(a, b, spindle, machine) for a, b in zip(moves, moves[1:]))


def rapid_time(moves: Sequence[Move], machine: Machine) -> float:
    """Seconds spent in rapids; both slides move at once, each speeds up and slows down evenly."""
    return math.fsum(
        max(
            travel_time(abs(b.z - a.z), machine.rapid_z_mm_per_min, machine.acceleration_mm_per_s2),
            travel_time(abs(b.r - a.r), machine.rapid_x_mm_per_min, machine.acceleration_mm_per_s2),
        )
        for a, b in zip(moves, moves[1:])
        if b.kind is MoveKind.RAPID
    )


def tool_changes(steps: Iterable[Step]) -> int:
    """How often a tool is brought in for these steps, the first one too."""
    tools = [step.tool for step in steps if step.tool is not None]
    return sum(a != b for a, b in zip([None, *tools], tools))


def travel_time(distance: float, rate_mm_per_min: float, acceleration_mm_per_s2: float) -> float:
    """Seconds for a distance from rest to rest at a top rate, with constant acceleration.

    s = v^2 / (2 a) to get up to speed and the same to stop; short travels never reach the rate.

    >>> round(travel_time(100.0, 6000.0, 1000.0), 3), round(travel_time(2.5, 6000.0, 1000.0), 3)
    (1.1, 0.1)
    """
    rate = rate_mm_per_min / SECONDS
    if distance <= 0.0:
        return 0.0
    if distance >= rate * rate / acceleration_mm_per_s2:
        return distance / rate + rate / acceleration_mm_per_s2
    return 2.0 * math.sqrt(distance / acceleration_mm_per_s2)


def _cut_time(before: Move, move: Move, spindle: Spindle, machine: Machine) -> float:
    if move.kind is MoveKind.RAPID:
        return 0.0
    dz, dr = move.z - before.z, move.r - before.r
    if move.kind is MoveKind.THREAD:
        assert move.lead is not None
        return SECONDS * max(abs(dz), abs(dr)) / (move.lead * spindle_rpm(spindle, move.r))
    assert move.feed is not None
    return feed_time(_Way(before, move), move.feed, spindle, machine)


class _Way:
    """A feed move as radius against length: revolutions follow from the integral of r ds."""

    def __init__(self, before: Move, move: Move) -> None:
        start, end = Point(before.z, before.r), Point(move.z, move.r)
        self.arc = None
        if move.kind is MoveKind.ARC and move.centre is not None:
            self.arc = Arc(start, end, move.centre, move.clockwise)
        self.start, self.end = start, end
        self.length = self.arc.length if self.arc else start.distance(end)

    def radius(self, t: float) -> float:
        return self.arc.point_at(t).y if self.arc else self.start.y + (self.end.y - self.start.y) * t

    def moment(self, t0: float, t1: float) -> float:
        """Integral of r ds between two parameters, mm2."""
        if self.arc is None:
            return 0.5 * (self.radius(t0) + self.radius(t1)) * self.length * (t1 - t0)
        arc, first, sweep = self.arc, self.arc.start_angle, self.arc.sweep
        u0, u1 = first + sweep * t0, first + sweep * t1
        along = arc.radius * (arc.centre.y * (u1 - u0) - arc.radius * (math.cos(u1) - math.cos(u0)))
        return math.copysign(1.0, sweep) * along

    def stops(self, radii: Sequence[float]) -> list[float]:
        """Parameters where r passes one of `radii`, with 0 and 1."""
        found = {0.0, 1.0}
        for radius in radii:
            if self.arc is None:
                rise = self.end.y - self.start.y
                found.add((radius - self.start.y) / rise if rise else 0.0)
                continue
            share = (radius - self.arc.centre.y) / self.arc.radius
            if abs(share) <= 1.0:
                angle = math.asin(share)
                found |= {self.arc.parameter_of_angle(angle), self.arc.parameter_of_angle(math.pi - angle)}
        return sorted(t for t in found if 0.0 <= t <= 1.0)


def feed_time(way: _Way, feed: float, spindle: Spindle, machine: Machine) -> float:
    """Seconds for a cut at `feed` mm/rev along a line or an arc.

    While the surface speed is held, the revolutions of a piece are its integral of 2 pi r ds / (1000 vc f);
    where the spindle or the slide is at its limit they are ds / (f n). The way is split at those radii.
    """
    fastest = min(spindle.limit_rpm, machine.feed_max_mm_per_min / feed)
    if spindle.mode == "rpm":
        return SECONDS * way.length / (feed * min(spindle.value, fastest))
    held = 1000.0 * spindle.value / (FULL_TURN * fastest)  # radius below which the limit holds
    slow = 1000.0 * spindle.value / (FULL_TURN * machine.min_rpm) if machine.min_rpm > 0.0 else math.inf
    stops = way.stops([held, -held, slow] if math.isfinite(slow) else [held, -held])
    minutes = 0.0
    for t0, t1 in zip(stops, stops[1:]):
        radius = abs(way.radius(0.5 * (t0 + t1)))
        if radius <= held:
            minutes += way.length * (t1 - t0) / (feed * fastest)
        elif radius >= slow:
            minutes += way.length * (t1 - t0) / (feed * machine.min_rpm)
        else:
            minutes += FULL_TURN * abs(way.moment(t0, t1)) / (1000.0 * spindle.value * feed)
    return SECONDS * minutes
