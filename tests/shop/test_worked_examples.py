"""The shop's formulas against worked examples.

Each row is copied from the reference table of worked examples with its id, standing and source key (S45 ...,
see docs/tables.md). "published": inputs and answer were read in the source. "problem published": the answer
was worked out from the source's formula. "computed": only the formula was read.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from dxf2turn.shop import bending, forces, roughness, speeds
from dxf2turn.shop.model import Material

LBF, INCH, PSI = 4.4482216, 25.4, 6.8947573e-3  # N, mm and N/mm2 in one pound-force, inch and psi


def steel(kc11: float, mc: float) -> Material:
    """A material with only its force constants."""
    return Material(
        name="test", group="P", description="", kc11=kc11, mc=mc, density=7850.0, youngs_modulus=210000.0,
        speed_class="mild",
    )  # fmt: skip


def kc(kc11: float, mc: float, thickness: float) -> float:
    return forces.specific_force(steel(kc11, mc), thickness)


def cutting_power(depth: float, feed: float, speed: float, k: float) -> float:
    return forces.cutting_power(depth * feed * k, speed)


Row = tuple[str, str, Callable[[], float], float, float]

SPEEDS: list[Row] = [
    ("speed-1", "published S45", lambda: speeds.surface_speed(50, 700), 110, 0.5),
    ("speed-2 (ft/min)", "published S45", lambda: speeds.surface_speed(2 * INCH, 700) / 0.3048, 366.33, 0.3),
    ("speed-3", "published S89", lambda: speeds.surface_speed(75, 400), 94.25, 0.01),
    ("feed-1", "published S45", lambda: speeds.feed_per_rev(120, 500), 0.24, 0.001),
    ("css-1", "problem published S47", lambda: speeds.spindle_speed(450, 60), 42.44, 0.05),
    ("css-2", "problem published S47", lambda: speeds.spindle_speed(150, 60), 127.32, 0.05),
    ("rpm-1", "problem published S76", lambda: speeds.spindle_speed(6.5 * INCH, 304.8), 587.6, 0.1),
    ("cap diameter", "computed, S46", lambda: speeds.cap_diameter(180, 2500), 22.918, 0.001),
]
TIMES: list[Row] = [
    ("time-1", "published S45", lambda: speeds.turning_time(100, 0.2, 1000), 0.5, 0.001),
    ("time-2 (inch)", "published S45", lambda: speeds.turning_time(4, 0.008, 1000), 0.5, 0.001),
    ("time-4", "published S89", lambda: speeds.turning_time(200, 0.5, 400), 1.0, 0.001),
    ("facing-1", "problem published S47", lambda: speeds.facing_time(450, 150, 0.3, 50), 10, 0.001),
    ("css-3", "problem published S47", lambda: speeds.facing_time_at_speed(450, 150, 0.3, 60), 7.854, 0.005),
    ("css-cap", "computed S46", lambda: speeds.facing_time_at_speed(60, 0, 0.2, 180, 2500), 0.09, 0.0005),
    ("taper-css", "problem published S70", lambda: speeds.cone_time(150, 300, 900, 0.25, 200), 12.768, 0.005),
    ("mrr-1", "computed S29", lambda: speeds.removal_rate(120, 3, 0.2), 72, 0.01),
]
FORCES: list[Row] = [
    ("kienzle-brass-h010", "published S32", lambda: kc(780, 0.18, 0.1), 1180, 6),
    ("kienzle-brass-h063", "published S32", lambda: kc(780, 0.18, 0.63), 850, 10),
    ("kienzle-S275JR-h010", "published S32", lambda: kc(1780, 0.17, 0.1), 2630, 6),
    ("kienzle-S275JR-h063", "published S32", lambda: kc(1780, 0.17, 0.63), 1930, 10),
    ("kienzle-E335-h010", "published S32", lambda: kc(2110, 0.17, 0.1), 3120, 6),
    ("kienzle-E335-h063", "published S32", lambda: kc(2110, 0.17, 0.63), 2280, 10),
    ("kienzle-16MnCr5-h010", "published S32", lambda: kc(2100, 0.26, 0.1), 3820, 6),
    ("kienzle-16MnCr5-h063", "published S32", lambda: kc(2100, 0.26, 0.63), 2370, 10),
    ("kienzle-42CrMo4-h010", "published S32", lambda: kc(2500, 0.26, 0.1), 4550, 6),
    ("kienzle-42CrMo4-h063", "published S32", lambda: kc(2500, 0.26, 0.63), 2820, 10),
    (
        "kienzle-force",
        "computed, formula S32",
        lambda: forces.cutting_force(steel(2100, 0.26), 2.5, 0.25, math.radians(95)),
        1883.9,
        0.5,
    ),
    ("kienzle-power", "computed, formula S32", lambda: forces.cutting_power(1883.9, 150), 4.71, 0.002),
    ("force-2 (as power)", "published S89", lambda: forces.cutting_power(7000, 94.25), 10.996, 0.005),
    ("force-3 (as power)", "published S89", lambda: forces.cutting_power(9570, 94.25), 15.027, 0.01),
    ("power-1", "published S69", lambda: forces.motor_power(3 * 0.2 * 3100, 120, 0.8), 4.65, 0.005),
    (
        "facing-2",
        "problem published S47",
        lambda: cutting_power(2.5, 0.3, speeds.surface_speed(450, 50), 1550),
        1.3695,
        0.001,
    ),
    (
        "facing-3",
        "problem published S47",
        lambda: cutting_power(2.5, 0.3, speeds.surface_speed(150, 50), 1550),
        0.4565,
        0.001,
    ),
    (
        "power-2",
        "published S89 (mean diameter)",
        lambda: cutting_power(5, 0.5, speeds.surface_speed(70, 400), 3000),
        10.996,
        0.001,
    ),
    (
        "power-3",
        "published S89 (mean diameter)",
        lambda: cutting_power(5, 0.5, speeds.surface_speed(70, 400), 4100),
        15.027,
        0.001,
    ),
]
BENDING: list[Row] = [
    (
        "deflect-1 (inch)",
        "published, forum post S50",
        lambda: (
            bending.between_centres(20 * LBF, 30 * INCH, 30e6 * PSI, bending.second_moment(0.788 * INCH))
            / INCH
        ),
        0.0198,
        0.0002,
    ),
    (
        "deflect-2",
        "computed, formula S72",
        lambda: bending.overhung(300, 75, 210000, bending.second_moment(25)),
        0.01048,
        5e-5,
    ),
    (
        "deflect-3",
        "computed, formula S50",
        lambda: bending.between_centres(300, 300, 210000, bending.second_moment(25)),
        0.04191,
        5e-5,
    ),
    (
        "deflect-4",
        "published S90",
        lambda: bending.overhung(1, 2, 1, 1) / bending.overhung(1, 1, 1, 1),
        8,
        0.001,
    ),
]
SURFACE: list[Row] = [
    ("rough-1", "problem published S45", lambda: roughness.peak_to_valley(0.2, 0.8), 6.25, 0.01),
    (
        "nose-comp-x (inch)",
        "published, forum text S52",
        lambda: roughness.cone_shift(0.015, math.radians(60))[1],
        0.011,
        0.0001,
    ),
    (
        "nose-comp-z",
        "computed, formula S52",
        lambda: roughness.cone_shift(0.8, math.radians(45))[0],
        0.4686,
        0.0001,
    ),
    (
        "nose-change",
        "published S29",
        lambda: 0.4 * roughness.tip_shift(math.radians(80), math.radians(95))[1],
        0.04,
        0.0005,
    ),
]


@pytest.mark.parametrize(
    ("value", "expected", "within"),
    [
        pytest.param(value, expected, within, id=f"{name}, {standing}")
        for name, standing, value, expected, within in (*SPEEDS, *TIMES, *FORCES, *BENDING, *SURFACE)
    ],
)
def test_worked_example(value: Callable[[], float], expected: float, within: float) -> None:
    """The formula gives the worked example's answer within its stated tolerance."""
    assert value() == pytest.approx(expected, abs=within)


