"""Curves by touching arcs: within the tolerance, joined to the last bit, without kinks."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.geometry.curve import Fit
from dxf2turn.geometry.fit import Ellipse, fit_ellipse, fit_spans
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Line
from dxf2turn.geometry.spline import BSpline, cubic_through, spline_spans, uniform_spline

TOLERANCE = 0.002
SMOOTH = math.radians(0.02)


def kinks(fit: Fit, closed: bool = False) -> list[float]:
    """Angles between neighbours, radians."""
    pairs = list(itertools.pairwise(fit.segments))
    if closed:
        pairs.append((fit.segments[-1], fit.segments[0]))
    angles = []
    for a, b in pairs:
        u, v = a.tangent_at(1.0), b.tangent_at(0.0)
        angles.append(abs(math.atan2(u.cross(v), u.dot(v))))
    return angles


def assert_joined(fit: Fit) -> None:
    assert all(a.end == b.start for a, b in itertools.pairwise(fit.segments))


def farthest(fit: Fit, places: Sequence[Point]) -> float:
    return max(min(segment.distance(place) for segment in fit.segments) for place in places)


@pytest.mark.parametrize("ratio", [0.05, 0.3, 0.5, 0.9, 0.999, 1.7])
@pytest.mark.parametrize("turn", [(0.0, 360.0), (20.0, 100.0), (300.0, -250.0)])
def test_ellipse_is_met_within_the_tolerance(ratio: float, turn: tuple[float, float]) -> None:
    """Dense places of an ellipse, by its own formula, lie within the tolerance of the arcs."""
    ellipse = Ellipse(Point(3, 4), Vector(16, 12), Vector(-12, 16) * ratio)

    fit = fit_ellipse(ellipse, turn, TOLERANCE)

    places = []
    for step in range(2001):
        t = math.radians(turn[0] + turn[1] * step / 2000)
        places.append(Point(3, 4) + ellipse.major * math.cos(t) + ellipse.minor * math.sin(t))
    assert farthest(fit, places) <= TOLERANCE
    assert fit.deviation <= TOLERANCE
    assert_joined(fit)
    # An ellipse that is nearly a circle is one arc a quarter or half, with kinks below what it misses.
    assert max(kinks(fit, closed=abs(turn[1]) == 360.0), default=0.0) < (1e-9 if ratio != 0.999 else 4e-3)


def test_whole_ellipse_closes_to_the_last_bit() -> None:
    """The last arc of a whole ellipse ends in the very point where the first one starts."""
    fit = fit_ellipse(Ellipse(Point(0.1, 0.2), Vector(7, 1), Vector(-0.4, 3)), (33.0, 360.0), TOLERANCE)

    assert fit.segments[-1].end == fit.segments[0].start


def test_vertices_of_an_ellipse_are_joints() -> None:
    """The outermost points of an ellipse along its axes are kept: the largest diameter of a turned part."""
    fit = fit_ellipse(Ellipse(Point(0, 0), Vector(20, 0), Vector(0, 10)), (0.0, 360.0), TOLERANCE)

    ends = [s.end for s in fit.segments]
    for vertex in (Point(20, 0), Point(0, 10), Point(-20, 0), Point(0, -10)):
        assert min(vertex.distance(end) for end in ends) < 1e-12


def test_finer_tolerance_needs_more_arcs_but_not_many() -> None:
    """The number of arcs grows with the cube root of the tolerance, as it must for biarcs."""
    ellipse = Ellipse(Point(0, 0), Vector(20, 0), Vector(0, 10))

    coarse, fine = (len(fit_ellipse(ellipse, (0.0, 360.0), t).segments) for t in (0.01, 0.01 / 64))

    assert 3.0 < fine / coarse < 5.0
    assert coarse <= 32


QUARTER = math.sqrt(0.5)
# Rounded corner: line, exact quarter circle of radius 5 (rational), line. Piegl & Tiller's standard form.
ROUNDED = BSpline(
    2,
    (Point(0, 0), Point(5, 0), Point(10, 0), Point(15, 0), Point(15, 5), Point(15, 10), Point(15, 15)),
    (0, 0, 0, 1, 1, 2, 2, 3, 3, 3),
    (1, 1, 1, QUARTER, 1, 1, 1),
)


def test_lines_and_arcs_stored_in_a_spline_are_recognised() -> None:
    """A spline that holds a line, an exact quarter circle and a line gives these three."""
    assert ROUNDED.fault() == ""

    fit = fit_spans(spline_spans(ROUNDED), TOLERANCE)

    first, arc, last = fit.segments
    assert (first.start, first.end) == (Point(0, 0), Point(10, 0))
    assert isinstance(first, Line) and isinstance(last, Line)
    assert isinstance(arc, Arc)
    assert arc.centre.distance(Point(10, 5)) < 1e-12
    assert arc.radius == pytest.approx(5.0, abs=1e-12)
    assert fit.deviation < 1e-12


def test_whole_circle_stored_as_a_spline_is_arcs() -> None:
    """The nine-point rational circle becomes arcs of its radius that close."""
    w = QUARTER
    corners = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1), (1, 0)]
    circle = BSpline(
        2,
        tuple(Point(10 * x, 10 * y) for x, y in corners),
        (0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4),
        (1, w, 1, w, 1, w, 1, w, 1),
    )

    fit = fit_spans(spline_spans(circle), TOLERANCE, ends=(Point(10, 0), Point(10, 0)))

    assert len(fit.segments) <= 4
    assert all(isinstance(s, Arc) and s.radius == pytest.approx(10.0, abs=1e-12) for s in fit.segments)
    assert fit.segments[-1].end == fit.segments[0].start
    assert math.fsum(s.sweep for s in fit.segments) == pytest.approx(2 * math.pi)


def test_arc_that_was_approximated_by_a_cubic_is_one_arc() -> None:
    """The usual cubic for an eighth of a circle misses it by some 1e-6 of the radius: read as that arc."""
    angle = math.radians(45.0)
    arm = 4.0 / 3.0 * math.tan(angle / 4.0)
    c, s = math.cos(angle), math.sin(angle)
    control = [(1, 0), (1, arm), (c + arm * s, s - arm * c), (c, s)]
    cubic = BSpline(3, tuple(Point(20 * x, 20 * y) for x, y in control), (0, 0, 0, 0, 1, 1, 1, 1))

    (arc,) = fit_spans(spline_spans(cubic), TOLERANCE).segments

    assert isinstance(arc, Arc)
    assert arc.radius == pytest.approx(20.0, abs=1e-3)


def test_cubic_through_points_of_an_arc_is_that_arc() -> None:
    """A spline drawn through points every 5 degrees of an arc is read as the arc, within the tolerance."""
    angles = [math.radians(a) for a in range(180, 271, 5)]
    spans = cubic_through([Point(5 * math.cos(a), 5 * math.sin(a)) for a in angles], closed=False)

    fit = fit_spans(spans, TOLERANCE)

    (arc,) = fit.segments
    assert isinstance(arc, Arc)
    assert arc.radius == pytest.approx(5.0, abs=1e-4)
    assert 0.0 < fit.deviation <= TOLERANCE


def test_kink_of_a_spline_stays_a_kink() -> None:
    """Where a knot is as often as the degree the curve may break; the corner is met exactly."""
    corner = BSpline(
        2, (Point(0, 0), Point(6, 5), Point(10, 0), Point(12, 8), Point(20, 9)), (0, 0, 0, 1, 1, 2, 2, 2)
    )

    fit = fit_spans(spline_spans(corner), TOLERANCE)

    assert Point(10, 0) in [s.end for s in fit.segments]
    assert sorted(kinks(fit))[-1] > 0.5
    assert sorted(kinks(fit))[-2] < SMOOTH


coordinate = st.floats(-50, 50, allow_nan=False).map(lambda x: round(x, 2))
control_points = st.lists(st.tuples(coordinate, coordinate), min_size=4, max_size=9, unique=True)


@settings(max_examples=20, deadline=None, derandomize=True)
@given(points=control_points)
def test_any_cubic_spline_is_met(points: list[tuple[float, float]]) -> None:
    """Random cubics, loops included, stay within the tolerance and join without gaps.

    The places come from another library's evaluation.
    """
    from ezdxf.math import BSpline as Oracle

    spline = uniform_spline(3, [Point(*p) for p in points], closed=False)

    fit = fit_spans(spline_spans(spline), TOLERANCE)

    places = [Point(p.x, p.y) for p in Oracle(points, order=4, knots=spline.knots).approximate(200)]
    assert_joined(fit)
    assert farthest(fit, places) <= max(TOLERANCE, fit.deviation) * 1.05


@settings(max_examples=20, deadline=None, derandomize=True)
@given(points=st.lists(st.tuples(coordinate, coordinate), min_size=3, max_size=8, unique=True))
def test_cubic_through_points_is_that_of_another_library(points: list[tuple[float, float]]) -> None:
    """The curve through fit points is the one that ezdxf finds for CAD systems."""
    from ezdxf.math import fit_points_to_cad_cv

    spans = cubic_through([Point(*p) for p in points], closed=False)
    oracle = fit_points_to_cad_cv(points)

    total = spans[-1].last
    for span in spans:
        t = 0.5 * (span.first + span.last)
        expected = oracle.point(t / total)
        assert span.at(t).point.distance(Point(expected.x, expected.y)) < 1e-6


def test_directions_at_the_ends_are_kept() -> None:
    """A cubic with given end directions leaves and arrives in these."""
    spans = cubic_through([Point(0, 0), Point(5, 3), Point(9, 0)], False, (Vector(0, 2), Vector(1, 0)))

    assert spans[0].at(spans[0].first).along == Vector(0.0, 1.0)
    assert spans[-1].at(spans[-1].last).along.cross(Vector(1, 0)) == pytest.approx(0.0, abs=1e-12)


def test_closed_cubic_has_no_kink_where_it_closes() -> None:
    """A closed curve through points is as smooth at its first point as everywhere."""
    spans = cubic_through([Point(0, 0), Point(10, 0), Point(12, 7), Point(3, 9)], closed=True)

    start, end = spans[0].at(spans[0].first), spans[-1].at(spans[-1].last)
    assert end.point.distance(start.point) < 1e-12
    assert abs(start.along.cross(end.along)) < 1e-8


@pytest.mark.parametrize(
    ("spline", "word"),
    [
        (BSpline(3, (Point(0, 0), Point(1, 1)), (0, 0, 1, 1)), "too few"),
        (BSpline(1, (Point(0, 0), Point(1, 1)), (0, 0, 1)), "knots do not fit"),
        (BSpline(1, (Point(0, 0), Point(1, 1)), (0, 1, 0, 1)), "knots fall"),
        (BSpline(1, (Point(0, 0), Point(1, 1)), (1, 1, 1, 1)), "all knots are equal"),
        (BSpline(1, (Point(0, 0), Point(1, 1)), (0, 0, 1, 1), (1, 0)), "weights"),
    ],
)
def test_wrong_spline_data_are_named(spline: BSpline, word: str) -> None:
    """Each fault of a spline's data has its own words."""
    assert word in spline.fault()


def test_cusp_ends_the_search() -> None:
    """A curve that turns on the spot is still drawn, in bounded time, and its distance is told."""
    cusp = BSpline(3, (Point(0, 0), Point(10, 10), Point(0, 10), Point(10, 0)), (0, 0, 0, 0, 1, 1, 1, 1))

    fit = fit_spans(spline_spans(cusp), TOLERANCE)

    assert_joined(fit)
    assert len(fit.segments) < 500
