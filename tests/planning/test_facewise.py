"""Roughing along or across, whichever takes less time."""

from __future__ import annotations

from dxf2turn.options import PlanOptions
from dxf2turn.planning.model import Plan
from dxf2turn.planning.plan import make_plan
from dxf2turn.removal.verify import verify
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import Corners, contour_of, part_of, solid

SHOP = load_shop(None)


def roughing(*outside: tuple[float, float]) -> list[str]:
    """The sides of the roughing steps of a verified plan."""
    corners: Corners = outside
    profile = solid(corners)
    part = part_of(profile)
    plan: Plan = make_plan(part, contour_of(profile), SHOP, PlanOptions())
    assert verify(part, plan).ok
    return [step.side for setup in plan.setups for step in setup.steps if step.operation == "rough turn"]


def test_a_short_hub_on_a_disc_is_roughed_across() -> None:
    """6 mm of hub below 26 mm of radius: two passes across instead of seven along, each with its wall."""
    assert "face" in roughing((0, 12), (-6, 12), (-6, 38), (-16, 38))


def test_a_long_neck_is_roughed_along() -> None:
    """60 mm of neck below 6 mm of radius: two long passes."""
    assert set(roughing((0, 12), (-60, 12), (-60, 18), (-72, 18))) == {"outside"}
