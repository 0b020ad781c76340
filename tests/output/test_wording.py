"""Numbers as people read them."""

from __future__ import annotations

import pytest

from dxf2turn.output.wording import Wording, duration, one_line
from dxf2turn.planning.model import Spindle
from dxf2turn.units import Unit

MM, INCH = Wording(Unit.MM), Wording(Unit.INCH)


@pytest.mark.parametrize(
    ("value", "mm", "inch"),
    [(25.4, "25.400", "1.0000"), (-0.0004, "0.000", "0.0000"), (-33.0, "-33.000", "-1.2992")],
)
def test_lengths_have_fixed_decimals_and_no_minus_zero(value: float, mm: str, inch: str) -> None:
    """Three decimals in mm, four in inch; a rounded zero has no sign."""
    assert (MM.length(value), INCH.length(value)) == (mm, inch)


def test_x_is_a_diameter() -> None:
    """X of radius 10 is 20."""
    assert MM.x(10.0) == "20.000"


def test_surface_speed_in_feet_beside_inches() -> None:
    """1 m = 1 / 0.3048 ft (international foot, exact): 100 m/min = 328 ft/min."""
    assert MM.surface_speed(100.0) == "100 m/min"
    assert INCH.surface_speed(100.0) == "328 ft/min"


def test_spindle_words_name_the_limit_under_constant_surface_speed() -> None:
    """The limit is a safety matter: it stands beside every surface speed."""
    words = MM.spindle(Spindle(mode="surface speed", value=180, limit_rpm=2500, direction="M04"))
    assert words == "180 m/min, at most 2500 rev/min M04"


@pytest.mark.parametrize(
    ("seconds", "words"), [(0.0, "0.0 s"), (59.94, "59.9 s"), (59.96, "1 min 00 s"), (3599.6, "1 h 00 min")]
)
def test_durations_carry_over(seconds: float, words: str) -> None:
    """Rounding never shows 60 seconds or 60 minutes."""
    assert duration(seconds) == words


def test_one_line_drops_line_breaks_and_controls() -> None:
    """Escape sequences and line breaks from a drawing never reach a terminal or a table."""
    assert one_line("a\x1b[31mb\r\nc\u2028d") == "a [31mb c d"