@pytest.mark.parametrize(
    ("nose", "feed", "rt", "ra"),
    # Computed rows of the table of theoretical roughness (formulas after S45).
    [(0.2, 0.05, 1.563, 0.391), (0.2, 0.1, 6.25, 1.563), (0.8, 0.2, 6.25, 1.563)],
)
def test_theoretical_roughness(nose: float, feed: float, rt: float, ra: float) -> None:
    """Height and mean roughness of the table, and the feed that gives it back."""
    assert roughness.peak_to_valley(feed, nose) == pytest.approx(rt, abs=0.001)
    assert roughness.mean_roughness(feed, nose) == pytest.approx(ra, abs=0.001)
    assert roughness.feed_for(roughness.mean_roughness(feed, nose), nose) == pytest.approx(feed)


def test_passes_round_up() -> None:
    """Number of passes = ceil((D1 - D2) / (2 ap)) (S46); an exact division takes no extra pass."""
    assert speeds.passes(50, 40, 2.5) == 2
    assert speeds.passes(50, 39.9, 2.5) == 3
    assert speeds.passes(50, 44, 0.3) == 10
    assert speeds.passes(40, 40, 1.0) == 0


def test_tube_and_supported_bar() -> None:
    """A tube's second moment is the difference of two rods; chuck and tailstock bend 7/16 of two centres."""
    assert bending.second_moment(30, 20) == pytest.approx(
        bending.second_moment(30) - bending.second_moment(20)
    )
    held = bending.chuck_and_tailstock(300, 300, 210000, 1000)
    assert held / bending.between_centres(300, 300, 210000, 1000) == pytest.approx(7 / 16)
