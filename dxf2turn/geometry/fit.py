"""Curves by lines and arcs that join and touch each other: ellipses, splines, any smooth curve.

Words. *Span*: a stretch of a curve that one formula draws (between two knots of a spline). *Run*: spans
that follow each other without a kink. *Biarc*: two arcs with a common tangent that join two points in
given directions.

A curve is first searched for lines and arcs that somebody stored as a spline; they are recognised within
a small part of the tolerance. What remains is drawn by biarcs, each as long as the tolerance allows.
Pieces share their ends to the last bit. Distances are measured along the curve, not estimated.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from dxf2turn.geometry.biarc import biarcs_along
from dxf2turn.geometry.curve import CurvePoint, Fit, Run, Span, angle_between
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Segment
from dxf2turn.geometry.stored import TOUCH, kind_of_whole, longest_stored, stored_pieces

Origin = tuple[str, ...]

_SHARE = 0.95  # of the tolerance, so that places between the measured ones keep it as well
_QUARTER = 90.0  # degrees


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
        (ax, ay), (bx, by), (x, y) = self.major, self.minor, self.centre
        along = Vector(bx * c - ax * s, by * c - ay * s)
        way = along.unit() or self.major.unit() or Vector(1.0, 0.0)
        return CurvePoint(Point(x + ax * c + bx * s, y + ay * c + by * s), way)


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
    inner = [q * _QUARTER for q in range(math.ceil(low / _QUARTER), math.floor(high / _QUARTER) + 1)]
    stops = [low, *(q for q in inner if low < q < high), high]
    spans = [Span(at, a, b, joint=True) for a, b in zip(stops, stops[1:])]
    if ends is None and abs(sweep) >= 4.0 * _QUARTER:
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
            stored_pieces(kind, run, (here, there), origin)
            if kind
            else biarcs_along(Run(run), (here, there), _SHARE * tolerance, origin)
        )
        pieces.extend(found.segments)
        deviation = max(deviation, found.deviation)
        here = there
    return Fit(tuple(pieces), deviation)


def _runs(spans: Sequence[Span], tolerance: float) -> Iterator[tuple[str, Sequence[Span]]]:
    """The curve cut into runs: `line` and `arc` for stored ones, "" for what needs biarcs."""
    whole = kind_of_whole(spans, _SHARE * tolerance)
    if whole:
        yield whole, spans
        return
    smooth: list[Span] = []
    index = 0
    while index < len(spans):
        kind, count = longest_stored(spans, index, tolerance)
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
    return before.joint or angle_between(before.samples[-1].along, behind.samples[0].along) > TOUCH
