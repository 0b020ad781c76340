"""Splines as spans for `fit.fit_spans`: rational B-splines, and cubics through given points."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import NamedTuple

from dxf2turn.geometry.curve import CurvePoint, Span
from dxf2turn.geometry.point import Point, Vector

_SAME_KNOT = 1e-12  # of the whole range: knots closer than this are one
_STANDSTILL = 1e-9  # of the control polygon's size: a derivative below it gives no direction
_WEIGHTIEST = 1e9  # largest ratio of two weights
_NUDGE = 1e-4  # of a span: how far inside it a direction is taken where the curve stands still
_WRAPPED = 20  # points repeated on either side of a closed curve; the ends' influence falls to 1e-11

_Homogeneous = tuple[float, float, float]  # (w x, w y, w)


@dataclass(frozen=True, slots=True)
class BSpline:
    """A B-spline of any degree, rational where the weights differ.

    knots: len(control) + degree + 1 values that never fall. The curve runs from knots[degree] to
    knots[len(control)].
    """

    degree: int
    control: tuple[Point, ...]
    knots: tuple[float, ...]
    weights: tuple[float, ...] = ()

    def fault(self) -> str:
        """What is wrong with the data, "" for nothing."""
        count, degree = len(self.control), self.degree
        if degree < 1 or count <= degree:
            return f"{count} control points are too few for degree {degree}"
        if len(self.knots) != count + degree + 1:
            return f"{len(self.knots)} knots do not fit {count} control points of degree {degree}"
        if any(b < a for a, b in zip(self.knots, self.knots[1:])):
            return "the knots fall"
        if self.knots[degree] >= self.knots[count]:
            return "all knots are equal"
        if self.weights and (len(self.weights) != count or min(self.weights) <= 0.0):
            return "the weights are not one positive number for each control point"
        if self.weights and max(self.weights) > _WEIGHTIEST * min(self.weights):
            return "the weights differ beyond all bounds"
        return ""


def uniform_spline(degree: int, control: Sequence[Point], closed: bool) -> BSpline:
    """A spline with evenly spaced knots; an open one starts and ends at its outer control points."""
    if closed:
        control = [*control, *control[:degree]]
        return BSpline(degree, tuple(control), tuple(map(float, range(len(control) + degree + 1))))
    inner = len(control) - degree
    knots = [0.0] * degree + [float(i) for i in range(inner + 1)] + [float(inner)] * degree
    return BSpline(degree, tuple(control), tuple(knots))


def spline_spans(spline: BSpline) -> tuple[Span, ...]:
    """The stretches between distinct knots. The spline must be without fault."""
    degree, knots = spline.degree, spline.knots
    weights = spline.weights or (1.0,) * len(spline.control)
    homogeneous = [(w * p.x, w * p.y, w) for p, w in zip(spline.control, weights)]
    least = _SAME_KNOT * (knots[len(spline.control)] - knots[degree])
    size = max(p.distance(spline.control[0]) for p in spline.control)
    return tuple(
        Span(_evaluator(spline, homogeneous, k, size), knots[k], knots[k + 1])
        for k in range(degree, len(spline.control))
        if knots[k + 1] - knots[k] > least
    )


def _evaluator(
    spline: BSpline, homogeneous: Sequence[_Homogeneous], k: int, size: float
) -> Callable[[float], CurvePoint]:
    """Point and direction on the span between knots k and k + 1.

    Source: de Boor's algorithm; the two points before the last step give the derivative.
    """
    degree, knots = spline.degree, spline.knots
    local = homogeneous[k - degree : k + 1]
    first, length = knots[k], knots[k + 1] - knots[k]

    def raw(t: float) -> tuple[Point, Vector]:
        points = list(local)
        for level in range(1, degree):
            for j in range(degree, level - 1, -1):
                low, high = knots[k - degree + j], knots[k + 1 + j - level]
                share = (t - low) / (high - low)
                (ax, ay, aw), (bx, by, bw) = points[j - 1], points[j]
                points[j] = (ax + (bx - ax) * share, ay + (by - ay) * share, aw + (bw - aw) * share)
        (ax, ay, aw), (bx, by, bw) = points[degree - 1], points[degree]
        share, rate = (t - first) / length, degree / length
        x, y, w = ax + (bx - ax) * share, ay + (by - ay) * share, aw + (bw - aw) * share
        point = Point(x / w, y / w)
        dw = (bw - aw) * rate
        return point, Vector(((bx - ax) * rate - dw * point.x) / w, ((by - ay) * rate - dw * point.y) / w)

    def at(t: float) -> CurvePoint:
        point, rate = raw(t)
        if rate.length * length > _STANDSTILL * size:
            return CurvePoint(point, rate.unit() or Vector(1.0, 0.0))
        inside = raw(t + _NUDGE * length if t < first + 0.5 * length else t - _NUDGE * length)[0]
        way = inside - point if t < first + 0.5 * length else point - inside
        return CurvePoint(point, way.unit() or Vector(1.0, 0.0))

    return at


def cubic_through(
    points: Sequence[Point], closed: bool, ends: tuple[Vector | None, Vector | None] = (None, None)
) -> tuple[Span, ...]:
    """The cubic with continuous curvature through points, parameter = sum of the chords.

    ends: directions at the ends; None = no curvature there. This is how the CAD systems draw a spline that
    is given by fit points (common practice; checked in the tests against another library).
    Points that repeat the one before must be taken out; at least two are needed.
    """
    if closed:
        ring = [points[i % len(points)] for i in range(-_WRAPPED, len(points) + _WRAPPED + 1)]
        return _cubic_spans(ring, (None, None))[_WRAPPED : _WRAPPED + len(points)]
    return _cubic_spans(points, ends)


def _cubic_spans(
    points: Sequence[Point], directions: tuple[Vector | None, Vector | None]
) -> tuple[Span, ...]:
    chords = [a.distance(b) for a, b in zip(points, points[1:])]
    rows = [_end_row(directions[0], points[0], points[1])]
    rows.extend(_inner_row(*three) for three in zip(points, points[1:], points[2:]))
    rows.append(_end_row(directions[1], points[-2], points[-1]))
    rates = _solved(rows)
    stops = list(accumulate(chords, initial=0.0))
    pairs = zip(zip(points, points[1:]), zip(rates, rates[1:]), zip(stops, stops[1:]))
    return tuple(Span(_hermite(*ends, *slopes, *run), *run) for ends, slopes, run in pairs)


class _Row(NamedTuple):
    """lower * rate before + middle * rate here + upper * rate behind = right.

    The rates are the derivatives at the points; the rows say that the second derivative has no jump, and
    is zero at an end without given direction.
    """

    lower: float
    middle: float
    upper: float
    right: Vector


def _end_row(direction: Vector | None, a: Point, b: Point) -> _Row:
    if direction is not None:
        return _Row(0.0, 1.0, 0.0, direction.unit() or Vector(1.0, 0.0))
    return _Row(1.0, 2.0, 1.0, (b - a) * (3.0 / a.distance(b)))


def _inner_row(a: Point, b: Point, c: Point) -> _Row:
    before, behind = a.distance(b), b.distance(c)
    right = (b - a) * (3.0 * behind / before) + (c - b) * (3.0 * before / behind)
    return _Row(behind, 2.0 * (before + behind), before, right)


def _solved(rows: Sequence[_Row]) -> list[Vector]:
    """Solution of the tridiagonal system (elimination without pivoting: the middle outweighs the rest)."""
    diagonal, sides = [rows[0].middle], [rows[0].right]
    for above, row in zip(rows, rows[1:]):
        factor = row.lower / diagonal[-1]
        diagonal.append(row.middle - factor * above.upper)
        sides.append(row.right - sides[-1] * factor)
    found = [sides[-1] * (1.0 / diagonal[-1])]
    for row, middle, side in zip(rows[-2::-1], diagonal[-2::-1], sides[-2::-1]):
        found.append((side - found[-1] * row.upper) * (1.0 / middle))
    return found[::-1]


def _hermite(
    a: Point, b: Point, at_a: Vector, at_b: Vector, first: float, last: float
) -> Callable[[float], CurvePoint]:
    """The cubic from `a` to `b` with given derivatives, for parameters from `first` to `last`."""
    chord, length = b - a, last - first
    c1 = at_a * length
    c2 = chord * 3.0 - (at_a * 2.0 + at_b) * length
    c3 = (at_a + at_b) * length - chord * 2.0

    def at(t: float) -> CurvePoint:
        u = (t - first) / length
        rate = c1 + c2 * (2.0 * u) + c3 * (3.0 * u * u)
        point = b if t == last else a + (c1 + (c2 + c3 * u) * u) * u
        return CurvePoint(point, rate.unit() or chord.unit() or Vector(1.0, 0.0))

    return at
