"""Rules about grooves: width, depth, access, ribs. Each with a part that passes and one that does not."""

from __future__ import annotations

import pytest

from tests.checks.kit import FIX, NOTE, SHOP, STOP, C, case_of, found, outcome, severities, without


def grooved(width: float, depth: float, at: float = -20.0, d: float = 60.0, end: float = -80.0) -> list[C]:
    """A bar with one square groove."""
    floor = d - 2.0 * depth
    return [
        C(0, 0), C(0, d), C(at, d), C(at, floor), C(at - width, floor), C(at - width, d), C(end, d),
        C(end, 0),
    ]  # fmt: skip


def bored(width: float, depth: float, d: float = 30.0, at: float = -10.0, length: float = 40.0) -> tuple:
    """A tube with one square groove in its bore."""
    floor = d + 2.0 * depth
    outer = [C(0, d), C(0, 80), C(-length, 80), C(-length, d)]
    return outer, [C(at - width, d), C(at - width, floor), C(at, floor), C(at, d)]


def faced(width: float, depth: float, inner_d: float) -> list[C]:
    """A disc with a ring groove in its front face."""
    outer_d = inner_d + 2.0 * width
    return [
        C(0, 0), C(0, inner_d), C(-depth, inner_d), C(-depth, outer_d), C(0, outer_d), C(0, 150), C(-40, 150),
        C(-40, 0),
    ]  # fmt: skip


def test_groove_as_wide_as_the_narrowest_blade_passes() -> None:
    """1.0 mm is just wide enough for the 1.0 mm blade."""
    assert not found("groove-width", case_of(grooved(1.0, 2.0)))


def test_groove_narrower_than_any_blade_stops() -> None:
    """0.4 mm is narrower than every blade: no plan can make it, and the place is said."""
    result = outcome("groove-width", case_of(grooved(0.4, 2.0)))
    (finding,) = result.findings
    assert finding.severity is STOP
    assert finding.measured == pytest.approx(0.4) and finding.limit == 1.0
    assert finding.where.z == pytest.approx(-20.2)
    assert "narrowest blade is 1 mm" in finding.text


def test_groove_width_is_skipped_without_grooves() -> None:
    """The rule says that it does not apply."""
    result = outcome("groove-width", case_of([C(0, 0), C(0, 20), C(-30, 20), C(-30, 0)]))
    assert result.outcome.value == "skip" and "no groove" in result.reason


def test_crib_without_blades_can_not_groove() -> None:
    """Without any blade every square groove stops."""
    case = case_of(grooved(3.0, 2.0), shop=without(SHOP, "grooving", "parting"))
    assert severities("groove-width", case) == [STOP]


def test_groove_within_reach_passes() -> None:
    """3 mm wide and 10 mm deep is within the reach of a 3 mm blade."""
    assert not found("groove-depth", case_of(grooved(3.0, 10.0)))


def test_groove_beyond_reach_stops() -> None:
    """2 mm wide and 25 mm deep: blades that fit reach 16 mm."""
    result = outcome("groove-depth", case_of(grooved(2.0, 25.0)))
    (finding,) = result.findings
    assert finding.severity is STOP and finding.limit == 16.0


def test_wide_recess_is_turned_however_deep() -> None:
    """60 mm wide and 55 mm deep: no blade reaches, but turning tools of both hands have room."""
    assert not found("groove-depth", case_of(grooved(60.0, 55.0, d=180.0, end=-160.0)))
    assert severities("groove-depth", case_of(grooved(30.0, 55.0, d=180.0, end=-160.0))) == [STOP]


def test_deep_groove_is_noted() -> None:
    """Deeper than 5 widths is not easy in steel (S39)."""
    assert severities("groove-depth", case_of(grooved(2.0, 12.0))) == [NOTE]


def test_inside_groove_that_a_bar_reaches_passes() -> None:
    """2 mm wide, 2 mm deep, 12 mm down a bore of 30 mm."""
    assert not found("inside-groove", case_of(*bored(2.0, 2.0)))


