"""Targets: grooves bridged, the back prepared for parting, parts turned end for end."""

from __future__ import annotations

import math
import random

import pytest
from shapely import Polygon

from dxf2turn.geometry.path import is_closed, signed_area
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import polygon
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.planning.bench import Cell
from dxf2turn.planning.bridging import bridged
from dxf2turn.planning.holding.setups import from_bar
from dxf2turn.planning.placed import placed
from dxf2turn.planning.stock import Stock
from dxf2turn.planning.targets import outside_target, split_place
from dxf2turn.planning.tools import parting_tool
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import BUSH, STEPPED, part_of, solid
from tests.random_parts import random_profile

SHOP = load_shop(None)
BLADE = parting_tool(SHOP, 20.0)
CELL = Cell(SHOP, SHOP.machine(), SHOP.material())


def run(*corners: tuple[float, float]) -> tuple[Segment, ...]:
    points = [Point(*corner) for corner in corners]
    return tuple(Line(a, b) for a, b in zip(points, points[1:]))


def corners(path) -> list[tuple[float, float]]:
    return [(round(s.start.x, 6), round(s.start.y, 6)) for s in path] + [tuple(path[-1].end)]


def test_a_groove_in_a_cylinder_is_closed_by_one_line() -> None:
    """Both mouth edges are level: the line between them takes the groove's place."""
    path = run((0, 10), (-5, 10), (-5, 8), (-8, 8), (-8, 10), (-20, 10))
    assert corners(bridged(path, [path[1:4]])) == [(0, 10), (-5, 10), (-8, 10), (-20, 10)]


def test_a_relief_at_a_shoulder_is_closed_at_the_lower_height() -> None:
    """The floor ends in the shoulder: a level line runs to it, and the rest of the shoulder stays."""
    path = run((0, 10), (-5, 10), (-5, 8), (-8, 8), (-8, 15), (-20, 15))
    expected = [(0, 10), (-5, 10), (-8, 10), (-8, 15), (-20, 15)]
    assert corners(bridged(path, [path[1:3]])) == expected
    assert corners(bridged(path, [path[1:4]])) == expected


def test_a_relief_that_ends_above_its_corner_radius_is_closed_level_too() -> None:
    """Its lower edge lies in the shoulder, where the corner radius ends: that is no mouth edge."""
    path = run((0, 10), (-5, 10), (-5, 8), (-7.6, 8), (-8, 8.4), (-8, 15), (-20, 15))
    expected = [(0, 10), (-5, 10), (-8, 10), (-8, 15), (-20, 15)]
    assert corners(bridged(path, [path[1:4]])) == expected
    mirrored = tuple(Line(Point(-s.end.x, s.end.y), Point(-s.start.x, s.start.y)) for s in reversed(path))
    assert corners(bridged(mirrored, [mirrored[2:5]])) == [(-z, r) for z, r in reversed(expected)]


def test_a_relief_in_front_of_a_step_down_is_closed_from_behind() -> None:
    """Mirrored: the shoulder stands at the front of the groove."""
    path = run((0, 15), (-5, 15), (-5, 8), (-8, 8), (-8, 10), (-20, 10))
    assert corners(bridged(path, [path[2:4]])) == [(0, 15), (-5, 15), (-5, 10), (-8, 10), (-20, 10)]


def test_a_round_at_the_mouth_is_not_cut_off() -> None:
    """A mouth edge with a radius that still rises belongs to the surface before the groove."""
    arc = Arc(Point(-4.0, 9.9), Point(-5.0, 9.0), Point(-4.2, 9.0 - 0.0), False)
    centre = Point(-4.0, 9.0)
    arc = Arc(Point(-4.0 + 0.6, 9.8), Point(-5.0, 9.0), centre, False)
    path = (Line(Point(0, 9.2), arc.start), arc, *run((-5, 9), (-5, 7), (-8, 7), (-8, 10), (-20, 10)))
    result = bridged(path, [path[1:5]])
    shape = Polygon([*[tuple(s.start) for s in result], tuple(result[-1].end), (-20, 0), (0, 0)])
    assert shape.bounds[3] >= 10.0 - 1e-9
    assert any(isinstance(s, Arc) and abs(s.bounds.max_y - 10.0) < 1e-6 for s in result)


@pytest.mark.parametrize("seed", range(12))
def test_turning_over_twice_gives_the_part_back(seed: int) -> None:
    """Mirroring keeps closed profiles counter-clockwise, and each feature on its own pieces."""
    part = part_of(random_profile(random.Random(seed)))
    here = placed(part, flipped=True)
    assert is_closed(here.segments, 1e-9)
    assert signed_area(here.segments) == pytest.approx(signed_area(part.target.segments))
    for feature, turned in zip(part.features, here.features):
        assert turned.z_front - turned.z_back == pytest.approx(feature.z_front - feature.z_back)
        old = sorted(part.target.segments[i].length for i in feature.segments)
        assert sorted(here.segments[i].length for i in turned.segments) == pytest.approx(old)


@pytest.mark.parametrize("seed", range(12))
def test_the_turning_target_holds_the_whole_part(seed: int) -> None:
    """Whatever is bridged or added, no piece of the part in front of the parting cut lies outside of it."""
    part = placed(part_of(random_profile(random.Random(seed))), flipped=False)
    stock = Stock(diameter=2.0 * part.max_radius + 2.0)
    clamping = from_bar(part, stock, CELL, BLADE, 0.0)
    target = polygon(outside_target(clamping), 0.0005)
    body = polygon(part.segments, 0.0005)
    assert target.is_valid
    assert body.difference(target.buffer(0.002)).area < 1e-6


def test_the_corner_of_the_back_edge_is_left_to_the_blade() -> None:
    """A chamfer at the back edge is bridged: the last diameter goes on past it."""
    part = placed(part_of(STEPPED), flipped=False)
    clamping = from_bar(part, Stock(diameter=26.0), CELL, BLADE, 0.0)
    target = polygon(outside_target(clamping), 0.0005)
    assert target.contains(Polygon([(-45.5, 11.0), (-44.5, 11.0), (-44.5, 11.99), (-45.5, 11.99)]))
    assert split_place(part) == pytest.approx(-44.0)


def test_a_gentle_taper_towards_the_back_is_turned() -> None:
    """Only what falls steeper than 20 degrees is left to another tool."""
    taper = solid([(0, 10), (-10, 10), (-40, 10 - 30 * math.tan(math.radians(10)))])
    assert split_place(placed(part_of(taper), flipped=False)) == pytest.approx(-40.0)


def test_a_bush_is_solid_for_outside_turning() -> None:
    """The bore is no concern of outside tools."""
    part = placed(part_of(BUSH), flipped=False)
    clamping = from_bar(part, Stock(diameter=42.0), CELL, BLADE, 0.0)
    assert polygon(outside_target(clamping), 0.0005).contains(Polygon([(-5, 1), (-1, 1), (-1, 2), (-5, 2)]))
