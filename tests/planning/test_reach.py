"""What shapes leave at most and at least: the judgements that spare whole plans of moves."""

from __future__ import annotations

import math
import random

import pytest
import shapely

from dxf2turn.geometry.region import polygon
from dxf2turn.planning.blade_reach import blade_reach
from dxf2turn.planning.operations.plunge import plunge
from dxf2turn.planning.reach import TINY, by_reach, least_left, left_by
from dxf2turn.planning.work import SAGITTA, Work
from dxf2turn.shop.load import load_shop
from tests.planning.hand_tools import blade
from tests.planning.test_groove import HOME, square, work_of, zone
from tests.random_parts import random_profile

TOOLS = load_shop(None).tools_of("turning")[::9]
TOUCHED = 1e-4  # area that flattening may add to a cut, mm2


def work_on(seed: int) -> Work:
    """A random solid part in a bar that is 2 mm larger, and 1 mm longer in front."""
    profile = random_profile(random.Random(seed), hole="solid").segments
    part = polygon(profile, SAGITTA)
    low, _, _, top = part.bounds
    stock = shapely.box(low, 0.0, 1.0, top + 2.0)
    return Work(tuple(profile), part, stock, shapely.Polygon(), HOME._replace(y=top + 60.0), 1.0)


@pytest.mark.parametrize("seed", [2, 9, 21])
def test_a_nose_never_leaves_less_than_its_tool_is_said_to(seed: int) -> None:
    """The bound that needs no tool space lies below what the whole tool leaves."""
    work = work_on(seed)
    todo = shapely.difference(work.stock, work.part)
    for tool in TOOLS:
        assert least_left(work, tool.nose_radius, todo) <= left_by(work, tool, todo) + 0.5 * TINY


@pytest.mark.parametrize("seed", [2, 9])
def test_tools_come_in_the_order_of_what_they_leave(seed: int) -> None:
    """As if each had been looked at closely: least first, among equals as given."""
    work = work_on(seed)
    todo = shapely.difference(work.stock, work.part)
    leaves = {tool: left_by(work, tool, todo) for tool in TOOLS}

    found = list(by_reach(work, TOOLS, todo))

    assert all(left == pytest.approx(leaves[tool], abs=0.6 * TINY) for tool, left in found)
    assert [tool for tool, _ in found] == sorted(TOOLS, key=lambda tool: round(leaves[tool] / TINY))


def test_the_corner_radius_times_a_quarter_square_stays_in_a_sharp_corner() -> None:
    """A circle in a square corner leaves r^2 (1 - pi/4), whatever else is done (plane geometry)."""
    work = work_of(square(8.0, 3.0, corner=1e-6))
    groove = shapely.box(-18.0, 9.0, -10.0, 12.0)
    expected = 2.0 * 0.8**2 * (1.0 - 0.25 * math.pi)
    assert least_left(work, 0.8, groove) == pytest.approx(expected, abs=0.3 * TINY)


@pytest.mark.parametrize("width", [3.3, 7.5, 12.0])
@pytest.mark.parametrize("depth", [1.0, 4.0])
def test_a_blade_cuts_nothing_beyond_its_reach(width: float, depth: float) -> None:
    """Whatever the plunges take lies in the region that the blade's shape allows."""
    work = work_of(square(width, depth, chamfer=0.5))
    cut = shapely.difference(work.stock, plunge(work, blade(3.0), zone()).stock)
    reach = blade_reach(work, blade(3.0), zone(), depth + 1.0)
    assert cut.area > 0.9 * width * depth
    assert shapely.difference(cut, reach).area < TOUCHED
