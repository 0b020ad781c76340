"""The planner against worked examples that test_times.py does not hold. Sources: docs/tables.md."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from dxf2turn.planning.bench import Cell
from dxf2turn.planning.cutting import Task, choose
from dxf2turn.planning.model import Move, MoveKind, Spindle
from dxf2turn.planning.times import cut_time
from dxf2turn.planning.tools import parting_tools
from dxf2turn.shop.bodies import usual
from dxf2turn.shop.load import load_shop

SHOP = load_shop(None)


def test_a_cut_takes_the_published_time() -> None:
    """time-3 (published, S68): 100 mm at a feed rate of 20 mm/min, here 0.2 mm at 100 rev/min, take 5 min."""
    lathe = replace(SHOP.machine(), min_rpm=0.0, feed_max_mm_per_min=1e9)
    spindle = Spindle(mode="rpm", value=100.0, limit_rpm=1e9, direction="M03")
    moves = (Move(MoveKind.RAPID, 0.0, 25.0), Move(MoveKind.FEED, -100.0, 25.0, feed=0.2))
    assert cut_time(moves, spindle, lathe) / 60.0 == pytest.approx(5.0, abs=0.001)


def test_a_parting_blade_of_3_mm_cuts_24_mm_deep() -> None:
    """part-1 (published, S39): depth at most 8 blade widths."""
    assert any(tool.width == 3.0 for tool in parting_tools(SHOP, 23.9))
    assert all((tool.width or 0.0) > 3.0 for tool in parting_tools(SHOP, 24.1))


def test_a_steel_boring_bar_stands_out_four_diameters() -> None:
    """boring-bar (rule published, number computed, S53): 80 mm for a bar of 20 mm."""
    steel = usual("modulus_steel")
    bars = [t for t in SHOP.tools_of("boring") if t.bar_mm == 20.0 and t.bar_modulus == steel]
    assert bars and all(bar.overhang == pytest.approx(80.0, abs=0.01) for bar in bars)


def test_a_groove_blade_of_4_mm_keeps_its_feed_and_side_depth() -> None:
    """groove-feed and groove-ap (formulas published, S39): at most 0.3 mm/rev and 3.2 mm sideways."""
    blade = next(t for t in SHOP.tools_of("grooving") if t.width == 4.0)
    choice = choose(Cell(SHOP, SHOP.machine(), SHOP.material()), blade, Task(operation="groove", radius=30.0))
    assert 0.0 < choice.feed <= 0.3
    assert 0.0 < choice.depth <= 3.2
    assert math.isfinite(choice.spindle.value)