@pytest.mark.parametrize(
    ("width", "depth", "d", "at", "length", "words"),
    [
        (0.6, 1.0, 30.0, -10.0, 40.0, "narrowest blade is 1 mm"),
        (2.0, 1.0, 5.0, -6.0, 40.0, "is reached through 5 mm"),
        (2.0, 7.5, 20.0, -10.0, 40.0, "is 7.5 mm deep"),
        (3.0, 2.0, 30.0, -150.0, 300.0, "from the end"),
    ],
)
def test_inside_groove_that_no_bar_makes_stops(
    width: float, depth: float, d: float, at: float, length: float, words: str
) -> None:
    """Too narrow, too small a bore, too deep, too far in: each stops with its own reason."""
    result = outcome("inside-groove", case_of(*bored(width, depth, d, at, length)))
    (finding,) = result.findings
    assert finding.severity is STOP and words in finding.text


def test_face_groove_within_a_blade_passes() -> None:
    """3 mm wide, 6 mm deep, outer diameter 56 mm: within the blade for 50 to 300."""
    assert not found("face-groove", case_of(faced(3.0, 6.0, 50.0)))


@pytest.mark.parametrize(
    ("width", "depth", "inner", "words"),
    [
        (1.2, 3.0, 50.0, "narrowest face grooving blade is 2 mm"),
        (2.2, 9.5, 60.0, "reach 8 mm"),
        (2.2, 4.0, 9.0, "outer diameter of 13.4 mm"),
    ],
)
def test_face_groove_that_no_blade_makes_stops(width: float, depth: float, inner: float, words: str) -> None:
    """Too narrow, too deep, too small a ring: each stops with its own reason."""
    result = outcome("face-groove", case_of(faced(width, depth, inner)))
    (finding,) = result.findings
    assert finding.severity is STOP and words in finding.text


def test_rib_thicker_than_the_groove_is_deep_passes() -> None:
    """20 mm before a groove of 4 mm depth is plenty."""
    assert not found("rib", case_of(grooved(3.0, 4.0)))


def test_thin_rib_is_to_fix() -> None:
    """1 mm of material before a groove 4 mm deep breaks out."""
    result = outcome("rib", case_of(grooved(3.0, 4.0, at=-1.0)))
    (finding,) = result.findings
    assert finding.severity is FIX
    assert finding.measured == pytest.approx(1.0) and finding.limit == pytest.approx(4.0)


def test_rib_between_two_grooves_is_measured() -> None:
    """The land between two grooves counts for both."""
    outer = [
        C(0, 0), C(0, 60), C(-20, 60), C(-20, 50), C(-23, 50), C(-23, 60), C(-25, 60), C(-25, 50), C(-28, 50),
        C(-28, 60), C(-60, 60), C(-60, 0),
    ]  # fmt: skip
    assert severities("rib", case_of(outer)) == [FIX, FIX]


def test_upright_walls_pass() -> None:
    """Square grooves outside, inside and in a face have no overhang, nor has a recess in a shoulder."""
    recess = [
        C(0, 0), C(0, 20), C(-30, 20), C(-30, 40), C(-25, 40), C(-25, 60), C(-50, 60), C(-50, 0),
    ]  # fmt: skip
    assert not found("overhanging-wall", case_of(grooved(3.0, 4.0)))
    assert not found("overhanging-wall", case_of(*bored(3.0, 4.0)))
    assert not found("overhanging-wall", case_of(faced(3.0, 4.0, 50.0)))
    assert not found("overhanging-wall", case_of(recess))


def test_dovetail_stops() -> None:
    """Walls that lean over by 30 degrees can't be made by plain turning."""
    outer = [C(0, 0), C(0, 60), C(-20, 60), C(-17, 48), C(-28, 48), C(-25, 60), C(-80, 60), C(-80, 0)]
    result = outcome("overhanging-wall", case_of(outer))
    assert [finding.severity for finding in result.findings] == [STOP, STOP]
    assert "leans over by 26.6 degrees" in result.findings[0].text


def test_slightly_leaning_wall_is_noted() -> None:
    """A wall that leans less than an edge of the crib is a note: 8 degrees against 25.5."""
    outer = [C(0, 0), C(0, 60), C(-20, 60), C(-19.157, 48), C(-30, 48), C(-30, 60), C(-80, 60), C(-80, 0)]
    assert severities("overhanging-wall", case_of(outer)) == [NOTE]


def test_dovetail_inside_stops() -> None:
    """The same in a bore."""
    outer = [C(0, 30), C(0, 80), C(-40, 80), C(-40, 30)]
    inner = [C(-16, 30), C(-19, 42), C(-7, 42), C(-10, 30)]
    assert severities("overhanging-wall", case_of(outer, inner)) == [STOP, STOP]
