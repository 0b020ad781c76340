"""Long work: when it is supported, how the centre finds its hole, what is done with it in and after it."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import shapely
from scipy.integrate import cumulative_trapezoid

from dxf2turn.features.model import CentreHole, Limits
from dxf2turn.options import PlanOptions
from dxf2turn.planning.bench import Cell
from dxf2turn.planning.centre_holes import drill_for, outline_to, size_for, with_centre_holes
from dxf2turn.planning.chains import Job, needs_support, supported
from dxf2turn.planning.holding.free_end import gives_way, slender_end
from dxf2turn.planning.holding.near_ends import held_near, steady_place
from dxf2turn.planning.holding.seats import seat_plans
from dxf2turn.planning.holding.setups import from_bar
from dxf2turn.planning.holding.stiffness import even_diameter, free_length
from dxf2turn.planning.holding.support import centre_on, seat_in
from dxf2turn.planning.model import Plan
from dxf2turn.planning.placed import placed
from dxf2turn.planning.plan import make_plan
from dxf2turn.planning.sequence import filled
from dxf2turn.planning.stock import Stock
from dxf2turn.planning.tools import parting_tool
from dxf2turn.shop.bending import chuck_and_tailstock
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import bored, contour_of, part_of, solid

SHOP = load_shop(None)
CELL = Cell(SHOP, SHOP.machine(), SHOP.material())
BLADE = parting_tool(SHOP, 20.0)
ROD = solid([(0, 7), (-1, 8), (-80, 8), (-80, 9), (-95, 9)])
SHORT = solid([(0, 7), (-1, 8), (-20, 8), (-20, 9), (-30, 9)])
THIN_END = solid([(0, 0.6), (-40, 0.6), (-40, 8), (-95, 8)])
CONE = 1.5 / math.tan(math.radians(30.0))
VERY_LONG = solid([(0, 7), (-1, 8), (-250, 8), (-250, 9), (-265, 9)])
BORED_CONE = bored([(0, 8), (-95, 8)], [(-95, 4), (-CONE, 4), (0, 5.5)])
BORED = bored([(0, 8), (-95, 8)], [(-95, 4), (0, 4)])


def _base(profile, diameter: float = 19.0):
    return from_bar(placed(part_of(profile), flipped=False), Stock(diameter=diameter), CELL, BLADE, 0.0)


@cache
def _plan(long: bool) -> Plan:
    profile = ROD if long else SHORT
    return make_plan(part_of(profile), contour_of(profile), SHOP, PlanOptions())


@pytest.mark.parametrize(("profile", "long"), [(ROD, True), (SHORT, False)])
def test_support_is_needed_beyond_three_diameters(profile, long: bool) -> None:
    """Rule T27 (published): up to about 3 diameters out of the chuck go without support."""
    assert needs_support(_base(profile)) is long


def test_short_work_is_planned_as_ever() -> None:
    """No support, no more setups, no other ways."""
    plan = _plan(False)

    assert [setup.support for setup in plan.setups] == ["none"]
    assert not any("support" in name or "tailstock" in name for name, _ in plan.alternatives)


def test_long_work_runs_in_the_centre() -> None:
    """Centred with little out of the jaws, turned in the centre, parted off and faced without it."""
    centring, outside, parting, front = _plan(True).setups

    assert [step.operation for step in centring.steps] == ["face", "centre drill"]
    assert outside.support == "tailstock" and outside.supports
    assert {step.operation for step in outside.steps} <= {"rough turn", "finish turn", "groove", "thread"}
    assert [step.operation for step in parting.steps] == ["part off"]
    assert {step.operation for step in front.steps} == {"face"}
    assert max(p.x for p in centring.jaws[0]) > max(p.x for p in outside.jaws[0]) + 50.0


def test_people_are_told_what_to_do_before_each_setup() -> None:
    """The tailstock is brought up and taken back in words."""
    plan = _plan(True)

    assert "bring up the tailstock" in plan.setups[1].prepare
    assert "take the tailstock back" in plan.setups[2].prepare
    assert any("without support" in name for name, _ in plan.alternatives)


def test_safely_held_goes_before_quicker() -> None:
    """The way without support would take less time."""
    plan = _plan(True)
    quickest = min(seconds for _, seconds in plan.alternatives)

    assert plan.times.total_s > quickest


def test_no_tool_meets_the_centre_at_the_tool_change_point() -> None:
    """Every tool of the setup stands clear of the sleeve there."""
    outside = _plan(True).setups[1]
    bodies = shapely.union_all([shapely.Polygon(ring) for ring in outside.supports])
    home = outside.tool_change
    for step in outside.steps:
        for ring in (step.tool.outline, *step.tool.holder):
            shape = shapely.Polygon([(home.x + p.x, home.y + p.y) for p in ring])
            assert shape.distance(bodies) >= 1.0


@pytest.mark.parametrize(
    ("profile", "kinds"),
    [(ROD, ["stub"]), (BORED_CONE, ["cone", "bore"]), (BORED, ["bore"]), (THIN_END, [])],
)
def test_where_the_centre_finds_its_hole(profile, kinds: list[str]) -> None:
    """In a stub, in the 60 degree mouth of a bore, in what is bored out later; nowhere on a thin end."""
    plans = list(seat_plans(placed(part_of(profile), flipped=False), CELL))

    assert [plan.kind for plan in plans][: len(kinds)] == kinds
    assert bool(plans) is bool(kinds)


def test_the_stub_is_as_long_as_the_table_says() -> None:
    """Centre hole A 2 for a shaft of 18 mm, 6 mm to cut off: ISO 6411 table of docs/tables.md (S18)."""
    (plan,) = seat_plans(placed(part_of(ROD), flipped=False), CELL)

    assert plan.centring.tool.insert == "A2"
    assert plan.stub[0] == 6.0
    assert plan.stub[1] > plan.centring.radius


def test_very_long_work_is_turned_in_halves() -> None:
    """Beyond 12 diameters (rule T28): the second half between jaws and a steady on the first one."""
    made = supported(Job(_base(VERY_LONG), CELL, (), None, math.inf))
    front, back = made[1], made[2]

    assert [bench.clamping.support for bench in made[:3]] == ["none", "tailstock", "steady"]
    assert front.clamping.jaw_face > back.clamping.jaw_face + 100.0
    assert free_length(back.clamping) < 12.0 * 18.0 < -back.clamping.jaw_face
    pads = back.clamping.supports[-1]
    assert min(p.y for p in pads) == 8.0 and min(p.x for p in pads) > front.clamping.outside_to
    assert not any(f.code == "planning/slender" for bench in made for f in bench.findings)


def test_very_long_work_that_a_steady_does_not_take_is_told() -> None:
    """The reason is in the finding: here the steady takes nothing as thin as the rod."""
    cell = replace(CELL, machine=replace(CELL.machine, steady_mm=(20.0, 90.0)))
    made = supported(Job(_base(VERY_LONG), cell, (), None, math.inf))
    (finding,) = (f for bench in made for f in bench.findings if f.code == "planning/slender")

    assert finding.measured > 12.0
    assert "no plain cylinder of 20 to 90 mm" in finding.text


def test_what_can_t_be_supported_is_told_with_the_reason() -> None:
    """A thin end: a finding that names it, instead of benches."""
    found = supported(Job(_base(THIN_END), CELL, (), None, math.inf))

    assert found.code == "planning/no-tailstock"
    assert "no flat face" in found.text


def test_stock_of_a_given_length_must_hold_the_stub() -> None:
    """5 mm to spare are too little for a stub of 6 mm, 6 mm are enough."""
    found = supported(Job(_base(ROD), CELL, (), None, 5.0))
    made = supported(Job(_base(ROD), CELL, (), None, 6.0))

    assert "no stock for a stub of 6 mm" in found.text
    assert made[0].clamping.stock.bounds[2] == pytest.approx(_base(ROD).stock.bounds[2] + 6.0)


def test_a_machine_without_tailstock_is_told() -> None:
    """The same for the machine."""
    cell = replace(CELL, machine=replace(CELL.machine, tailstock=False))
    found = supported(Job(_base(ROD), cell, (), None, math.inf))

    assert "the machine has none" in found.text


@pytest.mark.parametrize(("diameter", "size"), [(7, "1"), (12, "1.6"), (18, "2"), (25, "2.5"), (60, "4")])
def test_the_size_of_a_centre_hole_follows_the_shaft(diameter: float, size: str) -> None:
    """The guide column of the ISO 6411 table (S18)."""
    assert size_for(diameter)[0] == size


def test_a_centre_goes_in_until_its_cone_touches() -> None:
    """In a hole A 2.5 the apex of a 60 degree point lies 5.3 / 2 / tan 30 = 4.590 mm behind the face."""
    tool = drill_for(SHOP, "A", "2.5/5.3")
    shape = outline_to(tool, 2.65)
    hole = [(p.x - shape[-1].x, p.y) for p in shape]
    stock = shapely.Polygon([(-50, 0), hole[0], *hole, (0, 10), (-50, 10)])

    seat = seat_in(stock, 0.4)

    assert seat.apex == pytest.approx(-4.590, abs=0.001)
    assert (seat.inner, seat.outer) == pytest.approx((1.25, 2.65))


def test_a_centre_does_not_run_on_an_edge() -> None:
    """A plain bore gives no seat, nor does a face."""
    assert seat_in(shapely.box(-50, 4, 0, 10), 0.4) is None
    assert seat_in(shapely.box(-50, 0, 0, 10), 0.4) is None


def test_the_slimmest_centre_that_fits_is_taken() -> None:
    """Its nose is wider than the mouth of the hole; none of the machine fits a mouth of 80 mm."""
    mouth = -5 + 3 / math.tan(math.radians(30))
    stock = shapely.Polygon([(-50, 0), (-12, 0), (-12, 2), (-5, 2), (mouth, 5), (mouth, 20), (-50, 20)])
    seat = seat_in(stock, 0.4)

    bodies = centre_on(seat, CELL.machine)

    assert max(p.y for p in bodies[0]) == 6.0
    assert centre_on(replace(seat, outer=40.0), CELL.machine) is None


NOTED = CentreHole(
    id="F9",
    side="face",
    z_front=0.0,
    z_back=-4.6,
    r_small=0.0,
    r_large=2.65,
    segments=(0,),
    form="A",
    size="2.5/5.3",
)


def test_a_noted_centre_hole_is_cut_into_the_target() -> None:
    """The target has the hole of the crib's drill; all other pieces keep their places in the list."""
    part = part_of(ROD)
    part = replace(part, features=(*part.features, NOTED))

    made = with_centre_holes(part, SHOP)

    count = len(part.target.segments)
    assert made.profile is part.profile
    assert made.target.segments[1 : count - 1] == part.target.segments[1:-1]
    assert made.target.roles[count:] == ("inside",) * 3
    assert shapely.Polygon([s.start for s in made.target.segments]).is_valid
    assert made.target.volume < part.target.volume


