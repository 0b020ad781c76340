"""Long parts from end to end: planned, passed by the removal check and by the outside replay."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from dxf2turn.contour.model import Profile
from dxf2turn.options import PlanOptions
from dxf2turn.planning.plan import make_plan
from dxf2turn.removal.verify import verify
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import bored, contour_of, part_of, solid
from tests.removal.document import document
from tests.replay import replay

MOUTH = 1.5 / math.tan(math.radians(30.0))
COLLAR = [(0, 7), (-70, 7), (-70, 18), (-76, 18), (-76, 7), (-150, 7)]
LONG = {
    "bore with a 60 degree mouth": (
        bored([(0, 9), (-1, 10), (-90, 10)], [(-90, 5), (-MOUTH, 5), (0, 6.5)]),
        ["none", "tailstock", "none"],
    ),
    "plain bore through": (
        bored([(0, 9), (-1, 10), (-90, 10)], [(-90, 5), (0, 5)]),
        ["none", "tailstock", "none", "none"],
    ),
    "collar in the middle, turned behind it with the centre in": (
        solid(COLLAR),
        ["none", "tailstock", "none", "none"],
    ),
}


@pytest.mark.parametrize("name", LONG)
def test_a_long_part_is_supported_and_passes_both_checks(name: str) -> None:
    """Each end that stands out too far gets its chain of setups; nothing is gouged or touched."""
    profile, supports = LONG[name]
    assert isinstance(profile, Profile)
    part = part_of(profile)
    plan = make_plan(part, contour_of(profile), load_shop(None), PlanOptions())

    assert [setup.support for setup in plan.setups] == supports
    assert verify(part, plan).ok
    assert replay(document(part, plan))["ok"]


def test_where_blades_have_the_hollows_both_ends_get_their_chain() -> None:
    """A shop that lets no turning tool go behind a collar turns the part over, each end with its centre."""
    shop = load_shop(None)
    turning = shop.practice.turning.model_copy(update={"blade_hollow_mm": 1000.0})
    shop = replace(shop, practice=shop.practice.model_copy(update={"turning": turning}))
    part = part_of(solid(COLLAR))
    plan = make_plan(part, contour_of(solid(COLLAR)), shop, PlanOptions())

    supports = [setup.support for setup in plan.setups]
    assert supports == ["none", "tailstock", "none", "none", "none", "tailstock", "none"]
    assert verify(part, plan).ok
    assert replay(document(part, plan))["ok"]
