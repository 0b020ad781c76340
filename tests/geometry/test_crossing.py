"""Crossings in closed form: worked triangles, shapely's intersections, and points that must lie on both."""

from __future__ import annotations

import math
import random

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.geometry.crossing import crossings, overlap, with_ends
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.region import flatten_segment
from dxf2turn.geometry.segment import Arc, Line, arc_through, circle_arcs

SAME = 1e-6
UPPER, LOWER = circle_arcs(Point(0.0, 0.0), 5.0)


def test_two_lines_cross_in_one_point():
    """The diagonals of a rectangle meet in its middle."""
    a, b = Line(Point(0, 0), Point(8, 6)), Line(Point(0, 6), Point(8, 0))
    assert crossings(a, b, SAME) == (Point(4.0, 3.0),)


def test_lines_that_end_before_they_meet_do_not_cross():
    """Only the pieces count, not the endless lines."""
    assert crossings(Line(Point(0, 0), Point(1, 0)), Line(Point(2, -1), Point(2, 1)), SAME) == ()


def test_a_line_cuts_a_circle_at_the_3_4_5_triangle():
    """At height 3 a circle of radius 5 is 4 to each side (Pythagoras)."""
    points = crossings(Line(Point(-9, 3), Point(9, 3)), UPPER, SAME)
    assert sorted(points) == [pytest.approx((-4.0, 3.0)), pytest.approx((4.0, 3.0))]


def test_a_tangent_is_one_point_never_two():
    """A line that misses or cuts a circle by less than the tolerance touches it once."""
    for off in (-1e-7, 0.0, 1e-7):
        points = crossings(Line(Point(-9, 5 + off), Point(9, 5 + off)), UPPER, SAME)
        assert len(points) == 1
        assert points[0].distance(Point(0, 5)) <= SAME


def test_two_circles_cross_at_the_3_4_5_triangle():
    """Circles of radius 5 with centres 8 apart meet 3 above the middle."""
    other, _ = circle_arcs(Point(8.0, 0.0), 5.0)
    assert crossings(UPPER, other, SAME) == (pytest.approx((4.0, 3.0)),)


@pytest.mark.parametrize("centre", [Point(8.0, 0.0), Point(2.0, 0.0)])
def test_circles_that_touch_meet_once(centre):
    """From outside and from inside: one point where the radii add up or differ by the distance."""
    points = {
        p for arc in circle_arcs(centre, 3.0) for own in (UPPER, LOWER) for p in crossings(own, arc, SAME)
    }
    assert points
    assert all(p.distance(Point(5.0, 0.0)) <= SAME for p in points)


def test_concentric_circles_never_cross():
    """Equal centres give no crossing, whether the radii are equal or not."""
    assert crossings(UPPER, circle_arcs(Point(0, 0), 4.0)[0], SAME) == ()
    assert crossings(UPPER, UPPER, SAME) == ()


def test_overlap_of_collinear_lines_is_the_common_stretch():
    """A line from 0 to 10 and one from 8 to 20 share the last fifth of the first."""
    a = Line(Point(0, 0), Point(10, 0))
    assert overlap(a, Line(Point(20, 0), Point(8, 0)), 0.01) == (pytest.approx((0.8, 1.0)),)
    assert overlap(a, Line(Point(10, 0), Point(20, 0)), 0.01) == ()
    assert overlap(a, Line(Point(0, 0.02), Point(10, 0.02)), 0.01) == ()


def test_overlap_of_arcs_may_come_twice():
    """Two arcs of three quarters each, half a turn apart, share two separate quarters."""
    a = Arc(Point(5, 0), Point(0, -5), Point(0, 0), False)
    b = Arc(Point(-5, 0), Point(0, 5), Point(0, 0), False)
    assert overlap(a, b, 0.01) == (pytest.approx((0.0, 1 / 3)), pytest.approx((2 / 3, 1.0)))


def test_moved_ends_keep_an_arc_an_arc():
    """After moving its ends a little, an arc's centre is equally far from both."""
    moved = with_ends(UPPER, Point(5.003, 0.001), Point(-5.0, -0.002))
    assert isinstance(moved, Arc)
    assert moved.start.distance(moved.centre) == pytest.approx(moved.end.distance(moved.centre), abs=1e-12)
    assert moved.centre.distance(UPPER.centre) < 0.005


def _segment(rng: random.Random) -> Line | Arc:
    start = Point(rng.uniform(-10, 10), rng.uniform(-10, 10))
    end = start + Vector.from_angle(rng.uniform(0, math.tau), rng.uniform(1, 15))
    return arc_through(start, end, rng.choice((0.0, rng.uniform(-2.0, 2.0))))


@settings(derandomize=True, max_examples=150, deadline=None)
@given(st.integers(0, 10**6))
def test_crossings_agree_with_shapely(seed):
    """As many crossings as shapely finds between fine polylines of the pieces, at the same places."""
    rng = random.Random(seed)
    a, b = _segment(rng), _segment(rng)
    lines = [shapely.LineString(flatten_segment(piece, 1e-5)) for piece in (a, b)]
    found = shapely.get_parts(shapely.intersection(*lines))
    points = crossings(a, b, SAME)
    assert all(a.distance(p) <= SAME and b.distance(p) <= SAME for p in points)
    for p in points:
        assert shapely.distance(shapely.Point(p.x, p.y), lines[0]) < 2e-5
    for mark in found:
        if mark.is_empty:
            continue
        place = Point(mark.centroid.x, mark.centroid.y)
        near = min((p.distance(place) for p in points), default=math.inf)
        assert near < 0.02 or _is_near_tangent(a, b, place)


def _is_near_tangent(a, b, place: Point) -> bool:
    """Chords may cut where the true curves just miss each other."""
    sines = abs(a.tangent_at(a.parameter_of(place)).cross(b.tangent_at(b.parameter_of(place))))
    ends = min(place.distance(end) for end in (a.start, a.end, b.start, b.end))
    return sines < 0.05 or ends < 1e-3
