"""Roughing along or across, outside and in bores, whichever takes less time."""

from __future__ import annotations

from dxf2turn.contour.model import Profile
from dxf2turn.options import PlanOptions
from dxf2turn.planning.model import Plan
from dxf2turn.planning.plan import make_plan
from dxf2turn.removal.verify import verify
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import Corners, bored, contour_of, part_of, solid
from tests.random_parts import Corner, profile_of

SHOP = load_shop(None)
CUP = [
    Corner(0.0, 20.0, "front"), Corner(0.0, 30.0, "outside"), Corner(-40.0, 30.0, "back"),
    Corner(-40.0, 0.0, "axis"), Corner(-25.0, 0.0, "inside"), Corner(-25.0, 20.0, "inside", radius=3.0),
]  # fmt: skip


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


def boring(profile: Profile) -> list[str]:
    """The sides of the roughing steps in the bore of a verified plan that leaves nothing."""
    part = part_of(profile)
    plan = make_plan(part, contour_of(profile), SHOP, PlanOptions())
    assert verify(part, plan).ok
    assert not [f.text for f in plan.findings if f.code == "planning/left-over"]
    return [step.side for setup in plan.setups for step in setup.steps if step.operation == "bore"]


def test_a_wide_shallow_counterbore_is_bored_across() -> None:
    """5 mm deep and 24 mm wide on the radius: passes across instead of a dozen along."""
    disc = bored([(0, 38), (-24, 38)], [(-24, 8), (-5, 8), (-5, 32), (0, 32)])
    assert "face" in boring(disc)


def test_a_long_bore_is_bored_along() -> None:
    """A step of 4 mm on the radius, 40 mm deep: long passes."""
    sleeve = bored([(0, 26), (-50, 26)], [(-50, 15), (-40, 15), (-40, 19), (0, 19)])
    assert set(boring(sleeve)) == {"inside"}


def test_a_blind_bore_with_a_round_at_its_floor_is_made_whole() -> None:
    """The cone that the drill left is in a stout bar's way: it is cleared all the same."""
    assert boring(profile_of(CUP))


def test_a_blade_in_a_dish_stops_at_the_axis() -> None:
    """What goes past the axis would cut the other side again, deeper than the floor."""
    dish = profile_of(
        [
            Corner(-6.0, 0.0, "front"), Corner(-6.0, 10.0, "front"), Corner(0.0, 40.0, "front"),
            Corner(0.0, 45.0, "outside"), Corner(-20.0, 45.0, "back"), Corner(-20.0, 0.0, "axis"),
        ]
    )  # fmt: skip
    part = part_of(dish)
    plan = make_plan(part, contour_of(dish), SHOP, PlanOptions())
    blades = [s for setup in plan.setups for s in setup.steps if s.operation == "face groove"]
    assert blades
    assert verify(part, plan).gouge_mm3 == 0.0
