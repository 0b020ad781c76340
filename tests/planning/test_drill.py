"""Drilling on the axis."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.options import PlanOptions
from dxf2turn.planning.model import MoveKind
from dxf2turn.planning.operations.drill import drill_cuts, peck_depths
from dxf2turn.planning.plan import make_plan
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import bored, contour_of, part_of

PRACTICE = load_shop(None).practice.drilling
DRILL = next(t for t in load_shop(None).tools_of("drill") if t.diameter_mm == 10.0)


@settings(derandomize=True, max_examples=60, deadline=None)
@given(st.floats(0.5, 200.0), st.floats(1.0, 40.0))
def test_pecks_reach_the_bottom_in_bites(depth: float, diameter: float) -> None:
    """The first bite is at most three diameters, each further one about one; the last ends on the depth."""
    depths = (0.0, *peck_depths(depth, diameter, PRACTICE))
    bites = [b - a for a, b in zip(depths, depths[1:])]
    assert depths[-1] == depth
    assert bites[0] <= PRACTICE.first_diameters * diameter + 0.5
    assert all(0.0 < bite <= PRACTICE.later_diameters * diameter + 0.5 for bite in bites[1:])


def test_the_drill_stays_on_the_axis_and_comes_out_between_pecks() -> None:
    """Every move is at r = 0; between two bites the drill leaves the hole."""
    moves = drill_cuts(DRILL, 0.0, -50.0, 0.15, PRACTICE, 1.0)
    assert {m.r for m in moves} == {0.0}
    deep = [m.z for m in moves if m.kind is MoveKind.FEED]
    out = [m.z for m in moves if m.kind is MoveKind.RAPID and m.z > 0.0]
    assert len(deep) == 3
    assert len(out) >= len(deep)


def test_a_118_degree_point_is_three_tenths_of_the_diameter_long() -> None:
    """Point length of a 10 mm drill: 5 / tan 59 = 3.004 mm (worked example from a published rule)."""
    assert DRILL.point_angle == pytest.approx(math.radians(118))
    assert DRILL.point_length == pytest.approx(3.004, abs=0.001)


def test_a_pilot_hole_from_the_other_end_is_opened_up_by_a_drill() -> None:
    """No bar gets into the nozzle's 2 mm that setup 1 drilled through: the second drills 7.2 mm."""
    outside = [(0, 3), (-8, 12), (-16, 12), (-16, 8), (-38, 8)]
    profile = bored(outside, [(-38, 4), (-8, 4), (-6, 1), (0, 1)])
    plan = make_plan(part_of(profile), contour_of(profile), load_shop(None), PlanOptions())
    steps = [step for setup in plan.setups for step in setup.steps if step.operation == "drill"]
    drills = {step.tool.diameter_mm for step in steps if step.tool is not None}
    assert 2.0 in drills and max(drills) > 6.0
