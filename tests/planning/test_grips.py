"""Where jaws may hold a finished cylinder: what lies behind them must go into the chuck."""

from __future__ import annotations

import pytest

from dxf2turn.planning.bench import Cell
from dxf2turn.planning.holding.grips import grips_of
from dxf2turn.planning.placed import placed
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import part_of, solid

SHOP = load_shop(None)
MACHINE = SHOP.machine()
CELL = Cell(SHOP, MACHINE, SHOP.material())


def fronts(radius: float) -> list[float]:
    """Faces of the jaws that may hold a flanged body of this radius, 85 long with its flange in front."""
    flange = radius + 5.0
    profile = solid([(0, flange), (-4, flange), (-4, radius), (-85, radius)])
    return [grip.front for grip in grips_of(placed(part_of(profile), flipped=False), -4.0, CELL)]


def test_a_body_thicker_than_the_chucks_bore_ends_with_the_jaws() -> None:
    """66 mm do not go into a bore of 52 mm: the back face is flush with the back of the jaws."""
    assert MACHINE.spindle_bore_mm < 66.0
    assert fronts(33.0) == [pytest.approx(MACHINE.jaw_length - 85.0, abs=1e-3)]


def test_a_body_that_goes_into_the_chuck_is_held_near_the_work() -> None:
    """40 mm do: the jaws hold right behind the flange, and the rest lies in the spindle."""
    assert MACHINE.spindle_bore_mm > 40.0
    assert [front > -10.0 for front in fronts(20.0)] == [True]
