"""The tool space against hand-made geometry and against shapely (an independent general-purpose library)."""

from __future__ import annotations

import math
import random

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import flatten, minkowski_sum, polygon
from dxf2turn.geometry.segment import Arc, Line
from dxf2turn.planning.tool_space.space import covered, tool_space, unreached
from tests.planning.cutting import bar, closed, insert, work_on
from tests.random_parts import random_profile

CLOSE = 1e-9
TOOLS = (insert(80, 95, 0.8), insert(55, 93, 0.4), insert(35, 93, 0.4), insert(80, 95, 0.8, "left"))
STEP = closed((0, 0), (0, 10), (-30, 10), (-30, 20), (-50, 20), (-50, 0))


def outside_pieces(space):
    """The pieces of the space's edge on which the nose touches the part."""
    return [c for ring in space.edges for c in ring if c.source is not None and not c.edge]


def test_straight_sides_are_moved_out_by_the_tip():
    """Beside cylinders and shoulders the imaginary tip runs on the drawn line itself."""
    space = tool_space(work_on(STEP, shapely.box(-60, 0, 0, 22)), TOOLS[0])
    runs = [c.path for c in outside_pieces(space) if isinstance(c.path, Line) and c.path.length > 5.0]
    levels = {round(p.start.y, 9) for p in runs if abs(p.start.y - p.end.y) < CLOSE}
    planes = {round(p.start.x, 9) for p in runs if abs(p.start.x - p.end.x) < CLOSE}
    assert {10.0, 20.0} <= levels
    assert {0.0, -30.0} <= planes


def test_arcs_are_concentric_and_offset_by_the_nose():
    """A ball of radius 10 gives an arc of 10.8, a hollow of radius 3 one of 2.2, about moved centres."""
    target = (
        Line(Point(-40, 0), Point(0, 0)),
        Arc(Point(0, 0), Point(-10, 10), Point(-10, 0), False),
        Line(Point(-10, 10), Point(-20, 10)),
        Arc(Point(-20, 10), Point(-23, 13), Point(-20, 13), True),
        Line(Point(-23, 13), Point(-40, 13)),
        Line(Point(-40, 13), Point(-40, 0)),
    )
    space = tool_space(work_on(target, shapely.box(-50, 0, 0, 15)), TOOLS[0])
    arcs = [c.path for c in outside_pieces(space) if isinstance(c.path, Arc)]
    found = {(round(a.centre.x, 6), round(a.centre.y, 6)): a.radius for a in arcs if a.radius > 1.0}
    # The controlled point is the tip: the nose centre (0.8, 0.8) away from it.
    assert found[(-10.8, -0.8)] == pytest.approx(10.8, abs=CLOSE)
    assert found[(-20.8, 12.2)] == pytest.approx(2.2, abs=CLOSE)


def test_corner_fillet_is_all_that_is_left():
    """In a sharp inside corner the nose leaves (1 - pi/4) of its radius squared, and nothing else."""
    work = work_on(STEP, shapely.box(-50, 0, 0, 22))
    left = unreached(tool_space(work, TOOLS[0]), work.stock)
    corner = shapely.intersection(left, shapely.box(-31, 9, -25, 12))
    assert corner.area == pytest.approx((1.0 - math.pi / 4.0) * 0.8**2, rel=0.02)
    assert shapely.difference(left, shapely.box(-31, 9, -25, 12)).area < 1e-3


@pytest.mark.parametrize(("tool", "slope"), [(TOOLS[0], 5.0), (TOOLS[1], 32.0), (TOOLS[2], 52.0)])
def test_falling_side_is_limited_by_the_trailing_edge(tool, slope):
    """Behind a collar the tool comes down at 180 - kappa - epsilon, however short its insert is."""
    target = closed((0, 0), (0, 20), (-10, 20), (-10, 12), (-150, 12), (-150, 0))
    space = tool_space(work_on(target, shapely.box(-150, 0, 0, 22)), tool)
    edges = [c.path for ring in space.edges for c in ring if c.edge and c.corner != (0.0, 0.0)]
    down = [e for e in edges if e.start.y > e.end.y + 1.0 and -140 < e.end.x < -10]
    assert len(down) == 1
    fall = down[0].start - down[0].end
    assert math.degrees(fall.angle) == pytest.approx(slope, abs=1e-6)
    assert down[0].end.y == pytest.approx(12.0, abs=0.5)