def test_a_noted_centre_hole_at_the_back_mirrors_the_one_at_the_front() -> None:
    """Both ends lose the same volume, and together twice as much."""
    part = part_of(ROD)
    back = replace(NOTED, side="end", z_front=-95 + 4.6, z_back=-95.0)
    lost = []
    for holes in ((NOTED,), (back,), (NOTED, back)):
        made = with_centre_holes(replace(part, features=(*part.features, *holes)), SHOP)
        lost.append(part.target.volume - made.target.volume)

    assert lost[0] == pytest.approx(lost[1], rel=1e-9)
    assert lost[2] == pytest.approx(2.0 * lost[0], rel=1e-9)


def test_work_that_goes_into_the_spindle_is_held_near_its_end() -> None:
    """The finished cylinder of the rod, 1 mm behind the face; nothing with a spindle too narrow for it."""
    part = placed(part_of(ROD), flipped=False)
    made = shapely.Polygon([(s.start.x, s.start.y) for s in part.segments])

    near = held_near(part, made, CELL, -1.0)
    thick = replace(CELL, machine=replace(CELL.machine, spindle_bore_mm=12.0))

    assert near.band.radius == 8.0 and near.front == pytest.approx(-1.0)
    assert held_near(part, made, thick, -1.0) is None


def test_a_steady_stands_on_a_finished_cylinder_of_its_range() -> None:
    """All of its width, behind the face; none on a diameter that it does not take."""
    part = placed(part_of(ROD), flipped=False)
    made = shapely.Polygon([(s.start.x, s.start.y) for s in part.segments])
    small = replace(CELL, machine=replace(CELL.machine, steady_mm=(20.0, 90.0)))

    place = steady_place(part, made, CELL)

    assert place.hi - place.lo == CELL.machine.steady_width
    assert place.hi <= -4.0 and place.radius == 8.0
    assert steady_place(part, made, small) is None


