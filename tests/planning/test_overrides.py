"""A shop's own practice changes the plan, and the plan still passes the removal check."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dxf2turn.options import PlanOptions
from dxf2turn.planning.model import MoveKind, Plan
from dxf2turn.planning.plan import make_plan
from dxf2turn.removal.verify import verify
from dxf2turn.shop.load import load_shop
from dxf2turn.shop.model import Shop
from tests.planning.hand_parts import BUSH, STEPPED, contour_of, part_of, solid

SHOP = load_shop(None)


def shop_with(table: str, **values: float) -> Shop:
    """The packaged shop with some values of its practice changed, as practice.toml in a shop folder does."""
    changed = getattr(SHOP.practice, table).model_copy(update=values)
    return replace(SHOP, practice=SHOP.practice.model_copy(update={table: changed}))


def planned(profile, shop: Shop) -> Plan:  # noqa: ANN001
    part = part_of(profile)
    plan = make_plan(part, contour_of(profile), shop, PlanOptions())
    assert verify(part, plan).ok
    return plan


@pytest.mark.parametrize("clearance", [0.5, 2.0])
def test_the_clearance_of_rapids_is_the_shop_s(clearance: float) -> None:
    """The parting blade stops so far beside the bar before it goes to its cut, and the part is right."""
    plan = planned(STEPPED, shop_with("travel", clearance_mm=clearance))
    part_off = plan.setups[-1].steps[-1]
    top = max(segment.start.y for segment in plan.setups[-1].stock)
    first = next(b for a, b in zip(part_off.moves, part_off.moves[1:]) if b.kind is not MoveKind.RAPID)
    beside = part_off.moves[part_off.moves.index(first) - 1]
    assert part_off.operation == "part off"
    assert beside.r - top <= clearance + 1e-6


@pytest.mark.parametrize(
    ("table", "values"),
    [
        ("turning", {"leave_radius_mm": 0.6, "leave_along_mm": 0.2, "rough_nose_mm": 1.2}),
        ("turning", {"usual_nose_mm": 0.8, "thick_face_mm": 0.5}),
        ("boring", {"leave_radius_mm": 0.4}),
        ("cutting", {"least_depth_mm": 0.5, "start_share": 0.0}),
        ("parting", {"most_widths": 12.0, "neck_mm": 5.0}),
    ],
)
def test_other_habits_still_make_the_part(table: str, values: dict[str, float]) -> None:
    """Allowances, noses and depths of another shop: another plan, the same part."""
    shop = shop_with(table, **values)
    for profile in (STEPPED, BUSH):
        planned(profile, shop)


def test_a_shop_that_lets_less_stand_out_supports_sooner() -> None:
    """Two diameters out of the jaws need nothing where three are allowed, a centre where only one is."""
    plain = solid([(0, 9), (-1, 10), (-29, 10), (-30, 9)])
    supports = {
        most: {s.support for s in planned(plain, shop_with("holding", overhang_diameters=most)).setups}
        for most in (3.0, 1.0)
    }
    assert supports[3.0] == {"none"}
    assert supports[1.0] > {"none"}