def test_bar_enters_only_a_bore_that_is_wide_enough():
    """A bar of 10 mm gets to the floor of a bore of 14 mm and not into one of 9 mm."""
    for diameter, reached in ((14.0, True), (9.0, False)):
        r = 0.5 * diameter
        target = closed((-40, 0), (-30, 0), (-30, r), (0, r), (0, 20), (-40, 20))
        space = tool_space(work_on(target, shapely.box(-40, 0, 0, 20)), bar(10.0, 40.0))
        assert shapely.contains_xy(space.free, -20.0, r - 0.5) == reached


def test_stock_behind_a_plane_is_kept_clear_of():
    """With `behind` the tool stays out of the stock there; without it only the part counts."""
    work = work_on(STEP, shapely.box(-80, 0, 0, 22))
    at = Point(-60.0, 21.0)
    assert shapely.contains_xy(tool_space(work, TOOLS[0]).free, *at)
    assert not shapely.contains_xy(tool_space(work, TOOLS[0], behind=-52.0).free, *at)


def test_allowance_keeps_its_distance_on_both_axes():
    """An allowance of 0.3 on the radius and 0.1 along z moves cylinders and faces by just that."""
    space = tool_space(work_on(STEP, shapely.box(-60, 0, 0, 22)), TOOLS[0], (0.3, 0.1))
    lines = [c.path for c in outside_pieces(space) if isinstance(c.path, Line)]
    assert {10.3, 20.3} <= {round(p.start.y, 9) for p in lines if abs(p.start.y - p.end.y) < CLOSE}
    assert {0.1, -29.9} <= {round(p.start.x, 9) for p in lines if abs(p.start.x - p.end.x) < CLOSE}


@settings(max_examples=15, deadline=None, derandomize=True)
@given(seed=st.integers(0, 10_000), index=st.integers(0, 3))
def test_edge_is_the_edge_of_the_sum(seed, index):
    """The exact edge is closed and lies on the edge of shapely's sum of part and mirrored tool."""
    tool, profile = TOOLS[index], random_profile(random.Random(seed))
    box = profile.bounds
    work = work_on(profile.segments, shapely.box(box.min_x, 0, 2, box.max_y + 2))
    space = tool_space(work, tool)
    cut = Polygon(tool.outline).buffer(0.0)
    pieces = [
        [(-x, -y) for x, y in shape.exterior.coords[:-1]] for shape in (cut, *map(Polygon, tool.holder))
    ]
    half = polygon(profile.segments, 0.0002)
    whole = half.union(shapely.transform(half, lambda points: points * (1.0, -1.0)))
    solid = shapely.union_all([minkowski_sum(whole, piece) for piece in pieces])
    for ring in space.edges:
        assert all(a.path.end.distance(b.path.start) < 1e-6 for a, b in zip(ring, (*ring[1:], ring[0])))
        touching = [c.path for c in ring if not c.edge]
        points = [p for path in touching for p in flatten([path], 0.001)]
        assert max(shapely.distance(shapely.points(points), solid.boundary)) < 0.004
        assert not any(shapely.contains_xy(solid.buffer(-0.004), *p) for p in points)


@settings(max_examples=8, deadline=None, derandomize=True)
@given(seed=st.integers(0, 10_000))
def test_cleared_and_unreached_make_up_the_stock(seed):
    """Part, what the tool covers and what it does not reach cover the stock without a gap."""
    profile = random_profile(random.Random(seed), hole="solid")
    box = profile.bounds
    work = work_on(profile.segments, shapely.box(box.min_x, 0, 2, box.max_y + 2))
    space = tool_space(work, TOOLS[1])
    rest = shapely.difference(work.stock, shapely.union_all([covered(space), space.body]))
    missed = shapely.difference(rest, shapely.buffer(unreached(space, work.stock), 0.001))
    assert shapely.buffer(missed, -0.0105).is_empty
    assert shapely.intersection(covered(space), work.part).buffer(-0.002).is_empty
