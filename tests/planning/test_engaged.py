"""Stretches of a way that take something off."""

from __future__ import annotations

import shapely

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line
from dxf2turn.planning.tool_space.axes import OUTSIDE
from dxf2turn.planning.tool_space.engaged import LEAD, SPACING, engaged, part_of
from tests.planning.hand_tools import blade

WAY = (Line(Point(0.0, 20.0), Point(0.0, 10.0)), Line(Point(0.0, 10.0), Point(10.0, 10.0)))


def test_a_way_begins_where_the_blade_meets_the_stock() -> None:
    """A layer of 2 mm over the floor: of the 10 mm down the wall the last 2 mm and a little more are kept."""
    layer = shapely.box(-50.0, 10.0, 50.0, 12.0)
    kept = engaged(WAY, OUTSIDE, blade(3.0), layer)
    assert kept[-1].end == Point(10.0, 10.0)
    assert 12.0 <= kept[0].start.y <= 12.0 + LEAD + SPACING + 1e-9


def test_a_way_through_air_is_none() -> None:
    """Nothing under the blade, nothing kept."""
    assert engaged(WAY, OUTSIDE, blade(3.0), shapely.box(-50.0, 0.0, 50.0, 9.0)) == ()


def test_a_part_of_a_way_keeps_whole_pieces() -> None:
    """From 5 to 12 mm along: half of the first line and a fifth of the second."""
    first, second = part_of(WAY, 5.0, 12.0)
    assert (first.start, first.end) == (Point(0.0, 15.0), Point(0.0, 10.0))
    assert second.end == Point(2.0, 10.0)
    assert part_of(WAY, -1.0, 99.0) == WAY
