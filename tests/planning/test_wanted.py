"""The hint beside what no tool reaches names the tool that would."""

from __future__ import annotations

import pytest
from shapely import Polygon, box

from dxf2turn.contour.model import Profile
from dxf2turn.planning.wanted import tool_wanted
from tests.planning.hand_parts import bored, part_of
from tests.random_parts import Corner, profile_of

BLIND = profile_of(
    [
        Corner(0.0, 7.0, "front"), Corner(0.0, 16.0, "outside"), Corner(-100.0, 16.0, "back"),
        Corner(-100.0, 0.0, "axis"), Corner(-90.0, 0.0, "inside"), Corner(-90.0, 7.0, "inside"),
    ]
)  # fmt: skip
RECESS = bored([(0, 30), (-50, 30)], [(-50, 12.5), (-35, 12.5), (-35, 16), (-30, 16), (-30, 12.5), (0, 12.5)])
FACED = profile_of(
    [
        Corner(0.0, 0.0, "front"), Corner(0.0, 4.0, "front"), Corner(-3.0, 4.0, "front"),
        Corner(-3.0, 7.0, "front"),
        Corner(0.0, 7.0, "front"), Corner(0.0, 25.0, "outside"), Corner(-30.0, 25.0, "back"),
        Corner(-30.0, 0.0, "axis"),
    ]
)  # fmt: skip
WIDENS = bored([(0, 30), (-50, 30)], [(-50, 22), (-20, 10), (0, 10)])


@pytest.mark.parametrize(
    ("profile", "area", "words"),
    [
        (FACED, box(-3, 4, 0, 7), ["face grooving blade", "3 mm wide", "3 mm deep", "enters at 14 mm"]),
        (BLIND, box(-90, 0, -87, 7), ["flat drill of 14 mm", "reaches 90 mm"]),
        (
            RECESS,
            box(-35, 12.5, -30, 16),
            ["inside grooving blade", "5 mm wide", "3.5 mm deep", "bore of 25 mm"],
        ),
        # The back is nearer and wider: through the front the bar would have to pass 20 mm.
        (WIDENS, Polygon([(-40, 17), (-40, 18), (-45, 20), (-45, 19)]), ["boring bar", "sticks out 10 mm"]),
    ],
)
def test_the_hint_names_the_tool(profile: Profile, area: Polygon, words: list[str]) -> None:
    """Size, reach and the bore that it has to pass."""
    hint = tool_wanted(part_of(profile), area)
    assert [word for word in words if word not in hint] == [], hint


def test_a_wall_that_opens_away_asks_for_an_edge_that_is_free_for_it() -> None:
    """From the front only: 12 mm of radius over 30 mm are 22 degrees."""
    closed = profile_of(
        [
            Corner(0.0, 10.0, "front"), Corner(0.0, 30.0, "outside"), Corner(-60.0, 30.0, "back"),
            Corner(-60.0, 0.0, "axis"), Corner(-50.0, 0.0, "inside"), Corner(-50.0, 22.0, "inside"),
            Corner(-20.0, 10.0, "inside"),
        ]
    )  # fmt: skip
    hint = tool_wanted(part_of(closed), Polygon([(-40, 17), (-40, 18), (-45, 20), (-45, 19)]))
    assert "bore of 20 mm" in hint and "sticks out 45 mm" in hint and "22 degrees" in hint
