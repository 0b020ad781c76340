"""Centre and steady in the removal check and the outside replay: no tool touches them, each has its seat."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest

from dxf2turn.features.model import TurnedPart
from dxf2turn.geometry.point import Point
from dxf2turn.options import PlanOptions
from dxf2turn.planning.model import Move, MoveKind, Plan, Setup
from dxf2turn.planning.plan import make_plan
from dxf2turn.removal.verify import verify
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import contour_of, part_of, solid
from tests.removal.document import document
from tests.replay import replay

ROD = solid([(0, 7), (-1, 8), (-80, 8), (-80, 9), (-95, 9)])
BIG = solid([(0, 27), (-1, 28), (-180, 28), (-181, 29), (-190, 29)])


@cache
def _planned(big: bool) -> tuple[TurnedPart, Plan]:
    profile = BIG if big else ROD
    part = part_of(profile)
    return part, make_plan(part, contour_of(profile), load_shop(None), PlanOptions())


def _which(plan: Plan, support: str) -> int:
    return next(i for i, setup in enumerate(plan.setups) if setup.support == support)


def _with(plan: Plan, index: int, setup: Setup) -> Plan:
    return replace(plan, setups=(*plan.setups[:index], setup, *plan.setups[index + 1 :]))


def _moved(setup: Setup, dz: float) -> Setup:
    """The support shifted along z."""
    bodies = tuple(tuple(Point(p.x + dz, p.y) for p in body) for body in setup.supports)
    return replace(setup, supports=bodies)


def _through_the_centre(setup: Setup) -> Setup:
    """A rapid from the tool-change point straight down to the nose of the centre, and back."""
    step = setup.steps[0]
    home = step.moves[0]
    nose = setup.supports[1][0].x + 5.0
    detour = (
        Move(MoveKind.RAPID, nose, home.r),
        Move(MoveKind.RAPID, nose, 0.0),
        replace(home, z=nose),
        home,
    )
    return replace(setup, steps=(replace(step, moves=(home, *detour, *step.moves[1:])), *setup.steps[1:]))


def _faced_to_the_axis(setup: Setup) -> Setup:
    """A cut across the face to the axis while the centre is in."""
    step = setup.steps[0]
    home = step.moves[0]
    face = setup.stock[0].start.x if not setup.stock else max(s.start.x for s in setup.stock)
    cut = (
        Move(MoveKind.RAPID, face - 0.1, home.r),
        Move(MoveKind.FEED, face - 0.1, 0.0, feed=0.1),
        Move(MoveKind.RAPID, face - 0.1, home.r),
        home,
    )
    return replace(setup, steps=(replace(step, moves=(home, *cut, *step.moves[1:])), *setup.steps[1:]))


CENTRE_FAULTS: dict[str, tuple[Callable[[Setup], Setup], str]] = {
    "rapid through the centre": (_through_the_centre, "support contact"),
    "faced to the axis": (_faced_to_the_axis, "support contact"),
    "centre too deep": (lambda setup: _moved(setup, -0.05), "support"),
    "centre not in": (lambda setup: _moved(setup, 0.05), "support"),
    "no centre at all": (lambda setup: replace(setup, supports=()), "support"),
}
OUTSIDE_WORD = {"support contact": "jaws", "support": "support"}


def test_a_long_rod_is_planned_with_the_tailstock_and_passes_both_checks() -> None:
    """The planner's own plan is good, and its second setup runs in the centre."""
    part, plan = _planned(False)

    assert [setup.support for setup in plan.setups] == ["none", "tailstock", "none", "none"]
    assert verify(part, plan).ok
    assert replay(document(part, plan))["ok"]


@pytest.mark.parametrize("name", CENTRE_FAULTS)
def test_a_fault_at_the_centre_is_found_by_both(name: str) -> None:
    """The check names the kind and the setup; so does the outsider."""
    spoil, kind = CENTRE_FAULTS[name]
    part, plan = _planned(False)
    index = _which(plan, "tailstock")
    bad = _with(plan, index, spoil(plan.setups[index]))

    removal = verify(part, bad)
    verdict = replay(document(part, bad))

    assert not removal.ok
    assert any(t.kind == kind and t.setup == plan.setups[index].no for t in removal.troubles)
    assert any(t["kind"] == OUTSIDE_WORD[kind] for t in verdict["troubles"])


def test_parting_off_with_the_centre_in_is_found_by_both() -> None:
    """The steps of the parting setup done while the centre is still in."""
    part, plan = _planned(False)
    index = _which(plan, "tailstock")
    here, parting = plan.setups[index], plan.setups[index + 1]
    assert parting.steps[-1].operation == "part off"
    home = here.tool_change
    step = parting.steps[-1]
    ends = (Move(MoveKind.RAPID, home.x, home.y),)
    moves = (*ends, replace(step.moves[0], r=home.y), *step.moves, replace(step.moves[-1], r=home.y), *ends)
    bad = _with(plan, index, replace(here, steps=(*here.steps, replace(step, moves=moves))))

    removal = verify(part, bad)
    verdict = replay(document(part, bad))

    assert any(t.kind == "support" and "parts the work off" in t.text for t in removal.troubles)
    assert any(t["kind"] == "support" for t in verdict["troubles"])


@pytest.mark.parametrize("dr", [-0.05, 0.05])
def test_a_steady_that_does_not_run_on_the_work_is_found_by_both(dr: float) -> None:
    """Pads 0.05 mm in the work, and pads 0.05 mm off it."""
    part, plan = _planned(True)
    index = _which(plan, "steady")
    setup = plan.setups[index]
    bodies = tuple(tuple(Point(p.x, p.y + dr) for p in body) for body in setup.supports)
    bad = _with(plan, index, replace(setup, supports=bodies))

    assert verify(part, plan).ok
    assert any(t.kind == "support" for t in verify(part, bad).troubles)
    assert any(t["kind"] == "support" for t in replay(document(part, bad))["troubles"])
