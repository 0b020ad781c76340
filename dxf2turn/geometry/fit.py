"""Curves by lines and arcs that join and touch each other: ellipses, splines, any smooth curve.

Words. *Span*: a stretch of a curve that one formula draws (between two knots of a spline). *Run*: spans
that follow each other without a kink. *Biarc*: two arcs with a common tangent that join two points in
given directions.

A run is first searched for lines and arcs that somebody stored as a spline; they are recognised within
a small part of the tolerance. What remains is drawn by biarcs, each as long as the tolerance allows.
Pieces share their ends to the last bit. Distances are measured along the curve, not estimated.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Line, Segment, arc_through

Origin = tuple[str, ...]

_PER_SPAN = 12  # measured places per span; a rational span of degree 5 that meets a circle there is one
_PER_BIARC = 16  # measured places per biarc
_SHARE = 0.9  # of the tolerance, so that places between the measured ones keep it as well
_STORED = 1e-3  # of the tolerance: a line or an arc that was stored as a spline
_TOUCH = math.radians(0.01)  # two directions closer than this touch without a kink
_NEARLY_TOUCH = math.radians(0.2)  # the same for a whole curve that is nearly one line or arc
_LEAST_SWEEP = math.radians(5.0)  # of an arc that is recognised inside a curve
_LEAST_LENGTH = 20.0  # tolerances: of a line that is recognised inside a curve
_SAME_WAY = 0.99  # cosine between curve and piece, to refuse a curve that runs to and fro
_STRAIGHT = 1e-8  # bow per chord below which an arc of a biarc is drawn as a line
_WIDEST = math.radians(100.0)  # turn of one biarc
_REFINE = 7  # halvings of the search for the longest biarc
_SHORTEST = 1e-4  # of a span: a biarc this short is taken even where it misses (at a cusp)


class Fit(NamedTuple):
    """Joined segments and their largest distance from the curve."""

    segments: tuple[Segment, ...]
    deviation: float


class CurvePoint(NamedTuple):
    """A place on a curve and the unit direction of travel there."""

    point: Point
    along: Vector


@dataclass(frozen=True)
class Span:
    """A stretch of a curve: `at(t)` for first <= t <= last, smooth in between.

    joint: a piece has to end where this span ends, kink or not.
    """

    at: Callable[[float], CurvePoint]
    first: float
    last: float
    joint: bool = False

    @cached_property
    def samples(self) -> tuple[CurvePoint, ...]:
        """Evenly spaced places, both ends included."""
        step = (self.last - self.first) / _PER_SPAN
        inner = (self.at(self.first + step * i) for i in range(1, _PER_SPAN))
        return (self.at(self.first), *inner, self.at(self.last))


@dataclass(frozen=True, slots=True)
class Ellipse:
    """centre + cos(t) * major + sin(t) * minor; the two axes need not be square to each other."""

    centre: Point
    major: Vector
    minor: Vector

    def at(self, angle_deg: float) -> CurvePoint:
        """Place at a parameter in degrees (which is not the angle seen from the centre)."""
        t = math.radians(angle_deg)
        c, s = math.cos(t), math.sin(t)
        along = self.minor * c - self.major * s
        return CurvePoint(
            self.centre + self.major * c + self.minor * s,
            along.unit() or self.major.unit() or Vector(1.0, 0.0),
        )


@dataclass(frozen=True, slots=True)
class _Run:
    """Spans without a kink; the parameter runs through them."""

    spans: Sequence[Span]
    firsts: Sequence[float] = field(default=())

    def at(self, t: float) -> CurvePoint:
        index = max(0, bisect_right(self.firsts, t) - 1)
        return self.spans[index].at(t)

    @property
    def first(self) -> float:
        return self.spans[0].first

    @property
    def last(self) -> float:
        return self.spans[-1].last


def fit_ellipse(
    ellipse: Ellipse,
    turn_deg: tuple[float, float],
    tolerance: float,
    origin: Origin = (),
    ends: tuple[Point, Point] | None = None,
) -> Fit:
    """Arcs along an ellipse, `turn_deg` = parameter of the start and signed sweep, within `tolerance`.

    Full quarters of the parameter are always joints. ends: points to be met exactly, when they are known
    better than the formula gives them.
    """
    first, sweep = turn_deg
    sign = math.copysign(1.0, sweep)

    def at(t: float) -> CurvePoint:
        place = ellipse.at(sign * t)
        return CurvePoint(place.point, place.along * sign)

    low, high = first * sign, first * sign + abs(sweep)
    inner = [q * 90.0 for q in range(math.ceil(low / 90.0), math.floor(high / 90.0) + 1)]
    stops = [low, *(q for q in inner if low < q < high), high]
    spans = [Span(at, a, b, joint=True) for a, b in zip(stops, stops[1:])]
    if ends is None and abs(sweep) >= 360.0:
        start = at(low).point
        ends = (start, start)
    return fit_spans(spans, tolerance, origin, ends)


def fit_spans(
    spans: Sequence[Span],
    tolerance: float,
    origin: Origin = (),
    ends: tuple[Point, Point] | None = None,
) -> Fit:
    """Lines and arcs along a curve of joined spans, within `tolerance`.

    ends: points to be met exactly in place of the curve's own ends (equal ones close the curve).
    """
    first, last = ends or (spans[0].at(spans[0].first).point, spans[-1].at(spans[-1].last).point)
    pieces: list[Segment] = []
    deviation = 0.0
    here = first
    for kind, run in _runs(spans, tolerance):
        there = last if run[-1] is spans[-1] else run[-1].at(run[-1].last).point
        found = (
            _stored(kind, run, (here, there), origin)
            if kind
            else _biarcs(run, (here, there), tolerance, origin)
        )
        pieces.extend(found.segments)
        deviation = max(deviation, found.deviation)
        here = there
    return Fit(tuple(pieces), deviation)


def _runs(spans: Sequence[Span], tolerance: float) -> Iterator[tuple[str, Sequence[Span]]]:
    """The curve cut into runs: `line` and `arc` for stored ones, "" for what needs biarcs."""
    whole = _kind_of(spans, _SHARE * tolerance, _NEARLY_TOUCH)
    if whole:
        yield whole, spans
        return
    smooth: list[Span] = []
    index = 0
    while index < len(spans):
        kind, count = _longest_stored(spans, index, tolerance)
        if smooth and (kind or _breaks(smooth[-1], spans[index])):
            yield "", smooth
            smooth = []
        if kind:
            yield kind, spans[index : index + count]
        else:
            smooth.append(spans[index])
        index += count
    if smooth:
        yield "", smooth


def _breaks(before: Span, behind: Span) -> bool:
    return before.joint or _angle(before.samples[-1].along, behind.samples[0].along) > _TOUCH


def _longest_stored(spans: Sequence[Span], index: int, tolerance: float) -> tuple[str, int]:
    """Kind and number of spans of the longest stored line or arc that starts with span `index`."""
    kind = _long_enough(spans[index : index + 1], tolerance)
    if not kind:
        return "", 1
    good, step = 1, 1
    while index + good < len(spans):
        count = min(good + step, len(spans) - index)
        if _kind_of(spans[index : index + count], _STORED * tolerance, _TOUCH) == kind:
            good, step = count, 2 * step
        elif step == 1:
            break
        else:
            step = 1
    return kind, good


def _long_enough(spans: Sequence[Span], tolerance: float) -> str:
    """The kind of a stored piece, "" when it is so short that any curve looks like it."""
    kind = _kind_of(spans, _STORED * tolerance, _TOUCH)
    start, end = spans[0].samples[0], spans[-1].samples[-1]
    if kind == "line" and start.point.distance(end.point) < _LEAST_LENGTH * tolerance:
        return ""
    if kind == "arc" and _angle(start.along, end.along) < _LEAST_SWEEP:
        return ""
    return kind


def _kind_of(spans: Sequence[Span], tolerance: float, touch: float) -> str:
    """`line` or `arc` when the spans are one within `tolerance` and `touch`, else ""."""
    places = [place for span in spans for place in span.samples]
    start, end = places[0], places[-1]
    if _is_line(places, start, end, tolerance, touch):
        return "line"
    circle = _circle_of(places)
    if circle is None:
        return ""
    centre, radius, turn = circle
    for place in places:
        out = place.point - centre
        if abs(out.length - radius) > tolerance or out.left.dot(place.along) * turn < _SAME_WAY * out.length:
            return ""
    for place in (start, end):
        if _angle((place.point - centre).left * turn, place.along) > touch:
            return ""
    return "arc"


def _is_line(
    places: Sequence[CurvePoint], start: CurvePoint, end: CurvePoint, tolerance: float, touch: float
) -> bool:
    along = (end.point - start.point).unit()
    if along is None or max(_angle(along, start.along), _angle(along, end.along)) > touch:
        return False
    return all(
        abs(along.cross(place.point - start.point)) <= tolerance and along.dot(place.along) > _SAME_WAY
        for place in places
    )


def _circle_of(places: Sequence[CurvePoint]) -> tuple[Point, float, float] | None:
    """Centre, radius and turn (+1 counter-clockwise) of the circle through three places of a run.

    A run that closes has its third place well before its end.
    """
    start, end = places[0].point, places[-1].point
    third = len(places) // 3
    near = start.distance(end) < start.distance(places[third].point)
    a, b, c = (start, places[third].point, places[2 * third].point) if near else (
        start, places[len(places) // 2].point, end
    )  # fmt: skip
    u, v = b - a, c - a
    double = 2.0 * u.cross(v)
    if double == 0.0:
        return None
    uu, vv = u.dot(u), v.dot(v)
    centre = a + Vector((v.dy * uu - u.dy * vv) / double, (u.dx * vv - v.dx * uu) / double)
    return centre, centre.distance(a), math.copysign(1.0, double)


def _stored(kind: str, run: Sequence[Span], ends: tuple[Point, Point], origin: Origin) -> Fit:
    """The line or the arcs of a recognised run; an arc of more than a half turn becomes several."""
    start, end = ends
    places = [place for span in run for place in span.samples]
    if kind == "line":
        along = (end - start).unit() or Vector(1.0, 0.0)
        return Fit((Line(start, end, origin),), max(abs(along.cross(p.point - start)) for p in places))
    turned = sum(_angle(a.along, b.along) for a, b in zip(places, places[1:]))
    count = max(1, math.ceil(turned / math.pi - _TOUCH))
    stops = [round(i * (len(places) - 1) / count) for i in range(count + 1)]
    joints = [start, *(places[stop].point for stop in stops[1:-1]), end]
    arcs: list[Segment] = []
    deviation = 0.0
    for (low, high), a, b in zip(zip(stops, stops[1:]), joints, joints[1:]):
        arc = _arc_through_middle(a, places[(low + high) // 2].point, b, origin)
        arcs.append(arc)
        deviation = max(deviation, *(arc.distance(place.point) for place in places[low : high + 1]))
    return Fit(tuple(arcs), deviation)


def _arc_through_middle(start: Point, middle: Point, end: Point, origin: Origin) -> Segment:
    """The arc from `start` to `end` that passes through `middle`."""
    # The angle that the chord is seen under at `middle` is pi minus half the sweep.
    u, v = middle - start, end - middle
    half_sweep = math.atan2(u.cross(v), u.dot(v))
    return arc_through(start, end, math.tan(0.5 * half_sweep), origin)


def _biarcs(spans: Sequence[Span], ends: tuple[Point, Point], tolerance: float, origin: Origin) -> Fit:
    """Biarcs along a run, each as long as the tolerance allows."""
    run = _Run(spans, tuple(span.first for span in spans))
    start = CurvePoint(ends[0], run.at(run.first).along)
    final = CurvePoint(ends[1], spans[-1].at(run.last).along)
    stops = _biarc_stops(run, start, final, _SHARE * tolerance)
    pieces: list[Segment] = []
    deviation = 0.0
    here = start
    for low, high in zip(stops, stops[1:]):
        there = final if high == run.last else run.at(high)
        biarc = _biarc(here, there, origin)
        pieces.extend(biarc)
        deviation = max(deviation, _distance(run, biarc, low, high))
        here = there
    return Fit(tuple(pieces), deviation)


def _biarc_stops(run: _Run, start: CurvePoint, final: CurvePoint, tolerance: float) -> list[float]:
    """Parameters at which one biarc ends and the next begins."""

    def fits(low: float, high: float) -> bool:
        here = start if low == run.first else run.at(low)
        there = final if high == run.last else run.at(high)
        if _angle(here.along, there.along) > _WIDEST:
            return False
        biarc = _biarc(here, there, ())
        return bool(biarc) and _distance(run, biarc, low, high) <= tolerance

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


def _biarc(start: CurvePoint, end: CurvePoint, origin: Origin) -> tuple[Segment, ...]:
    """Two arcs from `start` to `end` with a common tangent; one line when all is straight; () for none.

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


def _tangent_arc(start: Point, along: Vector, end: Point, origin: Origin) -> tuple[Segment, ...]:
    """The arc that leaves `start` in direction `along` and arrives at `end`."""
    chord = end - start
    if chord.length == 0.0:
        return ()
    # Half the sweep is the angle between tangent and chord; the bulge is the tangent of half of that.
    half_sweep = math.atan2(along.cross(chord), along.dot(chord))
    bulge = math.tan(0.5 * half_sweep)
    return (arc_through(start, end, bulge if abs(bulge) > _STRAIGHT else 0.0, origin),)


def _distance(run: _Run, pieces: Sequence[Segment], low: float, high: float) -> float:
    """Largest distance of measured places of the run from the pieces."""
    step = (high - low) / _PER_BIARC
    places = (run.at(low + step * i).point for i in range(1, _PER_BIARC))
    return max(min(piece.distance(place) for piece in pieces) for place in places)


def _angle(a: Vector, b: Vector) -> float:
    """Unsigned angle between two directions."""
    return abs(math.atan2(a.cross(b), a.dot(b)))


__all__ = ["Arc", "CurvePoint", "Ellipse", "Fit", "Span", "fit_ellipse", "fit_spans"]
