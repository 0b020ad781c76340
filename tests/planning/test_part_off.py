"""Parting off: the front corner on the back face, through the axis or into the bore, slower at the end."""

from __future__ import annotations

import pytest

from dxf2turn.options import PlanOptions
from dxf2turn.planning.model import MoveKind
from dxf2turn.planning.plan import make_plan
from dxf2turn.planning.steps.parting import PAST, parting_cuts
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import bored, contour_of, part_of, solid
from tests.planning.hand_tools import blade

Z = -42.5
PRACTICE = load_shop(None).practice.parting


@pytest.mark.parametrize("corner", ["left", "right"])
def test_the_front_corner_stands_on_the_back_face(corner: str) -> None:
    """Whichever corner is programmed, the side of the blade away from the chuck cuts the face exactly."""
    tool = blade(3.0, corner=corner, kind="parting")
    front = max(p.x for p in tool.outline)
    assert {round(m.z + front, 9) for m in parting_cuts(tool, Z, (15.0, 0.0), 0.1, PRACTICE, 1.0)} == {Z}


@pytest.mark.parametrize("inner", [0.0, 6.0])
def test_the_blade_goes_through(inner: float) -> None:
    """The rounded corner passes the axis, or the wall of the bore, by its own radius and a little."""
    moves = parting_cuts(blade(3.0, nose=0.2), Z, (15.0, inner), 0.1, PRACTICE, 1.0)
    assert min(m.r for m in moves) == pytest.approx(inner - 0.2 - PAST)


def test_the_feed_is_lower_near_the_centre() -> None:
    """The last cut is 30 % slower (published rule)."""
    moves = parting_cuts(blade(3.0), Z, (15.0, 0.0), 0.1, PRACTICE, 1.0)
    cuts = [m for m in moves if m.kind is MoveKind.FEED]
    assert cuts[-1].feed == pytest.approx(PRACTICE.centre_feed_share * 0.1)
    assert cuts[-2].feed == pytest.approx(0.1)


def test_a_deep_cut_is_pecked() -> None:
    """The blade lifts to break the chip at least once on a thick bar."""
    moves = parting_cuts(blade(2.0, reach=40), Z, (30.0, 0.0), 0.1, PRACTICE, 1.0)
    inside = [m for m in moves[1:-1] if m.kind is MoveKind.RAPID]
    assert len(inside) >= 3


@pytest.mark.parametrize(
    ("bore", "broken", "words"),
    [
        (0.0, 0.0, "nub stays on the bar"),
        (16.0, 0.0, "diameter 16 mm: break it by hand"),
        (16.0, 0.5, "broken already"),
    ],
)
def test_what_stays_at_the_parted_edge_is_said(bore: float, broken: float, words: str) -> None:
    """A solid end leaves its nub on the bar, a plain bore a burr, a chamfered one nothing."""
    outside = [(0, 15), (-20, 15)]
    inside = [(-20, 8 + broken), *([(-20 + broken, 8)] if broken else []), (0, 8)]
    profile = bored(outside, inside) if bore else solid(outside)
    part = part_of(profile)
    plan = make_plan(part, contour_of(profile), load_shop(None), PlanOptions())
    (step,) = [s for setup in plan.setups for s in setup.steps if s.operation == "part off"]
    assert words in step.why