def test_bending_between_chuck_and_centre_follows_from_statics() -> None:
    """M / EI integrated twice with the reaction 5 F / 16 of the centre: nothing gives at the centre, half way
    it is what the formula says."""
    force, length, modulus, moment = 100.0, 200.0, 210000.0, 7000.0
    z = np.linspace(0.0, length, 20001)  # from the chuck
    bending = force * np.maximum(0.5 * length - z, 0.0) - 5.0 / 16.0 * force * (length - z)
    slope = cumulative_trapezoid(bending / (modulus * moment), z, initial=0.0)
    gives = cumulative_trapezoid(slope, z, initial=0.0)

    assert gives[-1] == pytest.approx(0.0, abs=1e-6 * gives[10000])
    assert gives[10000] == pytest.approx(chuck_and_tailstock(force, length, modulus, moment), rel=1e-6)


def test_a_plain_rod_gives_way_as_the_beam_formula_says() -> None:
    """F L^3 / (3 E I): 100 N at the end of 100 mm of a 10 mm rod in steel bend it 0.32336 mm."""
    rod = placed(part_of(solid([(0, 5), (-130, 5)])), flipped=False)

    assert pytest.approx(100.0 * 100.0**3 / (3.0 * 210000.0 * math.pi * 10.0**4 / 64.0), rel=1e-4) == 0.32336
    assert gives_way(rod, -100.0, 100.0, 210000.0) == pytest.approx(0.32336, rel=1e-3)
    assert gives_way(rod, -100.0, 100.0, 210000.0, z=-50.0) == pytest.approx(0.32336 / 8.0, rel=1e-3)


