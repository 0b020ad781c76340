"""The measuring lists of demo drawings, row by row as worked out by hand from drawing and order of steps.

Limits: ISO 286-2 for the fits, ISO 2768-1 class m for plain lengths. A tool's X is a diameter: too large asks
for a smaller X, outside as inside. Of a length the end that is made last is corrected: if it lies towards the
chuck, too long means a larger Z, if it lies away from it a smaller one.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from dxf2turn.features.model import Limits
from dxf2turn.options import PlanOptions
from dxf2turn.planning.measuring import measuring_list
from dxf2turn.planning.model import Step
from dxf2turn.planning.plan import make_plan
from dxf2turn.shop.load import load_shop
from tests.demo_jobs import demo_job
from tests.planning.hand_parts import contour_of, part_of, solid

# drawing, size, lower, upper, step that makes it, setup turned end for end, what to do when it is too large
ROWS = [
    ("bearing_spacer_sheet", "⌀30 H7", 30.0, 30.021, "finish bore", False, "X smaller"),
    ("bearing_spacer_sheet", "40 -0.1", 39.9, 40.0, "part off", False, "Z larger"),
    ("collar_shaft", "⌀20 k6", 20.002, 20.015, "finish turn", False, "X smaller"),
    ("collar_shaft", "⌀18 g6", 17.983, 17.994, "finish turn", False, "X smaller"),
    ("collar_shaft", "105", 104.7, 105.3, "part off", False, "Z larger"),
    ("collar_shaft", "48", 47.7, 48.3, "finish turn", False, "Z larger"),
    ("draw_rod", "⌀16 h7", 15.982, 16.0, "finish turn", False, "X smaller"),
    ("draw_rod", "132", 131.5, 132.5, "face", False, "Z smaller"),
    ("flanged_bush", "⌀40 k6", 40.002, 40.018, "finish turn", True, "X smaller"),
    ("flanged_bush", "⌀28 H7", 28.0, 28.021, "finish bore", True, "X smaller"),
    ("flanged_bush", "8", 7.8, 8.2, "part off", True, "Z larger"),
    ("pump_column", "⌀24 H8", 24.0, 24.033, "finish bore", False, "X smaller"),
    ("pump_shaft", "⌀25 h6", 24.987, 25.0, "finish turn", False, "X smaller"),
    ("pump_shaft", "62 ±0.1", 61.9, 62.1, "finish turn", False, "Z larger"),
    ("pump_shaft", "118", 117.7, 118.3, "part off", False, "Z larger"),
]
SHOP = load_shop(None)


@pytest.mark.parametrize(("name", "size", "lower", "upper", "operation", "flipped", "too_large"), ROWS)
def test_a_row_of_the_list(
    name: str, size: str, lower: float, upper: float, operation: str, flipped: bool, too_large: str
) -> None:
    """Limits, target in their middle, the step with its setup, the tool and which way."""
    plan = demo_job(name).plan
    line = next(m for m in plan.measuring if m.what.endswith(f": {size}"))
    setup, step = next((u, s) for u in plan.setups for s in u.steps if s.no == line.step)
    assert (line.lower, line.upper) == pytest.approx((lower, upper), abs=1e-6)
    assert line.target == pytest.approx(0.5 * (lower + upper), abs=1e-6)
    assert (step.operation, setup.flipped) == (operation, flipped)
    assert line.correct.startswith(f"{step.tool.id}: {too_large[0]} offset")
    assert line.correct.endswith(too_large)


@pytest.mark.parametrize(("name", "size"), [(row[0], row[1]) for row in ROWS if "⌀" in row[1]])
def test_a_fine_fit_is_measured_right_before_its_last_cut(name: str, size: str) -> None:
    """A cut that leaves a little, the stop that names the size, the finishing cut with the same tool."""
    plan = demo_job(name).plan
    line = next(m for m in plan.measuring if m.what.endswith(f": {size}"))
    run: list[Step] = [s for u in plan.setups for s in u.steps]
    at = next(i for i, s in enumerate(run) if s.no == line.step)
    before, stop, last = run[at - 2 : at + 1]
    assert stop.operation == "measure" and size in stop.why
    assert before.tool == last.tool and before.operation == last.operation


SLEEVE = solid([(0, 9), (-1, 10), (-20, 10), (-20, 14), (-35, 14), (-35, 17), (-44, 17), (-45, 16)])


def length(front: float, back: float, r: float) -> Limits:
    return Limits(
        what="length", nominal=front - back, upper=0.02, lower=-0.02, z_front=front, z_back=back, r=r,
        text=f"{front - back:g} +-0.02",
    )  # fmt: skip


def test_a_length_between_two_shoulders_of_one_tool_has_no_offset() -> None:
    """The finishing tool makes both ends of the collar: its Z moves them together, the program is changed."""
    part = part_of(SLEEVE, (length(-20.0, -35.0, 14.0),))
    plan = make_plan(part, contour_of(SLEEVE), SHOP, PlanOptions())
    (line,) = plan.measuring
    assert "no offset changes it" in line.correct and "in the program" in line.correct


def test_a_groove_has_its_floor_and_its_width_in_the_list() -> None:
    """The floor is corrected in X like any diameter; the width is that of the blade, whatever its offset."""
    ringed = solid([(0, 11), (-1, 12), (-20, 12), (-20, 11), (-21.3, 11), (-21.3, 12), (-44, 12), (-45, 11)])
    floor = Limits(
        what="diameter", nominal=22.0, upper=0.0, lower=-0.21, z_front=-20.0, z_back=-21.3, r=11.0,
        text="22 h12",
    )  # fmt: skip
    part = part_of(ringed, (floor, replace(length(-20.0, -21.3, 12.0), text="1.3 H13")))
    plan = make_plan(part, contour_of(ringed), SHOP, PlanOptions())
    by_size = {line.nominal: line for line in plan.measuring}
    steps = {s.no: s for u in plan.setups for s in u.steps}
    assert all(steps[line.step].operation == "groove" for line in by_size.values())
    assert by_size[22.0].correct.endswith("too large: X smaller")
    width = next(line for size, line in by_size.items() if size < 2.0)
    assert "blade is wider" in width.correct
    assert measuring_list(part, plan.setups) == plan.measuring
