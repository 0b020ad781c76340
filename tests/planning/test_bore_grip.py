"""Work held in its finished bore: what may be held, how far, and whole plans."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
import shapely

from dxf2turn.contour.model import Profile
from dxf2turn.features.model import TurnedPart
from dxf2turn.geometry.region import polygon
from dxf2turn.options import PlanOptions
from dxf2turn.planning.bench import Cell
from dxf2turn.planning.holding.bore_grip import BoreGrip, bore_grips, held_in_bore
from dxf2turn.planning.holding.setups import from_blank, lengthened
from dxf2turn.planning.model import Plan
from dxf2turn.planning.placed import placed
from dxf2turn.planning.plan import make_plan
from dxf2turn.planning.stock import Stock
from dxf2turn.removal.verify import verify
from dxf2turn.shop.load import load_shop
from dxf2turn.shop.model import Shop
from tests.planning.hand_parts import bored, contour_of, part_of
from tests.random_parts import random_profile
from tests.removal.document import document
from tests.replay import replay

SHOP = load_shop(None)
MACHINE = SHOP.machine()
CELL = Cell(SHOP, MACHINE, SHOP.material())
HOLDING = SHOP.practice.holding


def rim(radius: float = 60.0, length: float = 20.0) -> list[tuple[float, float]]:
    """The outside of a pulley: a square groove over nearly all of its rim."""
    return [
        (0, radius), (-2, radius), (-2, radius - 8), (2 - length, radius - 8), (2 - length, radius),
        (-length, radius),
    ]  # fmt: skip


def pulley(bore: float, radius: float = 60.0, length: float = 20.0) -> Profile:
    return bored(rim(radius, length), [(-length, bore), (0, bore)])


def grips(profile: Profile, less: float = 0.0) -> list[BoreGrip]:
    """The grips of a part whose bore is cut but for `less` on the radius."""
    here = placed(part_of(profile), flipped=True)
    stock = polygon(here.segments, 0.0005)
    wall = min(s.start.y for s in here.run("inside"))
    more = shapely.box(-here.length, wall - less, 0.0, wall) if less else shapely.Polygon()
    return list(bore_grips(here, shapely.union(stock, more), CELL))


@pytest.mark.parametrize(
    ("bore", "words"),
    [(4.0, set()), (8.0, {"mandrel"}), (20.0, {"mandrel", "jaws"}), (45.0, {"jaws"}), (95.0, set())],
)
def test_a_bore_is_held_within_the_machine_s_sizes(bore: float, words: set[str]) -> None:
    """Mandrels from 12 to 60 mm, jaws opening outward from 32 to 165 mm in diameter (machine.toml)."""
    found = grips(bored([(0, bore + 10), (-20, bore + 10)], [(-20, bore), (0, bore)]))

    assert {word for word in ("mandrel", "jaws") for one in found if word in one.opening.words} == words


def test_jaws_reach_in_as_far_as_they_are_long_and_stay_off_the_face() -> None:
    """In a bore of 90 they reach 20 mm; in one of 20 they end 1 mm before the face that is turned."""
    for length, held in ((90.0, MACHINE.inside_jaw_length_mm), (20.0, 20.0 - HOLDING.face_room_mm)):
        one = next(g for g in grips(pulley(25.0, length=length)) if "jaws" in g.opening.words)
        assert one.grip.length == pytest.approx(held)


def test_a_bore_that_is_not_finished_is_not_held() -> None:
    """0.1 mm left on the radius: jaws would hold what is still to be cut."""
    assert grips(pulley(20.0))
    assert not grips(pulley(20.0), less=0.1)


SHAPES = {
    "taper": [(-20, 12), (0, 14)],
    "groove over the length": [(-20, 20), (-19, 20), (-19, 24), (-1, 24), (-1, 20), (0, 20)],
    "step": [(-20, 20), (-10, 20), (-10, 12), (0, 12)],
}


@pytest.mark.parametrize(
    ("name", "held"), [("taper", set()), ("groove over the length", set()), ("step", {12.0})]
)
def test_no_taper_and_no_groove_is_held_and_jaws_must_get_in(name: str, held: set[float]) -> None:
    """The second setup has the part's front at the chuck: behind the narrow step the wide one is shut."""
    assert {one.grip.radius for one in grips(bored(rim(), SHAPES[name]))} == held


@pytest.mark.parametrize("seed", range(60))
def test_on_random_parts_only_a_plain_finished_wall_is_held(seed: int) -> None:
    """Never a thread, a groove or a taper of the bore; the part's surface lies along all of the grip."""
    part = placed(part_of(random_profile(random.Random(seed), "stepped")), flipped=bool(seed % 2))
    body = polygon(part.segments, 0.0005)
    for one in bore_grips(part, body, CELL):
        low, high = one.grip.front - one.grip.length, one.grip.front
        wall = shapely.LineString([(low, one.grip.radius), (high, one.grip.radius)])
        assert shapely.intersection(wall, shapely.buffer(body.boundary, 1e-4)).length == pytest.approx(
            wall.length, abs=1e-3
        )
        held = [f for f in part.features if f.side == "inside" and f.z_front > low and f.z_back < high - 0.2]
        assert not {f.kind for f in held} & {"thread", "groove", "taper", "knurl"}
        assert not shapely.intersects(body, shapely.box(-1e4, 0.0, high, one.grip.radius - 0.05))


