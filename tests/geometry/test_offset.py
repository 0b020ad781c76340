"""The exact curves of a tool that touches a profile, on shapes worked out by hand."""

from __future__ import annotations

import math

import pytest

from dxf2turn.geometry.offset import contacts, feeler, normal
from dxf2turn.geometry.path import is_connected
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, circle_arcs

CLOSE = 1e-12
SQUARE = tuple(
    Line(Point(*a), Point(*b))
    for a, b in (((0, 0), (4, 0)), ((4, 0), (4, 4)), ((4, 4), (0, 4)), ((0, 4), (0, 0)))
)
DIAMOND = (Point(0, -1), Point(1, 0), Point(0, 1), Point(-1, 0))


def test_disc_about_a_square_gives_four_lines_and_four_quarters():
    """A disc of 0.5 rolled about a square: sides moved out by 0.5, corners as quarter circles, joined."""
    found = [contact.path for contact in contacts(SQUARE, feeler((Point(0, 0),), 0.5))]
    lines = [p for p in found if isinstance(p, Line)]
    arcs = [p for p in found if isinstance(p, Arc)]
    assert [line.length for line in lines] == [4.0] * 4 and lines[0].start == Point(0, -0.5)
    assert {(a.centre, round(a.sweep, 12)) for a in arcs} == {
        (segment.end, round(math.pi / 2, 12)) for segment in SQUARE
    }
    assert is_connected(found, CLOSE) and found[-1].end.distance(found[0].start) < CLOSE


def test_pointed_tool_about_a_square_slides_along_its_own_edges():
    """A diamond without radius touches the sides with its points and the corners with its edges."""
    found = list(contacts(SQUARE, feeler(DIAMOND, 0.0)))
    assert [c.edge for c in found] == [False, True] * 4
    assert found[0].path == Line(Point(0, -1), Point(4, -1))
    assert found[1].path == Line(Point(4, -1), Point(5, 0))
    assert all(c.source is None for c in found if c.edge)


def test_side_of_the_tool_flat_on_the_work_makes_the_contact_longer():
    """A tool with a level side of 2 mm under a level surface of 4 mm touches it over 6 mm."""
    box = (Point(-1, 0), Point(1, 0), Point(1, 3), Point(-1, 3))
    top = next(c for c in contacts(SQUARE, feeler(box, 0.0)) if c.source == 2)
    assert top.path == Line(Point(5, 4), Point(-1, 4))


def test_convex_arc_is_broken_by_an_edge_of_the_tool():
    """About a circle the diamond gives arcs of the grown radius between straight stretches at 45 degrees."""
    circle = circle_arcs(Point(0, 0), 3.0)
    found = [c for c in contacts(circle, feeler(DIAMOND, 0.25))]
    arcs = [c.path for c in found if isinstance(c.path, Arc)]
    lines = [c.path for c in found if isinstance(c.path, Line)]
    assert {round(a.radius, 12) for a in arcs} == {3.25}
    assert sum(a.sweep for a in arcs) == pytest.approx(2 * math.pi)
    assert [line.length for line in lines] == pytest.approx([math.sqrt(2)] * 4)


def test_hollow_arc_shrinks_by_the_radius():
    """In a hollow of radius 3 a disc of 0.8 runs on 2.2, one of 3 or more does not run at all."""
    hollow = (Arc(Point(-3, 0), Point(3, 0), Point(0, 0), True),)  # the body lies outside of the circle
    (one,) = (c for c in contacts(hollow, feeler((Point(0, 0),), 0.8)) if c.source == 0)
    assert isinstance(one.path, Arc) and one.path.radius == pytest.approx(2.2, abs=CLOSE)
    assert one.path.clockwise
    assert not [c for c in contacts(hollow, feeler((Point(0, 0),), 3.0)) if c.source == 0]


def test_contact_point_is_told_by_the_corner():
    """Controlled point plus corner is the centre of the radius; one radius further lies the surface."""
    core = (Point(0.8, 0.8), Point(6, 1.2), Point(6.4, 6.4), Point(1.2, 6))
    for contact in contacts(SQUARE, feeler(core, 0.8)):
        if contact.source is None or contact.edge:
            continue
        side = SQUARE[contact.source]
        middle = contact.path.point_at(0.5) + contact.corner
        touch = middle + contact.path.tangent_at(0.5).left * 0.8
        assert side.distance(touch) < CLOSE


def test_normal_points_out_of_the_body():
    """On a counter-clockwise profile the outward direction is to the right of the travel."""
    assert normal(SQUARE[0], 0.5) == pytest.approx(-math.pi / 2)
    assert normal(circle_arcs(Point(0, 0), 1.0)[0], 0.5) == pytest.approx(math.pi / 2)
