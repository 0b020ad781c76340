"""The broken edge at the far end of a bore: cut from the front, through the bore, before parting off."""

from __future__ import annotations

import pytest

from dxf2turn.planning.model import Step
from dxf2turn.shop.load import load_shop
from tests.planning.test_unseen_parts import codes, edge, planned, turned


def steps_of(bore: float, length: float) -> list[Step]:
    """The steps of a bush with both edges of its bore broken by 0.5 mm; nothing may be left."""
    bush = turned(
        edge(-length, bore, 0.5),
        edge(0, bore, 0.5),
        edge(0, bore + 14, 0.5),
        edge(-length, bore + 14, 0.5),
        bore=True,
    )
    job = planned(bush)
    assert "planning/left-over" not in codes(job)
    assert job.plan is not None
    return [step for setup in job.plan.setups for step in setup.steps]


@pytest.mark.parametrize("bore", [9, 11, 13])
def test_the_far_edge_of_a_small_bore_needs_no_second_setup(bore: float) -> None:
    """A hook or a blade that passes the bore breaks its far edge; the part is parted off after that."""
    steps = steps_of(bore, 30)
    names = [step.operation for step in steps]
    assert "flip" not in names and names[-1] == "part off"
    inside = [step for step in steps if step.operation in ("finish bore", "inside groove")]
    assert min(move.z for step in inside for move in step.moves) < -30


def test_a_long_slim_hook_only_breaks_edges() -> None:
    """55 mm through 9 mm: beyond seven bar diameters only the last 3 mm of the bore are cut."""
    steps = steps_of(9, 55)
    slim = {tool.id for tool in load_shop(None).tools_of("boring") if tool.edges_only}
    (step,) = [s for s in steps if s.tool is not None and any(name in s.tool.note for name in slim)]
    feeds = [move for move in step.moves if move.feed is not None]
    assert step.operation == "finish bore" and max(move.z for move in feeds) < -52


def test_a_blade_that_fits_gets_to_an_undercut_at_the_floor_of_a_blind_bore() -> None:
    """The floor beside the blade is no stock under it: the bar travels within the bore, not on the axis."""
    blind = turned(
        (-49, 33), (-45, 33), (-45, 25), edge(0, 25, 0.5), edge(0, 50, 0.5), edge(-60, 50, 0.5),
        (-60, 0), (-49, 0), bore=True,
    )  # fmt: skip
    job = planned(blind)
    assert "planning/left-over" not in codes(job)