def _plan(profile: Profile, shop: Shop) -> tuple[TurnedPart, Plan]:
    part = part_of(profile)
    return part, make_plan(part, contour_of(profile), shop, PlanOptions())


WITHOUT_MANDREL = replace(SHOP, machines=(replace(MACHINE, mandrel_mm=None),))


@pytest.mark.parametrize(
    ("bore", "shop", "words"),
    [(8.0, SHOP, "expanding mandrel"), (17.0, WITHOUT_MANDREL, "jaws opening outward")],
)
def test_a_grooved_pulley_is_made_and_passes_both_checks(bore: float, shop: Shop, words: str) -> None:
    """Nothing outside can be gripped and no blade gets through: blank, bored, then held in the bore."""
    part, plan = _plan(pulley(bore, 70.0), shop)
    last = plan.setups[-1]

    assert words in last.grip and "finished bore" in last.grip
    assert verify(part, plan).ok
    assert replay(document(part, plan))["ok"]


HUBS = bored(
    [
        (0, 16),
        (-8, 17),
        (-8, 70),
        (-11, 70),
        (-11, 64),
        (-29, 64),
        (-29, 70),
        (-32, 70),
        (-32, 17),
        (-40, 16),
    ],
    [(-40, 8), (0, 8)],
)


@pytest.mark.parametrize(("outside", "thin"), [(24.0, True), (32.0, False)])
def test_a_thin_wall_that_is_opened_is_said(outside: float, thin: bool) -> None:
    """Less than a tenth of the diameter: 4 mm of 48 are, 12 of 64 are not (practice of the shop)."""
    profile = bored([(0, outside), (-30, outside)], [(-30, 20), (0, 20)])
    here, other = (placed(part_of(profile), flipped=flip) for flip in (False, True))
    first = from_blank(here, Stock(diameter=80.0), CELL)
    clamping = held_in_bore(first, other, polygon(here.segments, 0.0005), CELL)

    assert ("planning/thin-wall-opened" in {f.code for f in clamping.findings}) == thin


def test_a_rim_between_two_hubs_is_held_well_in_both_setups() -> None:
    """The front hub and the square shoulder of the rim first, held on most of the jaws; then all the rest."""
    part, plan = _plan(HUBS, SHOP)
    first, last = plan.setups

    assert first.grip_length > HOLDING.good_hold * MACHINE.jaw_length
    assert "finished bore" in last.grip
    assert verify(part, plan).ok
    assert replay(document(part, plan))["ok"]


def test_a_weakly_held_blank_may_be_longer() -> None:
    """6 mm of raw stock behind the rim become the 30 mm of rule T45; a blank that has them stays."""
    here, stock = placed(part_of(HUBS), flipped=False), Stock(diameter=160.0)
    short = from_blank(here, stock, CELL)
    longer = lengthened(short, stock, CELL)

    assert short.grip_length < 0.5 * MACHINE.jaw_length
    assert longer.grip_length == MACHINE.jaw_length and longer.jaw_face == short.jaw_face
    assert longer.stock.bounds[0] == pytest.approx(short.jaw_face - MACHINE.jaw_length)
    assert lengthened(longer, stock, CELL) is None
    assert lengthened(short, replace(stock, length=45.0), CELL) is None


def test_where_one_setup_from_bar_does_the_bore_is_not_looked_at() -> None:
    """Two setups would cost the turning over."""
    _, plan = _plan(bored([(0, 30), (-40, 30)], [(-40, 10), (0, 10)]), SHOP)

    assert [name for name, _ in plan.alternatives] == ["one setup from bar 63 mm, parted off"]


def test_what_carries_the_jaws_stands_behind_the_part() -> None:
    """The whole outside is free; the jaws lie against the wall and not in it."""
    here, other = (placed(part_of(pulley(20.0)), flipped=flip) for flip in (False, True))
    first = from_blank(here, Stock(diameter=125.0), CELL)
    cut = polygon(here.segments, 0.0005)
    clamping = held_in_bore(first, other, cut, CELL)

    assert clamping.grip_inside and clamping.outside_to == -other.length
    assert clamping.jaws[0] and max(p.x for ring in clamping.jaws[1:] for p in ring) < -other.length
    assert clamping.stock.distance(clamping.keep_out) == pytest.approx(0.0, abs=1e-9)
    assert clamping.stock.intersection(clamping.keep_out).area == pytest.approx(0.0, abs=1e-9)
