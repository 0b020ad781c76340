"""Biarcs along a smooth curve: two arcs with a common tangent that join two points in given directions."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from dxf2turn.geometry.curve import CurvePoint, Fit, Run, angle_between
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Line, Segment, arc_through

_PER_BIARC = 16  # measured places per biarc
_STRAIGHT = 1e-8  # bulge below which an arc of a biarc is drawn as a line
_FULL_TURN = 1e3  # bulge above which an arc is all but a full turn
_WIDEST = math.radians(100.0)  # turn of one biarc
_REFINE = 5  # halvings of the search for the longest biarc
_SHORTEST = 1e-4  # of a span: a biarc this short is taken even where it misses (at a cusp)


def biarcs_along(run: Run, ends: tuple[Point, Point], tolerance: float, origin: tuple[str, ...]) -> Fit:
    """Biarcs along a run, each as long as the tolerance allows; `ends` are met exactly."""
    start = CurvePoint(ends[0], run.at(run.first).along)
    final = CurvePoint(ends[1], run.end.along)
    stops = _stops(run, start, final, tolerance)
    pieces: list[Segment] = []
    deviation = 0.0
    here = start
    for low, high in zip(stops, stops[1:]):
        there = final if high == run.last else run.at(high)
        if here.point == there.point:
            continue
        biarc = _biarc(here, there, origin) or (Line(here.point, there.point, origin),)
        pieces.extend(biarc)
        deviation = max(deviation, _distance(run, biarc, (low, high), math.inf))
        here = there
    return Fit(tuple(pieces), deviation)


def _stops(run: Run, start: CurvePoint, final: CurvePoint, tolerance: float) -> list[float]:
    """Parameters at which one biarc ends and the next begins."""

    def fits(low: float, high: float) -> bool:
        here = start if low == run.first else run.at(low)
        there = final if high == run.last else run.at(high)
        if angle_between(here.along, there.along) > _WIDEST:
            return False
        biarc = _biarc(here, there, ())
        return bool(biarc) and _distance(run, biarc, (low, high), tolerance) <= tolerance

    stops = [run.first]
    whole = run.last - run.first
    step, shortest = whole, _SHORTEST * whole / len(run.spans)
    while stops[-1] < run.last:
        high = _longest(fits, stops[-1], min(run.last, stops[-1] + step), run.last, shortest)
        step = 1.5 * (high - stops[-1])
        stops.append(high)
    if len(stops) > 2:
        # A short rest at the end is evened out with the biarc before it.
        middle = 0.5 * (stops[-3] + stops[-1])
        if middle < stops[-2] and fits(middle, stops[-1]):
            stops[-2] = middle
    return stops


def _longest(
    fits: Callable[[float, float], bool], low: float, guess: float, end: float, shortest: float
) -> float:
    """The farthest parameter, up to the search's fineness, to which one biarc reaches from `low`."""
    good, bad = low, guess
    while bad == guess and fits(low, bad):
        good = bad
        if good == end:
            return end
        guess = bad = min(end, low + 2.0 * (bad - low))
    while good == low:
        middle = 0.5 * (low + bad)
        if middle - low <= shortest:
            return bad
        if fits(low, middle):
            good = middle
        else:
            bad = middle
    for _ in range(_REFINE):
        middle = 0.5 * (good + bad)
        good, bad = (middle, bad) if fits(low, middle) else (good, middle)
    return good


def _biarc(start: CurvePoint, end: CurvePoint, origin: tuple[str, ...]) -> tuple[Segment, ...]:
    """Two arcs (or lines) from `start` to `end` with a common tangent; () where there are none.

    Source: the equal-arm construction of the biarc (both control arms equally long), worked out here:
    |end - start - d (t0 + t1)| = 2 d for the arm d.
    """
    v = end.point - start.point
    if v.length == 0.0:
        return ()
    both = start.along + end.along
    a = 2.0 * (1.0 - start.along.dot(end.along))
    b = v.dot(both)
    root = math.sqrt(b * b + a * v.dot(v))
    # The form without cancellation of (-b + root) / a, good for a = 0 too.
    if b + root <= 0.0:
        return ()
    arm = v.dot(v) / (b + root)
    joint = start.point.towards(end.point, 0.5) + (start.along - end.along) * (0.5 * arm)
    return (
        *_tangent_arc(start.point, start.along, joint, origin),
        *(piece.reversed() for piece in _tangent_arc(end.point, -end.along, joint, origin)),
    )


def _tangent_arc(start: Point, along: Vector, end: Point, origin: tuple[str, ...]) -> tuple[Segment, ...]:
    """The arc that leaves `start` in direction `along` and arrives at `end`."""
    chord = end - start
    if chord.length == 0.0:
        return ()
    # Half the sweep is the angle between tangent and chord; the bulge is the tangent of half of that.
    half_sweep = math.atan2(along.cross(chord), along.dot(chord))
    bulge = math.tan(0.5 * half_sweep)
    # Next to a full turn there is no arc that could be computed; the distance will tell.
    usable = _STRAIGHT < abs(bulge) < _FULL_TURN
    return (arc_through(start, end, bulge if usable else 0.0, origin),)


def _distance(run: Run, pieces: Sequence[Segment], ends: tuple[float, float], enough: float) -> float:
    """Largest distance of measured places of the run from the pieces of a biarc.

    Stops at the first that exceeds `enough`. Endless when the curve leaves the strip between the biarc's
    ends, which a curve that makes a loop does.
    """
    low, high = ends
    step = (high - low) / _PER_BIARC
    first, last = pieces[0], pieces[-1]
    measures = [_circle_measure(piece) for piece in pieces]
    strip = (first.start, first.tangent_at(0.0), last.end, last.tangent_at(1.0))
    joint, along = last.start, last.tangent_at(0.0)
    largest = 0.0
    for i in range(1, _PER_BIARC):
        place = run.at(low + step * i).point
        if not _between(place, strip, enough):
            return math.inf
        behind = (place.x - joint.x) * along.dx + (place.y - joint.y) * along.dy > 0.0
        largest = max(largest, measures[-1 if behind else 0](place))
        if largest > enough:
            break
    return largest


def _between(place: Point, strip: tuple[Point, Vector, Point, Vector], margin: float) -> bool:
    """Whether a place lies ahead of the start and before the end of a biarc."""
    start, leaves, end, arrives = strip
    ahead = (place.x - start.x) * leaves.dx + (place.y - start.y) * leaves.dy
    left = (end.x - place.x) * arrives.dx + (end.y - place.y) * arrives.dy
    return ahead >= -margin and left >= -margin


def _circle_measure(piece: Segment) -> Callable[[Point], float]:
    """Distance of a place from the endless line or the whole circle of a piece."""
    if isinstance(piece, Arc):
        x, y, radius = piece.centre.x, piece.centre.y, piece.radius
        return lambda place: abs(math.hypot(place.x - x, place.y - y) - radius)
    start, along = piece.start, piece.tangent_at(0.0)
    return lambda place: abs(along.dx * (place.y - start.y) - along.dy * (place.x - start.x))
