"""Splines as spans for `fit.fit_spans`: rational B-splines, and cubics through given points."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from dxf2turn.geometry.fit import CurvePoint, Span
from dxf2turn.geometry.point import Point, Vector

_SAME_KNOT = 1e-12  # of the whole range: knots closer than this are one
_STANDSTILL = 1e-9  # of the control polygon's size: a derivative below it gives no direction
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
        count = min(_WRAPPED, len(points))
        ring = [points[i % len(points)] for i in range(-count, len(points) + count + 1)]
        spans = _cubic_spans(ring, (None, None))
        return spans[count : count + len(points)]
    return _cubic_spans(points, ends)


def _cubic_spans(points: Sequence[Point], ends: tuple[Vector | None, Vector | None]) -> tuple[Span, ...]:
    chords = [a.distance(b) for a, b in zip(points, points[1:])]
    rates = _rates(points, chords, ends)
    stops = [0.0]
    for chord in chords:
        stops.append(stops[-1] + chord)
    return tuple(
        Span(_hermite(points[i], points[i + 1], rates[i], rates[i + 1], stops[i], chords[i]), stops[i], stops[i + 1])
        for i in range(len(chords))
    )  # fmt: skip


def _rates(
    points: Sequence[Point], chords: Sequence[float], ends: tuple[Vector | None, Vector | None]
) -> list[Vector]:
    """Derivatives at the points such that the second derivative has no jump (tridiagonal system)."""
    last = len(points) - 1
    lower, middle, upper, right = [0.0] * (last + 1), [1.0] * (last + 1), [0.0] * (last + 1), []
    for i, point in enumerate(points):
        if i in (0, last):
            given, step = (
                (ends[0], points[1] - points[0]) if i == 0 else (ends[1], points[last] - points[last - 1])
            )
            if given is not None:
                right.append(given.unit() or Vector(1.0, 0.0))
                continue
            middle[i], right_side = 2.0, step * (3.0 / chords[0 if i == 0 else last - 1])
            (upper if i == 0 else lower)[i] = 1.0
            right.append(right_side)
            continue
        before, behind = chords[i - 1], chords[i]
        lower[i], middle[i], upper[i] = behind, 2.0 * (before + behind), before
        right.append(
            (point - points[i - 1]) * (3.0 * behind / before)
            + (points[i + 1] - point) * (3.0 * before / behind)
        )
    return _solved(lower, middle, upper, right)


def _solved(
    lower: Sequence[float], middle: Sequence[float], upper: Sequence[float], right: Sequence[Vector]
) -> list[Vector]:
    """Solution of a tridiagonal system with vectors on the right (elimination without pivoting: the
    system is diagonally dominant)."""
    diagonal, sides = [middle[0]], [right[0]]
    for i in range(1, len(middle)):
        factor = lower[i] / diagonal[-1]
        diagonal.append(middle[i] - factor * upper[i - 1])
        sides.append(right[i] - sides[-1] * factor)
    found = [sides[-1] * (1.0 / diagonal[-1])]
    for i in range(len(middle) - 2, -1, -1):
        found.append((sides[i] - found[-1] * upper[i]) * (1.0 / diagonal[i]))
    return found[::-1]


def _hermite(
    a: Point, b: Point, from_a: Vector, to_b: Vector, first: float, length: float
) -> Callable[[float], CurvePoint]:
    """The cubic from `a` to `b` with given derivatives."""
    chord = b - a
    c1 = from_a * length
    c2 = chord * 3.0 - (from_a * 2.0 + to_b) * length
    c3 = (from_a + to_b) * length - chord * 2.0

    def at(t: float) -> CurvePoint:
        u = (t - first) / length
        rate = c1 + c2 * (2.0 * u) + c3 * (3.0 * u * u)
        point = b if u == 1.0 else a + (c1 + (c2 + c3 * u) * u) * u
        return CurvePoint(point, rate.unit() or chord.unit() or Vector(1.0, 0.0))

    return at
