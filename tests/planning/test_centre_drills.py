"""Centre holes of every form and number: the crib has the drill, and the plan makes the hole."""

from __future__ import annotations

import math

import pytest

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc
from dxf2turn.planning.centre_holes import drill_for
from dxf2turn.shop.load import load_shop
from dxf2turn.tables import rows
from tests.planning.test_unseen_parts import codes, edge, planned, turned
from tests.random_parts import Corner, profile_of

SHOP = load_shop(None)
PIN = turned((0, 0), edge(0, 30, 0.5), edge(-60, 30, 0.5), (-60, 0))
INCH = 25.4


def test_the_crib_has_a_drill_for_every_centre_hole_of_the_tables() -> None:
    """ISO 6411 forms A, B, R and the numbered drills of ASME B94.11M."""
    names = [(row["form"], row["d_mm"]) for row in rows("centre_holes")]
    names += [(row["form"], f"#{row['number']}") for row in rows("centre_drills_inch")]
    assert [name for name in names if drill_for(SHOP, *name) is None] == []


@pytest.mark.parametrize("size", ["1", "3.15", "10"])
def test_the_arc_of_form_r_touches_a_60_degree_centre_inside_its_mouth(size: str) -> None:
    """The centre runs where the arc's tangent stands at 30 degrees: between pilot and mouth D2."""
    tool = drill_for(SHOP, "R", size)
    assert tool is not None and tool.diameter_mm is not None
    contact = float(size) + 2.0 * tool.round_radius * (1.0 - math.cos(math.radians(30.0)))
    assert float(size) < contact < tool.diameter_mm


@pytest.mark.parametrize(
    ("note", "mouth", "pilot"),
    [("ISO 6411 - R 2.5/5.3", 5.3, 2.5), ("#3 CENTER DRILL", 5.08, 2.779), ("#14 CENTER DRILL", 6.35, 2.779)],
)
def test_a_named_centre_hole_is_drilled_with_its_own_drill(note: str, mouth: float, pilot: float) -> None:
    """Mouth and pilot are those of the table (#3: drill 7/64 in, #14: bell 1/4 in); nothing is left."""
    job = planned(PIN, (note, 0.0, 3.0))
    assert not codes(job) & {
        "planning/no-centre-drill",
        "planning/centre-hole-not-made",
        "planning/left-over",
    }
    assert job.part is not None and job.plan is not None
    walls = job.part.target.run("inside")
    assert 2.0 * max(job.part.target.segments[i].end.y for i in walls) == pytest.approx(mouth, abs=1e-3)
    assert any(2.0 * job.part.target.segments[i].start.y == pytest.approx(pilot, abs=1e-3) for i in walls)
    drills = [s for setup in job.plan.setups for s in setup.steps if s.operation == "centre drill"]
    assert len(drills) == 1


def test_the_round_of_form_r_stays_an_arc() -> None:
    """The target has the arc itself, not its chords; its radius is one of ISO 6411 (from memory)."""
    job = planned(PIN, ("ISO 6411 - R 4/8.5", -60.0, 3.0))
    assert job.part is not None
    arcs = [s for s in job.part.target.segments if isinstance(s, Arc)]
    assert len(arcs) == 1 and 10.0 <= arcs[0].radius <= 12.5


def test_a_drawn_form_r_is_made() -> None:
    """Drawn with an arc of 8 mm (ISO 6411 allows 6.3 to 8, from memory): the crib's R2.5 makes it."""
    rise = math.sqrt(8.0**2 - (8.0 - 1.4) ** 2)
    pin = profile_of(
        [
            Corner(0.0, 2.65, "front"), Corner(0.0, 15.0, "outside"), Corner(-60.0, 15.0, "back"),
            Corner(-60.0, 0.0, "axis"), Corner(-7.0, 0.0, "inside"), Corner(-6.3, 1.25, "inside"),
            Corner(-rise, 1.25, "inside", centre=Point(-rise, 9.25)),
        ]
    )  # fmt: skip
    job = planned(pin)
    assert "planning/left-over" not in codes(job)
    assert job.plan is not None
    steps = [step for setup in job.plan.setups for step in setup.steps]
    assert [s.tool.insert for s in steps if s.operation == "centre drill" and s.tool] == ["R2.5"]
