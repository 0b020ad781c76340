"""Stock and grip."""

from __future__ import annotations

import random

import pytest

from dxf2turn.contour.model import Profile
from dxf2turn.findings import Finding, Severity
from dxf2turn.options import PlanOptions, StockOption
from dxf2turn.planning.bench import Cell
from dxf2turn.planning.holding.grips import grips_of
from dxf2turn.planning.holding.setups import from_bar, jaws_at
from dxf2turn.planning.model import Step
from dxf2turn.planning.placed import placed
from dxf2turn.planning.plan import make_plan
from dxf2turn.planning.stock import Stock, allowance, choose_stock, grip_length
from dxf2turn.planning.tools import parting_tool
from dxf2turn.shop.load import load_shop, shop_from_texts
from dxf2turn.shop.model import Shop
from tests.planning.hand_parts import BUSH, STEPPED, contour_of, part_of, solid
from tests.random_parts import random_profile

SHOP = load_shop(None)
MACHINE = SHOP.machine()
CELL = Cell(SHOP, MACHINE, SHOP.material())
HERE = placed(part_of(STEPPED), flipped=False)
BLADE = parting_tool(SHOP, 20.0)


@pytest.mark.parametrize(("diameter", "over"), [(10, 1), (50, 1), (50.1, 2), (100, 2), (120, 3)])
def test_the_allowance_grows_with_the_size(diameter: float, over: float) -> None:
    """1 to 3 mm over the largest diameter (rule T43, common practice)."""
    assert allowance(diameter, SHOP.practice.stock) == over


def test_the_next_bar_is_taken() -> None:
    """A part of 24 mm comes out of the first bar of at least 25 mm."""
    stock = choose_stock(HERE, SHOP, None)
    assert isinstance(stock, Stock)
    assert stock.diameter == min(d for d in SHOP.bar_diameters_mm if d >= 25.0)


@pytest.mark.parametrize("wanted", [StockOption(23.9, 100), StockOption(30, 44.9)])
def test_stock_that_does_not_hold_the_part_stops(wanted: StockOption) -> None:
    """Too thin or too short: a finding that stops, with what is missing."""
    found = choose_stock(HERE, SHOP, wanted)
    assert isinstance(found, Finding)
    assert found.severity is Severity.STOP


def test_tube_wider_than_the_bore_stops() -> None:
    """The bore of a tube must not be wider than that of the part."""
    bush = placed(part_of(BUSH), flipped=False)
    assert isinstance(choose_stock(bush, SHOP, StockOption(42, 80, 16.5)), Finding)
    assert isinstance(choose_stock(bush, SHOP, StockOption(42, 80, 15.0)), Stock)


def test_the_grip_is_one_diameter_within_the_jaws_and_never_below_ten() -> None:
    """Rule T45 (common practice)."""
    assert grip_length(4.0, MACHINE, SHOP.practice.stock) == 10.0
    assert grip_length(20.0, MACHINE, SHOP.practice.stock) == 20.0
    assert grip_length(100.0, MACHINE, SHOP.practice.stock) == MACHINE.jaw_length


def test_the_jaws_stay_behind_the_parting_cut() -> None:
    """Behind the part there is room for the blade and a gap before the jaws begin."""
    clamping = from_bar(HERE, Stock(diameter=26.0), CELL, BLADE, 0.0)
    face = max(p.x for ring in clamping.jaws for p in ring)
    assert clamping.parting == pytest.approx(-45.0)
    assert face < clamping.parting - BLADE.width
    assert clamping.stock.bounds[0] == pytest.approx(face - clamping.grip_length)


@pytest.mark.parametrize("seed", range(40))
def test_nothing_but_plain_cylinders_is_gripped(seed: int) -> None:
    """On random parts: never a thread, a groove or a taper, never over something larger in the jaws' way."""
    part = placed(part_of(random_profile(random.Random(seed))), flipped=bool(seed % 2))
    for grip in grips_of(part, -0.3 * part.length, CELL):
        low, high = grip.front - grip.length, grip.front
        held = [f for f in part.features if f.side == "outside" and f.z_front > low and f.z_back < high - 0.2]
        assert {f.kind for f in held} == {"cylinder"}
        assert all(f.r_large <= grip.radius + 1e-3 for f in part.features if f.z_front < low)


def test_a_short_grip_and_a_long_overhang_are_said() -> None:
    """A slender bar out of the chuck gives a finding with the overhang in diameters (rule T27)."""
    rod = placed(part_of(solid([(0, 5), (-100, 5)])), flipped=False)
    clamping = from_bar(rod, Stock(diameter=12.0), CELL, BLADE, 0.0)
    codes = {finding.code for finding in clamping.findings}
    assert codes == {"planning/long-overhang"}


def test_the_shop_s_practice_reaches_the_plan() -> None:
    """A shop that leaves more for finishing, and drills less deep in one go, gets a plan that does."""
    own = "[turning]\nleave_radius_mm = 0.8\n[drilling]\nfirst_diameters = 1.0\nlater_diameters = 0.5\n"
    usual, other = (steps_of(BUSH, shop) for shop in (SHOP, shop_from_texts({"practice.toml": own})))
    assert (usual["finish turn"].depth, other["finish turn"].depth) == (0.3, 0.8)
    assert other["drill"].passes > usual["drill"].passes


def steps_of(profile: Profile, shop: Shop) -> dict[str, Step]:
    """The last step of each operation in the plan of a part."""
    plan = make_plan(part_of(profile), contour_of(profile), shop, PlanOptions())
    return {step.operation: step for setup in plan.setups for step in setup.steps}


def test_soft_jaws_are_relieved_over_a_groove_behind_the_grip() -> None:
    """In front of a ring groove jaws are bored no longer than the land; behind it they hold as they are."""
    outline = [(0, 8.4), (-15, 8.4), (-15, 7.3), (-17.5, 7.3), (-17.5, 8.4), (-35, 8.4), (-35, 15), (-60, 15)]
    part = placed(part_of(solid(outline)), flipped=True)
    lands = {grip.feature.z_front: grip for grip in grips_of(part, -25.0, CELL) if grip.radius < 9.0}
    assert lands[-45.0].bored is None
    assert lands[-25.0].bored == lands[-25.0].length < MACHINE.jaw_length
    body, _, relieved = jaws_at(lands[-25.0].front, 8.4, MACHINE, lands[-25.0].bored, 2.0)
    assert min(p.x for p in body) == pytest.approx(-42.5)
    assert min(p.y for p in relieved) > 8.4
