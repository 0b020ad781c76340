"""Tube, sawn pieces and blanks beside bar; stock that was asked for."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from dxf2turn.contour.model import Profile
from dxf2turn.findings import Severity
from dxf2turn.options import PlanOptions, StockOption
from dxf2turn.planning.model import Plan
from dxf2turn.planning.placed import placed
from dxf2turn.planning.plan import make_plan
from dxf2turn.planning.stock import choose_tube
from dxf2turn.removal.verify import verify
from dxf2turn.shop.load import load_shop, shop_from_texts
from dxf2turn.shop.model import Shop
from tests.planning.hand_parts import BUSH, STEPPED, bored, contour_of, part_of, solid
from tests.random_parts import random_profile
from tests.removal.document import document
from tests.replay import replay

SHOP = load_shop(None)
STEEL = SHOP.material("C45E")
PRACTICE = SHOP.practice.stock
LINER = bored([(0, 37), (-1, 38), (-69, 38), (-70, 37)], [(-70, 28), (0, 28)])
SLEEVE = bored([(0, 20), (-40, 20)], [(-40, 14), (0, 14)])
RING = bored([(0, 74), (-24, 74)], [(-24, 45), (0, 45)])


def planned(profile: Profile, asked: StockOption | None = None, shop: Shop = SHOP) -> Plan:
    return make_plan(part_of(profile), contour_of(profile), shop, PlanOptions(stock=asked, material="C45E"))


def codes(plan: Plan) -> set[str]:
    return {finding.code.removeprefix("planning/") for finding in plan.findings}


def is_good(profile: Profile, plan: Plan) -> bool:
    """Whether the removal check and the outside replay both pass a plan."""
    part = part_of(profile)
    return verify(part, plan).ok and replay(document(part, plan))["ok"]


def tube_for(profile: Profile, shop: Shop = SHOP) -> tuple[float, float] | None:
    found = choose_tube(placed(part_of(profile), flipped=False), shop, STEEL)
    return None if found is None else (found.diameter, found.bore)


def test_the_tube_with_the_least_to_cut_off_is_taken() -> None:
    """76 mm outside ask for 78, a bore of 56 mm for at most 53: of such tubes the one of least section."""
    fitting = [t for t in SHOP.tubes_mm if t[0] >= 78.0 and t[1] <= 53.0 and t[0] - t[1] >= 0.2 * t[0]]
    assert tube_for(LINER) == min(fitting, key=lambda t: t[0] ** 2 - t[1] ** 2)


def test_no_tube_for_closed_parts_other_materials_and_thin_walls() -> None:
    """A part that is solid somewhere, a material that comes in bar only, a wall that hard jaws press in."""
    assert tube_for(STEPPED) is None
    assert tube_for(LINER, replace(SHOP, tube_groups=("N",))) is None
    assert tube_for(LINER, replace(SHOP, tubes_mm=((78.0, 53.0),))) == (78.0, 53.0)
    assert tube_for(LINER, replace(SHOP, tubes_mm=((79.0, 53.0), (78.0, 65.0), (77.9, 50.0)))) == (79.0, 53.0)
    thin = bored([(0, 38), (-30, 38)], [(-30, 36), (0, 36)])
    assert tube_for(thin, replace(SHOP, tubes_mm=((78.0, 68.0),))) is None


def test_a_liner_comes_from_tube() -> None:
    """No drill, less time than from bar; both are listed by name and compared in a note."""
    plan = planned(LINER)
    times = dict(plan.alternatives)
    bar, tube = (next(t for name, t in times.items() if word in name) for word in ("bar 80", "tube 80 x 50"))
    assert plan.stock_text.startswith("round tube 80 x 50 mm")
    assert tube == pytest.approx(plan.times.total_s, abs=0.1) and tube < bar
    assert not {"drill", "centre drill"} & {step.operation for step in plan.setups[0].steps}
    assert "stock-compared" in codes(plan)
    assert is_good(LINER, plan)


def test_what_a_tube_can_t_save_is_not_worked_out() -> None:
    """Where more is asked for than the holes take there is no way from tube, nor is there without tube."""
    unworthy = shop_from_texts({"practice.toml": "[stock]\ntube_worth_s = 1000.0\n"})
    for shop in (unworthy, replace(SHOP, tubes_mm=())):
        plan = planned(SLEEVE, shop=shop)
        assert all("bar" in name for name, _ in plan.alternatives)
        assert "stock-compared" not in codes(plan)


@pytest.mark.parametrize("asked", [StockOption(80, 200), StockOption(80, 200, 40), StockOption(78, 72, 50)])
def test_stock_that_was_asked_for_wins(asked: StockOption) -> None:
    """Bar, tube, a short piece of tube: nothing else is compared, and the plan is good."""
    plan = planned(LINER, asked)
    name = "tube" if asked.bore else "bar"
    assert all(f"{name} {asked.diameter}" in way for way, _ in plan.alternatives)
    assert is_good(LINER, plan)


def test_bar_too_thick_for_the_spindle_is_sawn() -> None:
    """Only the piece that is needed goes into the chuck; it is loaded by hand and what is lost is said."""
    plan = planned(LINER, StockOption(80, 500))
    assert "sawn-piece" in codes(plan)
    assert plan.setups[0].prepare.startswith("saw a piece")
    length = max(s.start.x for s in plan.setups[0].stock) - min(s.start.x for s in plan.setups[0].stock)
    assert 70.0 < length < 120.0
    assert plan.times.tool_change_s >= PRACTICE.load_s
    assert "sawn-piece" not in codes(planned(BUSH, StockOption(42, 500)))
    machines = tuple(replace(machine, bar_feed=False) for machine in SHOP.machines)
    notes = [f.text for f in planned(BUSH, StockOption(42, 500), replace(SHOP, machines=machines)).findings]
    assert any("(no bar feed)" in text for text in notes)


def test_stock_as_long_as_the_part_is_not_faced_but_held() -> None:
    """Nothing is missing from the part, and that nothing can be faced is said."""
    plan = planned(SLEEVE, StockOption(42, 40))
    assert "little-to-cut-off" in codes(plan) and is_good(SLEEVE, plan)


@pytest.mark.parametrize(("bore", "code"), [(50.0, None), (62.5, "thin-tube"), (74.0, "wall-gives-way")])
def test_thin_tube_asks_for_soft_jaws_or_is_refused(bore: float, code: str | None) -> None:
    """Below a tenth of the diameter soft jaws and a plug, below three hundredths not at all (practice)."""
    thin = bored([(0, 38), (-30, 38)], [(-30, 37.2), (0, 37.2)])
    found = codes(planned(thin, StockOption(78, 80, bore)))
    assert found & {"thin-tube", "wall-gives-way"} == ({code} if code else set())


def test_a_blank_is_compared_where_it_may_be_quicker() -> None:
    """Parting a thick ring takes longer than turning it over; not so where turning over takes very long."""
    slow = shop_from_texts({"practice.toml": "[holding]\nturn_over_s = 1000.0\n"})
    for shop, compared in ((SHOP, True), (slow, False)):
        plan = planned(RING, shop=replace(shop, tubes_mm=()))
        assert any(name.startswith("blank of bar 160 mm") for name, _ in plan.alternatives) == compared
        assert plan.times.total_s == pytest.approx(min(time for _, time in plan.alternatives), abs=0.1)


@pytest.mark.parametrize("seed", [201, 204])
@pytest.mark.parametrize("more", [2.0, 14.0])
def test_short_pieces_give_a_good_plan_or_a_reason(seed: int, more: float) -> None:
    """Random parts out of a piece little longer than they are: verified twice, or a finding that stops."""
    profile = random_profile(random.Random(seed), hole="bore")
    part = part_of(profile)
    here = placed(part, flipped=False)
    plan = planned(profile, StockOption(2.0 * here.max_radius + 2.0, here.length + more))
    stopped = any(f.severity is Severity.STOP and f.hint for f in plan.findings)
    removal = verify(part, plan) if plan.setups else None
    assert stopped or removal is not None
    if removal is not None:
        assert removal.ok == replay(document(part, plan))["ok"]
        assert removal.ok or any(f.severity is Severity.STOP for f in removal.findings)


def test_stock_too_short_for_anything_says_so() -> None:
    """Where nothing holds a part, the length that parting off would want is told with the stock asked for."""
    ball = solid([(0, 3), (-8, 15), (-16, 3)])
    texts = [f.text for f in planned(ball, StockOption(32, 18)).findings if f.severity is Severity.STOP]
    assert len(texts) == 1 and "too short to be held and parted off" in texts[0]


def test_a_tube_is_not_drilled_below_what_holds_its_bore() -> None:
    """A long sleeve of tube, held in its bore for the second end: no drill goes into the mandrel."""
    sleeve = bored([(0, 30), (-150, 30)], [(-150, 20), (0, 20)])
    plan = planned(sleeve, StockOption(63, 152, 36))
    assert verify(part_of(sleeve), plan).ok
