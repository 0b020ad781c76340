"""Hollows of the outside: turning tools go into wide ones where that saves time, blades take the rest."""

from __future__ import annotations

import pytest

from dxf2turn.options import PlanOptions
from dxf2turn.planning.model import MoveKind
from dxf2turn.planning.plan import make_plan
from dxf2turn.removal.verify import verify
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import contour_of, part_of, solid
from tests.removal.document import document
from tests.replay import replay

SHAPES = {
    "behind a flange": [(0, 20), (-10, 20), (-10, 12), (-60, 12)],
    "behind a cone": [(0, 15), (-8, 15), (-14, 9), (-50, 9)],
    "a wide groove": [(0, 20), (-8, 20), (-8, 13), (-48, 13), (-48, 20), (-60, 20)],
    "two collars": [(0, 9), (-12, 9), (-12, 17), (-20, 17), (-20, 10), (-50, 10), (-50, 14), (-60, 14)],
}


@pytest.mark.parametrize("name", SHAPES)
def test_a_wide_hollow_is_turned(name: str) -> None:
    """Most of what lies in it is turned off; nothing is gouged and what stays is told (both checks)."""
    part = part_of(solid(SHAPES[name]))
    plan = make_plan(part, contour_of(solid(SHAPES[name])), load_shop(None), PlanOptions())

    steps = [step for setup in plan.setups for step in setup.steps]
    turned = sum(s.cut_time_s for s in steps if s.operation in ("rough turn", "finish turn"))
    bladed = sum(s.cut_time_s for s in steps if s.operation == "groove")
    assert turned > bladed
    assert verify(part, plan).ok
    assert replay(document(part, plan))["ok"]


def test_a_narrow_groove_is_left_to_a_blade() -> None:
    """No turning tool dips into a groove that a blade cuts in a few plunges."""
    outline = [(0, 20), (-20, 20), (-20, 16), (-26, 16), (-26, 20), (-60, 20)]
    plan = make_plan(part_of(solid(outline)), contour_of(solid(outline)), load_shop(None), PlanOptions())

    steps = [step for setup in plan.setups for step in setup.steps]
    turning = [s for s in steps if s.operation in ("rough turn", "finish turn")]
    lowest = min(m.r for s in turning for m in s.moves if m.kind is not MoveKind.RAPID and -25 < m.z < -21)
    assert lowest >= 20.0
    assert any(s.operation == "groove" for s in steps)


def test_no_thin_neck_is_turned_before_the_part_is_parted_off() -> None:
    """Behind the largest diameter turning goes no deeper than the neck that holds the part (3 mm)."""
    outline = [(0, 2.5), (-14, 2.5), (-14, 15), (-24, 15), (-24, 2.5), (-38, 2.5)]  # the same from both ends
    plan = make_plan(part_of(solid(outline)), contour_of(solid(outline)), load_shop(None), PlanOptions())

    first = plan.setups[0]
    turning = [s for s in first.steps if s.operation in ("rough turn", "finish turn")]
    assert not any(m.r < 3.0 for s in turning for m in s.moves if -37.0 < m.z < -25.0)
