"""Reamed holes: the drill leaves what the reamer takes, the reamer goes through."""

from __future__ import annotations

from functools import cache

import pytest

from dxf2turn.features.model import Limits
from dxf2turn.options import PlanOptions
from dxf2turn.planning.model import Plan
from dxf2turn.planning.plan import make_plan
from dxf2turn.removal.verify import verify
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import bored, contour_of, part_of

SHOP = load_shop(None)
PRACTICE = SHOP.practice.reaming


def bush(nominal: float, upper: float):
    """A bush with a bore whose target is the middle of its limits."""
    radius = 0.5 * (nominal + 0.5 * upper)
    inside = [(-30, radius + 0.5), (-29.5, radius), (-0.5, radius), (0, radius + 0.5)]
    profile = bored([(0, 14), (-1, 15), (-29, 15), (-30, 14)], inside)
    limits = Limits(
        what="diameter", nominal=nominal, upper=upper, lower=0.0, z_front=-0.5, z_back=-29.5, r=0.5 * nominal,
        text=f"{nominal:g} H7", grade=7,
    )  # fmt: skip
    return part_of(profile, (limits,)), contour_of(profile)


@cache
def planned(nominal: float, upper: float) -> Plan:
    return make_plan(*bush(nominal, upper), SHOP, PlanOptions())


def kinds(plan: Plan) -> list[str]:
    return [step.tool.kind for setup in plan.setups for step in setup.steps if step.tool is not None]


@pytest.mark.parametrize(("nominal", "upper"), [(8.0, 0.015), (10.0, 0.015), (12.0, 0.018)])
def test_a_small_h7_hole_is_drilled_under_size_and_reamed(nominal: float, upper: float) -> None:
    """The drill leaves 0.15 to 0.4 mm on the diameter (common practice), the reamer's end passes the hole."""
    plan = planned(nominal, upper)
    steps = [step for setup in plan.setups for step in setup.steps if step.tool is not None]
    drill = next(s.tool for s in steps if s.tool.kind == "drill")
    reamed = next(s for s in steps if s.tool.kind == "reamer")
    assert PRACTICE.least_mm <= nominal - drill.diameter_mm <= PRACTICE.most_mm
    assert reamed.tool.diameter_mm == nominal
    assert min(m.z for m in reamed.moves) <= -30.0 - reamed.tool.point_length
    assert verify(bush(nominal, upper)[0], plan).ok


def test_a_large_h7_hole_is_bored() -> None:
    """Above 12 mm a bar is as quick and needs no tool of its own size."""
    assert "reamer" not in kinds(planned(16.0, 0.018))
    assert "boring" in kinds(planned(16.0, 0.018))
