"""Plans of random parts: nothing gouged or touched, limits of the machine kept, what is left is told."""

from __future__ import annotations

import random
from functools import cache

import pytest

from dxf2turn.findings import Severity
from dxf2turn.geometry.point import Point
from dxf2turn.options import PlanOptions
from dxf2turn.planning.model import MoveKind, Plan
from dxf2turn.planning.plan import make_plan
from dxf2turn.planning.times import spindle_rpm
from dxf2turn.removal.model import Removal
from dxf2turn.removal.verify import verify
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import contour_of, part_of
from tests.random_parts import random_profile

SHOP = load_shop(None)
SEEDS = (1, 3, 5, 8, 13, 14, 16, 18, 28, 31)  # quick ones of all kinds of holes
LEFT = 0.01  # mm, what may stay without a word


@cache
def planned(seed: int) -> tuple[Plan, Removal]:
    profile = random_profile(random.Random(seed))
    part = part_of(profile)
    plan = make_plan(part, contour_of(profile), SHOP, PlanOptions())
    return plan, verify(part, plan)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_removal_check_passes(seed: int) -> None:
    """No gouge, no contact; what is thicker than 0.01 mm has a finding of its own."""
    plan, removal = planned(seed)
    assert removal.ok, [f.text for f in removal.findings]
    if removal.max_left > LEFT:
        assert any(f.code in ("planning/left-over", "planning/nose-round") for f in plan.findings)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_step_asks_more_than_the_machine_has(seed: int) -> None:
    """Spindle speeds and feed rates stay within the machine's, thread rates too."""
    plan, _ = planned(seed)
    for setup in plan.setups:
        for step in setup.steps:
            if step.spindle is None:
                continue
            for move in step.moves[1:]:
                rpm = spindle_rpm(step.spindle, move.r)
                assert rpm <= plan.machine.max_rpm
                if move.kind is MoveKind.THREAD:
                    assert move.lead * rpm <= plan.machine.thread_rate_max_mm_per_min


@pytest.mark.parametrize("seed", SEEDS)
def test_every_tool_is_clear_at_the_tool_change(seed: int) -> None:
    """Each tool's whole shape lies in front of the stock there, whatever its radius."""
    plan, _ = planned(seed)
    for setup in plan.setups:
        front = max(segment.start.x for segment in setup.stock)
        for step in setup.steps:
            if step.tool is not None:
                shapes = (step.tool.outline, *step.tool.holder)
                assert setup.tool_change.x + min(p.x for ring in shapes for p in ring) > front + 1.0
                assert Point(step.moves[0].z, step.moves[0].r) == setup.tool_change == step.moves[-1].end


@pytest.mark.parametrize("seed", SEEDS)
def test_times_add_up(seed: int) -> None:
    """Total = cut + rapid + changes; cutting is never quicker than its bound, nor much slower."""
    times = planned(seed)[0].times
    assert times.total_s == pytest.approx(times.cut_s + times.rapid_s + times.tool_change_s)
    assert times.bound_s <= times.cut_s <= 1.4 * times.bound_s


@pytest.mark.parametrize("seed", SEEDS)
def test_steps_are_numbered_in_tens_with_a_reason(seed: int) -> None:
    """10, 20, 30 ... over all setups; each says why."""
    plan, _ = planned(seed)
    steps = [step for setup in plan.setups for step in setup.steps]
    assert [step.no for step in steps] == [10 * (i + 1) for i in range(len(steps))]
    assert all(step.why for step in steps)


def test_a_part_no_bar_holds_is_refused_with_a_finding() -> None:
    """A disc larger than any bar of the shop gets no steps and a finding that stops."""
    profile = random_profile(random.Random(3))
    small = SHOP.__class__(**{**{f: getattr(SHOP, f) for f in SHOP.__slots__}, "bar_diameters_mm": (10.0,)})
    plan = make_plan(part_of(profile), contour_of(profile), small, PlanOptions())
    assert plan.setups == ()
    assert [f.severity for f in plan.findings] == [Severity.STOP]
