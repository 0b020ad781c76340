"""What the machine can't take is said with numbers: swing, chuck, weight, nothing to hold."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dxf2turn.findings import Severity
from dxf2turn.options import PlanOptions, StockOption
from dxf2turn.planning.bench import Cell
from dxf2turn.planning.holding.capacity import beyond_machine
from dxf2turn.planning.plan import make_plan
from dxf2turn.planning.stock import Stock
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import bored, contour_of, part_of, solid

SHOP = load_shop(None)
MACHINE = SHOP.machine()
CELL = Cell(SHOP, MACHINE, SHOP.material())


@pytest.mark.parametrize(
    ("diameter", "collet", "words"),
    [
        (165.0, None, None),
        (170.0, None, "6 to 165 mm"),
        (270.0, None, "does not swing"),
        (4.0, None, "6 to 165 mm"),
        (4.0, 42.0, None),
    ],
)
def test_stock_must_swing_and_be_held(diameter: float, collet: float | None, words: str | None) -> None:
    """The chuck holds 6 to 165 mm, a collet thinner bar as well; 260 mm swing (machine.toml)."""
    machine = replace(MACHINE, collet_mm=collet)
    cell = replace(CELL, machine=machine, shop=replace(SHOP, machines=(machine,)))
    found = beyond_machine(Stock(diameter=diameter), cell)

    assert (found is None) == (words is None)
    assert found is None or (words in found.text and found.severity is Severity.STOP)


def test_another_machine_that_takes_the_stock_is_named() -> None:
    """120 mm is too much for the jaws of the light lathe, not for the other one's."""
    light = next(machine for machine in SHOP.machines if machine is not MACHINE)
    found = beyond_machine(Stock(diameter=120.0), replace(CELL, machine=light))

    assert MACHINE.name in found.hint


def test_a_part_too_large_for_the_jaws_gets_no_plan() -> None:
    """Stock of 180 mm was asked for: the plan stops before a step is worked out."""
    part = part_of(bored([(0, 85), (-30, 85)], [(-30, 30), (0, 30)]))
    plan = make_plan(part, contour_of(part.profile), SHOP, PlanOptions(stock=StockOption(180.0, 40.0)))

    assert not plan.setups
    assert [finding.code for finding in plan.findings] == ["planning/beyond-the-machine"]


def test_a_heavy_piece_asks_for_a_hoist() -> None:
    """A blank of 150 x 122 mm steel weighs 17 kg; the limit of 15 kg is common practice."""
    part = part_of(bored([(0, 72), (-120, 72)], [(-120, 15), (0, 15)]))
    plan = make_plan(part, contour_of(part.profile), SHOP, PlanOptions())
    heavy = [finding for finding in plan.findings if finding.code == "planning/heavy-work"]

    assert len(heavy) == 1
    assert heavy[0].measured == pytest.approx(
        0.25 * 3.14159 * 0.15**2 * 0.122 * CELL.material.density, rel=0.03
    )


@pytest.mark.parametrize(
    ("inside", "words"),
    [
        (
            [(-20, 5), (0, 5)],
            "nothing opens in its bore of 10 mm: jaws and mandrel of the machine take 32 to 165 mm",
        ),
        ([(-20, 10), (0, 12)], "it has no plain bore"),
    ],
)
def test_why_the_bore_does_not_hold_is_said(inside: list[tuple[float, float]], words: str) -> None:
    """A rim that is one groove, too deep to part off; the bore is too small, or a taper."""
    rim = [(0, 70), (-2, 70), (-2, 62), (-18, 62), (-18, 70), (-20, 70)]
    part = part_of(bored(rim, inside))
    plan = make_plan(part, contour_of(part.profile), SHOP, PlanOptions())
    (found,) = plan.findings

    assert found.code == "planning/no-way-to-hold" and words in found.text


def test_what_would_hold_a_disc_is_named() -> None:
    """A bevelled disc without a bore: the depth to part off, the length that jaws want and what there is."""
    part = part_of(solid([(0, 60), (-6, 65)]))
    plan = make_plan(part, contour_of(part.profile), SHOP, PlanOptions())
    (found,) = plan.findings

    assert found.code == "planning/no-way-to-hold"
    assert "70 mm deep" in found.text and "there is none" in found.text
    assert found.limit == pytest.approx(SHOP.practice.holding.short_part_share * 6.0 + 1.0)
