"""The least cutting time of single steps, against closed formulas and hand counts."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely
from shapely.geometry import box

from dxf2turn.planning.bound import least_time
from dxf2turn.planning.model import Move, MoveKind, Spindle, Step
from dxf2turn.shop.load import load_shop
from dxf2turn.shop.speeds import facing_time_at_speed, turning_time_at_speed
from tests.planning.hand_tools import blade

SPINDLE = Spindle(mode="surface speed", value=100.0, limit_rpm=9000.0, direction="M03")
FIXED = Spindle(mode="rpm", value=500.0, limit_rpm=9000.0, direction="M03")
PRACTICE = load_shop(None).practice
NOWHERE = shapely.LineString([(900, 900), (901, 900)])


def step(operation: str, spindle: Spindle = SPINDLE, **more) -> Step:
    values = {
        "no": 10, "operation": operation, "tool": blade(3.0), "side": "outside", "spindle": spindle,
        "feed": 0.2, "depth": 2.0, "passes": 1, "features": (), "why": "",
    }  # fmt: skip
    return Step(**{**values, **more})


def test_roughing_counts_whole_passes() -> None:
    """5 mm on the radius at 2 mm depth are three passes: at 500 rev/min and 0.2 mm, 40 mm take 24 s each."""
    cut = box(-40, 10, 0, 15)
    assert least_time(step("rough turn", FIXED), cut, NOWHERE, PRACTICE) == pytest.approx(72.0)


def test_one_pass_at_surface_speed_is_the_textbook_formula() -> None:
    """t = pi D L / (1000 vc f) on the diameter left behind (published)."""
    cut = box(-40, 10, 0, 12)
    minutes = turning_time_at_speed(20.0, 40.0, 0.2, 100.0)
    assert least_time(step("rough turn"), cut, NOWHERE, PRACTICE) == pytest.approx(60.0 * minutes, rel=1e-3)


def test_facing_is_the_textbook_formula() -> None:
    """t = pi (D1^2 - D2^2) / (4000 vc f) (published)."""
    cut = box(0, 10, 1, 30)
    minutes = facing_time_at_speed(60.0, 20.0, 0.2, 100.0)
    assert least_time(step("face", depth=1.0), cut, NOWHERE, PRACTICE) == pytest.approx(
        60.0 * minutes, rel=1e-3
    )


def test_finishing_counts_the_surface() -> None:
    """A shoulder of 5 mm and 30 mm of cylinder: 35 mm at 0.2 mm and 500 rev/min take 21 s."""
    surface = shapely.LineString([(0, 10), (-30, 10), (-30, 15)])
    cut = surface.buffer(0.3, single_sided=True)
    assert least_time(step("finish turn", FIXED), cut, surface, PRACTICE) == pytest.approx(21.0, rel=0.02)


def test_a_plunge_of_the_blade_s_width_takes_its_depth() -> None:
    """A blade that fills the groove: depth / (f n) = 4 / (0.2 * 500) min."""
    cut = box(-13, 8, -10, 12)
    assert least_time(step("groove", FIXED), cut, NOWHERE, PRACTICE) == pytest.approx(
        60.0 * 4.0 / 100.0, rel=1e-3
    )


def test_threads_count_their_passes() -> None:
    """Two passes of 30 mm at lead 1.5 and 500 rev/min take 2.4 s each."""
    moves = (
        Move(MoveKind.RAPID, 0, 10), Move(MoveKind.THREAD, -30, 10, lead=1.5), Move(MoveKind.RAPID, 0, 10),
        Move(MoveKind.THREAD, -30, 9.8, lead=1.5),
    )  # fmt: skip
    done = step("thread", FIXED, moves=moves)
    assert least_time(done, shapely.Polygon(), NOWHERE, PRACTICE) == pytest.approx(4.8)


def test_a_drill_counts_its_depth() -> None:
    """25 mm at 0.2 mm and 500 rev/min take 15 s."""
    cut = box(-25, 0, 0, 5)
    drill = step("drill", FIXED, tool=replace(blade(3.0), kind="drill", width=None))
    assert least_time(drill, cut, NOWHERE, PRACTICE) == pytest.approx(15.0)


def test_hairs_that_the_flattening_leaves_do_not_count() -> None:
    """A layer of 2 micrometres over a long surface is no cut."""
    hair = box(-100, 10, 0, 10.002)
    assert least_time(step("rough turn", FIXED), hair, NOWHERE, PRACTICE) == 0.0
    assert math.isfinite(least_time(step("groove", FIXED), hair, NOWHERE, PRACTICE))


def test_a_shallow_cut_takes_its_runs_or_its_area_not_both() -> None:
    """2 mm deep, 8 wide, a blade of 3: at 100 mm/min the area takes 16/3 mm; the 12 mm of walls and floor
    less the 3 that a plunge makes are longer: 9 mm. Deeper than 0.75 widths both count."""
    surface = shapely.LineString([(-18, 12), (-18, 10), (-10, 10), (-10, 12)])
    shallow = least_time(step("groove", FIXED), box(-18, 10, -10, 12), surface, PRACTICE)
    assert shallow == pytest.approx(60.0 * 9.0 / 100.0, rel=0.01)
    surface = shapely.LineString([(-18, 14), (-18, 10), (-10, 10), (-10, 14)])
    deep = least_time(step("groove", FIXED), box(-18, 10, -10, 14), surface, PRACTICE)
    assert deep == pytest.approx(60.0 * (32.0 / 3.0 + 13.0) / 100.0, rel=0.01)


def test_a_deeper_stretch_does_not_make_the_rest_of_a_cut_deep() -> None:
    """40 mm along at 2 mm deep, the last 2 mm at 4 mm: only those are plunged beside the 40 mm of floor and
    the step of 2 mm, less the 3 that a plunge makes; at 100 mm/min."""
    cut = shapely.union(box(-40, 10, 0, 12), box(-40, 8, -38, 12))
    surface = shapely.LineString([(-40, 8), (-38, 8), (-38, 10), (0, 10)])
    runs = 42.0 - 3.0
    bound = least_time(step("groove", FIXED), cut, surface, PRACTICE)
    assert bound == pytest.approx(60.0 * (8.0 / 3.0 + runs) / 100.0, rel=0.02)


def test_threads_count_their_full_length_only() -> None:
    """A pass of 30 mm over 24 mm of thread counts 24: 1.92 s at lead 1.5 and 500 rev/min."""
    moves = (Move(MoveKind.RAPID, 0, 10), Move(MoveKind.THREAD, -30, 10, lead=1.5))
    done = step("thread", FIXED, moves=moves)
    assert least_time(done, shapely.Polygon(), NOWHERE, PRACTICE, thread=24.0) == pytest.approx(1.92)
