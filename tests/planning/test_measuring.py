"""The measuring list and the measuring stops of the first part, on a shaft with two sizes."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from dxf2turn.features.model import Limits
from dxf2turn.options import PlanOptions
from dxf2turn.planning.model import Plan, Step
from dxf2turn.planning.plan import make_plan
from dxf2turn.removal.verify import verify
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import contour_of, part_of, solid

SHOP = load_shop(None)
SHAFT = solid([(0, 9), (-1, 10), (-25, 10), (-25, 14), (-44, 14), (-45, 13)])


def diameter(grade: int | None) -> Limits:
    return Limits(
        what="diameter", nominal=20.0, upper=0.0, lower=-0.021, z_front=-1.0, z_back=-25.0, r=10.0,
        text="20 h7", grade=grade,
    )  # fmt: skip


LENGTH = Limits(
    what="length", nominal=25.0, upper=0.1, lower=-0.1, z_front=0.0, z_back=-25.0, r=14.0, text="25 +-0.1"
)


@cache
def planned(grade: int | None) -> Plan:
    return make_plan(part_of(SHAFT, (diameter(grade), LENGTH)), contour_of(SHAFT), SHOP, PlanOptions())


def steps(plan: Plan) -> list[Step]:
    return [step for setup in plan.setups for step in setup.steps]


def test_a_fine_fit_is_measured_before_it_is_finished() -> None:
    """IT7: a cut that leaves a little, a stop without tool, then the finishing cut with the same tool."""
    run = steps(planned(7))
    at = next(i for i, step in enumerate(run) if step.operation == "measure")
    before, stop, after = run[at - 1], run[at], run[at + 1]
    assert stop.tool is None and stop.moves == ()
    assert before.tool == after.tool
    assert before.operation == after.operation == "finish turn"
    level = [b.r for a, b in zip(before.moves, before.moves[1:]) if b.feed and a.z - b.z > 10.0]
    assert level == [pytest.approx(10.0 + SHOP.practice.turning.leave_measuring_mm, abs=1e-3)]


def test_a_fit_behind_a_collar_is_not_measured_before_it_is_there() -> None:
    """The blade makes it: the stop speaks of the fit in front only, and a finding says so."""
    profile = solid([(0, 9), (-1, 10), (-25, 10), (-25, 14), (-33, 14), (-33, 11), (-41, 11)])
    behind = replace(diameter(7), nominal=22.0, z_front=-33.0, z_back=-41.0, r=11.0, text="22 h7")
    plan = make_plan(part_of(profile, (diameter(7), behind)), contour_of(profile), SHOP, PlanOptions())
    run = steps(plan)
    stop = next(step for step in run if step.operation == "measure")
    assert "20 h7" in stop.why and "22 h7" not in stop.why
    maker = next(line.step for line in plan.measuring if line.nominal == 22.0)
    assert next(step for step in run if step.no == maker).operation == "groove"
    assert [f.text for f in plan.findings if f.code == "planning/fit-not-measured" and "22 h7" in f.text]


@pytest.mark.parametrize("grade", [9, None])
def test_a_coarse_size_needs_no_stop(grade: int | None) -> None:
    """IT9 and plain deviations are measured on the finished part only."""
    assert all(step.operation != "measure" for step in steps(planned(grade)))


def test_the_plan_with_a_stop_passes_the_removal_check() -> None:
    """The extra cut and the stop leave the part as it should be."""
    part = part_of(SHAFT, (diameter(7), LENGTH))
    assert verify(part, planned(7)).ok


def test_each_size_is_listed_with_the_step_that_makes_it() -> None:
    """Limits and target of both sizes; the diameter is corrected in X, the length in Z."""
    plan = planned(7)
    by_size = {line.nominal: line for line in plan.measuring}
    shaft, length = by_size[20.0], by_size[25.0]
    assert (shaft.lower, shaft.upper) == pytest.approx((19.979, 20.0))
    assert shaft.target == pytest.approx(19.9895)
    made = {step.no: step for step in steps(plan)}
    assert made[shaft.step].operation == "finish turn"
    assert made[shaft.step].tool.id in shaft.correct and "X offset" in shaft.correct
    assert "Z offset" in length.correct


def test_a_shoulder_too_far_back_is_corrected_away_from_the_chuck() -> None:
    """The shoulder is the end nearer to the chuck: too far back means that its tool stays further out."""
    length = next(line for line in planned(7).measuring if line.nominal == 25.0)
    assert "too long: Z larger" in length.correct
