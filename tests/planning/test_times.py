"""Times against worked examples. Sources are named beside each check; "computed here" marks answers that
were worked out by hand from a published formula."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.geometry.point import Point
from dxf2turn.planning.model import Move, MoveKind, Spindle
from dxf2turn.planning.times import cut_time, rapid_time, spindle_rpm, travel_time
from tests.planning.hand_shop import LATHE

RAPID, FEED, ARC, THREAD = MoveKind.RAPID, MoveKind.FEED, MoveKind.ARC, MoveKind.THREAD
SLOW = replace(LATHE, min_rpm=1.0, max_rpm=9000.0, feed_max_mm_per_min=1e6)


def surface(speed: float, limit: float = 9000.0) -> Spindle:
    return Spindle(mode="surface speed", value=speed, limit_rpm=limit, direction="M04")


def rpm(value: float) -> Spindle:
    return Spindle(mode="rpm", value=value, limit_rpm=9000.0, direction="M04")


def straight(z0: float, r0: float, z1: float, r1: float, feed: float) -> tuple[Move, ...]:
    return Move(RAPID, z0, r0), Move(FEED, z1, r1, feed=feed)


def test_turning_time_of_a_textbook() -> None:
    """L 100 mm, f 0.2, n 1000 takes 0.5 min (published worked example, t = L / (f n))."""
    assert cut_time(straight(0, 20, -100, 20, 0.2), rpm(1000), SLOW) == pytest.approx(30.0)


def test_facing_at_one_speed() -> None:
    """450 to 150 mm at 50 rev/min and 0.3 mm/rev takes 10 min (published problem, answer computed here)."""
    assert cut_time(straight(0, 225, 0, 75, 0.3), rpm(50), SLOW) == pytest.approx(600.0)


def test_facing_at_constant_surface_speed() -> None:
    """450 to 150 mm, 60 m/min, 0.3 mm/rev: pi (D1^2 - D2^2) / (4000 vc f) = 7.854 min (published problem)."""
    assert cut_time(straight(0, 225, 0, 75, 0.3), surface(60), SLOW) == pytest.approx(471.24, abs=0.3)


def test_facing_to_the_centre_with_a_spindle_limit() -> None:
    """60 mm to the centre, 180 m/min, 0.2 mm/rev, 2500 rev/min at most: 0.0900 min (computed here)."""
    seconds = cut_time(straight(0, 30, 0, 0, 0.2), surface(180, 2500), SLOW)
    assert seconds == pytest.approx(60 * 0.0900, abs=0.03)


def test_a_cone_at_constant_surface_speed() -> None:
    """900 long, 150 to 300 mm, 200 m/min, 0.25 mm/rev: 12.768 min (published problem, computed here)."""
    assert cut_time(straight(0, 75, -900, 150, 0.25), surface(200), SLOW) == pytest.approx(766.1, abs=0.3)


def test_spindle_speed_follows_the_diameter() -> None:
    """60 m/min gives 42.44 rev/min at 450 mm and 127.32 at 150 mm (published problem, computed here)."""
    assert spindle_rpm(surface(60), 225) == pytest.approx(42.44, abs=0.05)
    assert spindle_rpm(surface(60), 75) == pytest.approx(127.32, abs=0.05)


def test_the_spindle_limit_holds_at_the_centre() -> None:
    """Towards the axis the speed never rises above the limit."""
    assert spindle_rpm(surface(200, 2000), 0.0) == 2000


def test_thread_time_counts_revolutions() -> None:
    """30 mm of 1.5 mm lead are 20 revolutions: 2.4 s at 500 rev/min (counted by hand)."""
    moves = (Move(RAPID, 0, 10), Move(THREAD, -30, 10, lead=1.5))
    assert cut_time(moves, rpm(500), SLOW) == pytest.approx(2.4)


def test_a_feed_above_the_slide_rate_is_slowed() -> None:
    """The slide's highest feed rate bounds the time from below."""
    slow_slide = replace(SLOW, feed_max_mm_per_min=100.0)
    assert cut_time(straight(0, 20, -50, 20, 0.5), rpm(1000), slow_slide) == pytest.approx(30.0)


@settings(derandomize=True, max_examples=60, deadline=None)
@given(
    st.floats(0.1, 60),
    st.floats(-3, 3),
    st.floats(0.5, 5.5),
    st.floats(0.5, 20),
    st.floats(20, 300),
    st.booleans(),
)
def test_arc_time_is_the_sum_of_short_chords(
    centre: float, angle: float, sweep: float, radius: float, speed: float, clockwise: bool
) -> None:
    """The closed form for arcs agrees with the sum over 4000 chords (also through the spindle limit)."""
    sweep = -sweep if clockwise else sweep
    places = [
        (radius * math.cos(angle + sweep * i / 4000), centre + radius * math.sin(angle + sweep * i / 4000))
        for i in range(4001)
    ]
    start, end = places[0], places[-1]
    arc = (
        Move(RAPID, *start),
        Move(ARC, *end, feed=0.1, centre=Point(0.0, centre), clockwise=clockwise),
    )
    chords = (Move(RAPID, *start), *(Move(FEED, *place, feed=0.1) for place in places[1:]))
    spindle = surface(speed, 1500)
    assert cut_time(arc, spindle, SLOW) == pytest.approx(cut_time(chords, spindle, SLOW), rel=1e-4)


def test_a_rapid_takes_the_slower_slide() -> None:
    """Both slides move at once; a long way is distance / rate plus the time to speed up (by hand)."""
    lathe = replace(
        LATHE, rapid_z_mm_per_min=6000.0, rapid_x_mm_per_min=3000.0, acceleration_mm_per_s2=1000.0
    )
    moves = (Move(RAPID, 0, 0), Move(RAPID, -100, 25))
    assert rapid_time(moves, lathe) == pytest.approx(1.1)


def test_a_short_travel_never_reaches_the_rate() -> None:
    """2 sqrt(s / a) below the way that speeding up takes (constant acceleration)."""
    assert travel_time(1.0, 60000.0, 1000.0) == pytest.approx(2.0 * math.sqrt(1.0 / 1000.0))
