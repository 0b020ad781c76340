"""How light a cut must be for the work that stands out: what stiffens it, and which cut bends it least."""

from __future__ import annotations

import math

import pytest
import shapely

from dxf2turn.planning.bench import Cell
from dxf2turn.planning.cutting import Task, choose
from dxf2turn.planning.holding.free_end import sections
from dxf2turn.planning.placed import placed
from dxf2turn.planning.tools import roughing_tools
from dxf2turn.shop.bending import passive_force
from dxf2turn.shop.forces import cutting_force
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import part_of, solid

SHOP = load_shop(None)
CELL = Cell(SHOP, SHOP.machine(), SHOP.material())
ROD = placed(part_of(solid([(0, 5), (-60, 5), (-60, 8), (-80, 8)])), flipped=False)
STEEL = 206e3


def test_a_layer_stiffens_only_where_there_is_stock() -> None:
    """A rod of 10 mm, 60 out: it bends by L^3 / 3 E I (S72); with 3 mm over it like one of 16."""
    found = sections(ROD, -60.0)
    assert found is not None
    finished, raw = shapely.box(-60, 0, 0, 5), shapely.box(-60, 0, 0, 9)
    for stock, diameter in ((finished, 10.0), (raw, 16.0)):
        expected = 60.0**3 / (3.0 * STEEL * math.pi * diameter**4 / 64.0)
        assert found.give(STEEL, 3.0, found.radii_of(stock)) == pytest.approx(expected, rel=1e-3)


def test_where_no_cut_is_light_enough_the_one_that_bends_least_is_taken() -> None:
    """A thin layer leaves the work so weak that many light passes bend it more than one deep one."""

    def give(depth: float) -> float:
        return 4e-2 / (0.3 + depth) ** 4

    tool = roughing_tools(SHOP)[0]
    free = choose(CELL, tool, Task(operation="rough turn", radius=10.0))
    chosen = choose(CELL, tool, Task(operation="rough turn", radius=10.0, give=give))

    def bend(depth: float, feed: float) -> float:
        kappa = math.pi - (tool.cutting_edge_angle or 0.0)
        return passive_force(cutting_force(CELL.material, depth, feed, kappa)) * give(depth)

    assert bend(free.depth, free.feed) > CELL.practice.turning.most_bending_mm
    assert bend(chosen.depth, chosen.feed) < bend(free.depth, free.feed)
    assert chosen.depth == pytest.approx(free.depth)
    kappa = math.pi - (tool.cutting_edge_angle or 0.0)
    assert f"under {cutting_force(CELL.material, chosen.depth, chosen.feed, kappa):.0f} N" in chosen.why
