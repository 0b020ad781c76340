"""Thread passes: chip areas, infeed angle, run-in."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.planning.model import MoveKind
from dxf2turn.planning.operations.thread import (
    ThreadCut,
    fastest_rpm,
    pass_depths,
    run_in,
    thread_cuts,
)
from dxf2turn.shop.load import load_shop

HALF = math.radians(30)
PRACTICE = load_shop(None).practice.threading


def cut(**more: float) -> ThreadCut:
    values: dict = {
        "start": 4.0, "end": -22.0, "crest": 10.0, "root": 9.08, "clear": 11.0, "slope": 0.0, "pitch": 1.5,
        "starts": 1, "form_angle": math.radians(60), "depths": pass_depths(0.92, 9, HALF, least=0.05),
        "spring_passes": PRACTICE.spring_passes, "straight_passes": PRACTICE.straight_passes,
        "flank_relief": math.radians(PRACTICE.flank_relief_deg),
    }  # fmt: skip
    return ThreadCut(**{**values, **more})


def tips(moves) -> list[tuple[float, float]]:
    """Where each thread move starts."""
    return [(a.z, a.r) for a, b in zip(moves, moves[1:]) if b.kind is MoveKind.THREAD]


def test_passes_have_equal_chip_area() -> None:
    """A V cut to depth t has the area t^2 tan(a/2): 0.45, 0.636, 0.779, 0.9 add equal areas (by hand)."""
    depths = (0.0, *pass_depths(0.9, 4, HALF, least=0.05))
    assert [b * b - a * a for a, b in zip(depths, depths[1:])] == pytest.approx([0.2025] * 4)


def test_passes_of_a_flat_tip_have_equal_chip_area() -> None:
    """With a tip 1.3 wide and 15 degree flanks every pass takes 1 / 15 of 1.3 t + t^2 tan 15 (by hand)."""
    depths = (0.0, *pass_depths(2.25, 15, math.radians(15), 1.3, least=0.05))
    areas = [1.3 * t + t * t * math.tan(math.radians(15)) for t in depths]
    assert [b - a for a, b in zip(areas, areas[1:])] == pytest.approx([areas[-1] / 15] * 15)


@settings(derandomize=True, max_examples=80, deadline=None)
@given(st.floats(0.1, 5.0), st.integers(3, 40), st.floats(0.02, 0.06))
def test_no_pass_rubs_and_the_last_one_reaches_the_depth(depth: float, count: int, least: float) -> None:
    """Every pass goes at least half the least depth deeper; the last one ends exactly on the depth."""
    depths = (0.0, *pass_depths(depth, count, HALF, least=least))
    steps = [b - a for a, b in zip(depths, depths[1:])]
    assert depths[-1] == depth
    assert min(steps) >= min(0.5 * least, depth) - 1e-9
    assert len(steps) <= count


def test_infeed_runs_along_the_flank_at_half_a_degree_less_than_it() -> None:
    """For 60 degrees the axial step is the radial one times tan 29.5 (published practice)."""
    places = tips(thread_cuts(cut()))
    (z1, r1), (z2, r2) = places[0], places[1]
    assert (z1 - z2) / (r1 - r2) == pytest.approx(math.tan(math.radians(29.5)))


def test_the_last_passes_go_straight_in_and_spring() -> None:
    """The last two infeeds and the spring pass start at one z; the spring pass repeats the depth."""
    places = tips(thread_cuts(cut()))
    assert len({round(z, 9) for z, _ in places[-2 - PRACTICE.spring_passes :]}) == 1
    assert places[-1] == pytest.approx(places[-2])


def test_starts_are_cut_one_pitch_apart_with_the_lead() -> None:
    """A thread of two starts has passes one pitch apart in z and moves of twice the pitch."""
    moves = thread_cuts(cut(starts=2))
    places = tips(moves)
    half = len(places) // 2
    assert places[half][0] - places[0][0] == pytest.approx(1.5)
    assert {m.lead for m in moves if m.kind is MoveKind.THREAD} == {3.0}


def test_the_tool_leaves_the_thread_before_it_travels_back() -> None:
    """Between two passes the tool goes out along X first, then along Z."""
    moves = thread_cuts(cut())
    for before, move in zip(moves, moves[1:]):
        if move.kind is MoveKind.RAPID and before.kind is MoveKind.THREAD:
            assert (move.z, move.r) == (before.z, 11.0)


def test_pull_out_ends_outside_the_crest() -> None:
    """Without a relief the tool leaves the thread on a slope that ends outside the crest."""
    moves = thread_cuts(cut(pull_out=1.5))
    slopes = [(a, b) for a, b in zip(moves, moves[1:]) if b.kind is MoveKind.THREAD and abs(b.r - a.r) > 1e-9]
    assert slopes and all(b.r > 10.0 and a.z - b.z == pytest.approx(1.5) for a, b in slopes)


def test_run_in_is_the_way_to_get_up_to_speed() -> None:
    """s = v^2 / (2 a): 3 mm lead at 1000 rev/min is 50 mm/s, at 500 mm/s2 that takes 2.5 mm (by hand)."""
    assert run_in(3.0, 1000.0, 500.0, 1.0) == pytest.approx(2.5)


def test_a_short_run_in_lowers_the_spindle_speed() -> None:
    """The speed at which the run-in at hand is just enough gives back that run-in."""
    n = fastest_rpm(2.0, 1.0, 500.0, 1e6)
    assert run_in(2.0, n, 500.0, 0.1) == pytest.approx(1.0)


def test_the_slide_rate_bounds_the_spindle_speed() -> None:
    """Lead times speed never exceeds the machine's threading rate: 3000 mm/min at lead 6 is 500 rev/min."""
    assert fastest_rpm(6.0, 1e6, 1e6, 3000.0) == pytest.approx(500.0)
