"""Rules about corners, slopes, tolerances, surfaces. Each with a part that passes and one that does not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dxf2turn.checks.tolerance_grade import grade_of
from dxf2turn.features.model import Knurl, Limits
from tests.checks.kit import FIX, NOTE, SHOP, C, case_of, found, outcome, severities, with_feature


def step(radius: float = 0.0, chamfer: float = 0.0) -> list[C]:
    """A shaft with one shoulder and a corner radius there."""
    return [C(0, 0), C(0, 20), C(-30, 20, radius=radius, chamfer=chamfer), C(-30, 40), C(-60, 40), C(-60, 0)]


def collar(angle_run: float) -> list[C]:
    """A shaft that falls from 40 to 30 mm towards the chuck over a length."""
    return [C(0, 0), C(0, 40), C(-30, 40), C(-30 - angle_run, 30), C(-80, 30), C(-80, 0)]


def toleranced(upper: float, lower: float, grade: int | None = None):
    """A rod of 25 mm with limits of its own."""
    case = case_of([C(0, 0), C(0, 25), C(-40, 25), C(-40, 0)])
    size = Limits(
        what="diameter",
        nominal=25.0,
        upper=upper,
        lower=lower,
        z_front=0.0,
        z_back=-40.0,
        r=12.5,
        grade=grade,
    )
    return replace(case, part=replace(case.part, limits=(size,)))


def rough(ra: float | None):
    """A rod whose surface asks for a roughness."""
    case = case_of([C(0, 0), C(0, 25), C(-40, 25), C(-40, 0)])
    features = tuple(replace(f, roughness_ra_um=ra) for f in case.part.features)
    return replace(case, part=replace(case.part, features=features))


def test_radius_of_a_nose_passes() -> None:
    """0.4 mm is cut by the 0.2 or 0.4 nose."""
    assert not found("inner-corner", case_of(step(radius=0.4)))


def test_radius_below_every_nose_is_to_fix() -> None:
    """0.05 mm is smaller than the smallest nose of the turning tools, 0.2 mm."""
    result = outcome("inner-corner", case_of(step(radius=0.05)))
    (finding,) = result.findings
    assert finding.severity is FIX
    assert finding.measured == pytest.approx(0.05) and finding.limit == 0.2
    assert finding.where.z == pytest.approx(-30, abs=0.1)


def test_sharp_corner_is_a_note() -> None:
    """A sharp shoulder is normal; the note says what stays and where."""
    result = outcome("inner-corner", case_of(step()))
    (finding,) = result.findings
    assert finding.severity is NOTE and "Z -30 X 20 (R0.2)" in finding.text


def test_convex_edges_are_no_inner_corner() -> None:
    """A plain rod has none."""
    assert not found("inner-corner", case_of([C(0, 0), C(0, 25), C(-40, 25), C(-40, 0)]))


def test_gentle_fall_passes() -> None:
    """10 mm in diameter over 20 mm fall by 14 degrees: a D insert follows."""
    assert not found("falling-slope", case_of(collar(20.0)))


def test_a_square_shoulder_towards_the_chuck_is_everyday_work() -> None:
    """A left-hand tool of the crib turns it; a steep slope is still noted."""
    assert not found("falling-slope", case_of(collar(0.0)))
    (finding,) = outcome("falling-slope", case_of(collar(0.5))).findings
    assert finding.severity is NOTE and finding.measured == pytest.approx(84.3, abs=0.1)


def test_corners_of_grooves_and_drilled_holes_are_no_news() -> None:
    """A blade of R0.2 or less is what a groove is meant for, and a drill leaves its own point."""
    ring = [C(0, 0), C(0, 20), C(-10, 20), C(-10, 19), C(-11.1, 19), C(-11.1, 20), C(-30, 20), C(-30, 0)]
    assert not found("inner-corner", case_of(ring))
    drilled = case_of([C(0, 8), C(0, 30), C(-40, 30), C(-40, 0)], [C(-22.4, 0), C(-20, 8)])
    assert not found("inner-corner", drilled)


def test_shoulder_without_left_hand_tools_is_to_fix() -> None:
    """A crib without left-hand tools has only the other clamping."""
    right = replace(SHOP, tools=tuple(tool for tool in SHOP.tools if tool.hand != "left"))
    assert severities("falling-slope", case_of(collar(0.0), shop=right)) == [FIX]


def test_slope_between_the_inserts_depends_on_the_crib() -> None:
    """45 degrees: V inserts of the crib follow (S82: up to 45), D inserts alone (up to 30) do not."""
    only_d = replace(SHOP, tools=tuple(t for t in SHOP.tools if t.insert.startswith("DNMG15")))
    assert not found("falling-slope", case_of(collar(5.0)))
    result = outcome("falling-slope", case_of(collar(5.0), shop=only_d))
    assert result.findings[0].limit == pytest.approx(30.0)


def test_usual_tolerance_passes() -> None:
    """h7 at 25 mm is 21 um wide (ISO 286-1 table, S1)."""
    assert not found("tolerance-grade", toleranced(0.0, -0.021))


def test_fine_tolerances_are_noted_or_to_fix() -> None:
    """13 um are IT6, 9 um IT5, 4 um finer (ISO 286-1 table, S1)."""
    assert severities("tolerance-grade", toleranced(0.0, -0.013)) == [NOTE]
    assert severities("tolerance-grade", toleranced(0.0, -0.009)) == [FIX]
    assert severities("tolerance-grade", toleranced(0.002, -0.002)) == [FIX]


def test_written_grade_wins() -> None:
    """The grade of a written class is taken as it is."""
    assert severities("tolerance-grade", toleranced(0.0, -0.013, grade=6)) == [NOTE]


@pytest.mark.parametrize(("width_um", "grade"), [(21, 7), (20, 6), (33, 8), (52, 9), (2000, 14), (3, 4)])
def test_grade_from_a_width(width_um: float, grade: int) -> None:
    """The coarsest grade that is not wider: 21, 33, 52 um are IT7, IT8, IT9 between 18 and 30 mm (S1)."""
    size = Limits(
        what="diameter", nominal=25.0, upper=width_um / 1000.0, lower=0.0, z_front=0.0, z_back=-1.0, r=12.5
    )
    assert grade_of(size) == grade


def test_tolerances_are_skipped_when_there_are_none() -> None:
    """A part without limits is skipped."""
    assert outcome("tolerance-grade", case_of(step())).outcome.value == "skip"


def test_usual_roughness_passes() -> None:
    """Ra 1.6 is normal turning."""
    assert not found("roughness", rough(1.6))


def test_fine_roughness_is_noted_or_to_fix() -> None:
    """Ra 0.4 with care, Ra 0.2 by another process (S43: turned range from 0.8)."""
    assert set(severities("roughness", rough(0.4))) == {NOTE}
    assert set(severities("roughness", rough(0.2))) == {FIX}


def test_knurl_with_a_wheel_passes() -> None:
    """A straight knurl of 1 mm has a wheel."""
    case = case_of([C(0, 0), C(0, 25), C(-40, 25), C(-40, 0)])
    knurl = Knurl(
        id="F9",
        side="outside",
        z_front=0.0,
        z_back=-40.0,
        r_small=12.5,
        r_large=12.5,
        form="straight",
        pitch=1.0,
    )
    assert not found("knurl-wheel", with_feature(case, knurl))


def test_knurl_without_a_wheel_is_to_fix() -> None:
    """Pitch 1.1 is not in the crib; the nearest is named."""
    case = case_of([C(0, 0), C(0, 25), C(-40, 25), C(-40, 0)])
    knurl = Knurl(
        id="F9",
        side="outside",
        z_front=0.0,
        z_back=-40.0,
        r_small=12.5,
        r_large=12.5,
        form="straight",
        pitch=1.1,
    )
    result = outcome("knurl-wheel", with_feature(case, knurl))
    (finding,) = result.findings
    assert finding.severity is FIX and finding.limit in (1.0, 1.2)