def test_a_thin_stem_on_a_thick_flange_asks_for_support() -> None:
    """2.3 diameters of the bar stand out, but the stem would give way by more than its tolerance."""
    stem = solid([(0, 4), (-80, 4), (-80, 20), (-90, 20)])
    clamping = from_bar(placed(part_of(stem), flipped=False), Stock(diameter=42.0), CELL, BLADE, 0.0)
    findings = list(slender_end(clamping, CELL, ()))

    assert not needs_support(clamping)
    assert [f.code for f in findings] == ["planning/long-overhang"]
    assert findings[0].measured > findings[0].limit == 0.05
    assert not list(slender_end(_base(SHORT), CELL, ()))


def test_a_close_diameter_asks_for_support_before_a_coarse_one() -> None:
    """The same rod with 0.4 mm of tolerance and with 1 micrometre near its end."""
    rod = solid([(0, 7), (-1, 8), (-50, 8), (-50, 9), (-60, 9)])
    limit = Limits(
        what="diameter", nominal=16.0, upper=0.0, lower=-0.001, z_front=-1.0, z_back=-10.0, r=8.0, grade=3
    )
    coarse = replace(limit, lower=-0.4, grade=14)

    assert list(slender_end(_base(rod), CELL, (limit,)))
    assert not list(slender_end(_base(rod), CELL, (coarse,)))


def test_a_stepped_shaft_bends_like_its_even_rod() -> None:
    """A plain rod of 16 mm is its own; half of it at 12 mm counts by 1 / d^4."""
    plain = filled(CELL, _base(solid([(0, 8), (-95, 8)])), ())
    stepped = filled(CELL, _base(solid([(0, 6), (-50, 6), (-50, 8), (-100, 8)])), ())

    assert even_diameter(plain) == pytest.approx(16.0, rel=1e-6)
    assert even_diameter(stepped) == pytest.approx((0.5 / 12**4 + 0.5 / 16**4) ** -0.25, rel=1e-3)
