"""A stud: one cylinder with a thread at either end, which no single setup can cut."""

from __future__ import annotations

from dxf2turn.features.recognise import recognise
from dxf2turn.options import DrawingOptions, PlanOptions
from dxf2turn.planning.plan import make_plan
from dxf2turn.removal.verify import verify
from dxf2turn.shop.load import load_shop
from tests.planning.hand_parts import contour_of, solid

STUD = solid([(0, 8), (-2, 10), (-52, 10), (-54, 8)])
BOTH_ENDS = DrawingOptions(threads=("M20@-2..-15", "M20@-39..-52"))


def test_the_second_setup_cuts_the_thread_that_the_first_one_could_not() -> None:
    """Held on the shank, the thread at the back is cut from its own end, on what the first setup turned."""
    contour = contour_of(STUD)
    part = recognise(contour, BOTH_ENDS)
    plan = make_plan(part, contour, load_shop(None), PlanOptions())
    threads = [
        (setup.no, step.features)
        for setup in plan.setups
        for step in setup.steps
        if step.operation == "thread"
    ]
    assert len(threads) == 2
    assert threads[0][0] < threads[1][0] and threads[0][1] != threads[1][1]
    assert verify(part, plan).ok
