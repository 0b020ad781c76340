"""Rules about size, walls, holes, steps. Each with a part that passes and one that does not."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.checks.kit import FIX, NOTE, SHOP, STOP, C, case_of, found, outcome, severities, without


def rod(d: float, length: float, **corner: float) -> list[C]:
    """A plain rod; `corner` breaks both its edges."""
    return [C(0, 0), C(0, d, **corner), C(-length, d, **corner), C(-length, 0)]


def tube(d: float, bore: float, length: float) -> tuple[list[C], list[C]]:
    """A plain tube."""
    return [C(0, bore), C(0, d), C(-length, d), C(-length, bore)], []


def drilled(d: float, depth: float, point: float = 118.0) -> tuple[list[C], list[C]]:
    """A bar of 60 mm with a blind hole from the front."""
    cone = 0.5 * d / math.tan(math.radians(point / 2.0))
    outer = [C(0, d), C(0, 60), C(-120, 60), C(-120, 0)]
    return outer, [C(-depth - cone, 0), C(-depth, d)]


def test_short_part_is_not_slender() -> None:
    """Three diameters out of the chuck need no support (S55)."""
    assert not found("slenderness", case_of(rod(20, 60)))


def test_long_part_needs_the_tailstock() -> None:
    """Five diameters need a tailstock: one note says so, that of centre holes where there is none."""
    (finding,) = outcome("slenderness", case_of(*tube(20, 4, 100))).findings
    assert finding.severity is NOTE and finding.measured == pytest.approx(5.1, abs=0.05)
    assert finding.limit == 3.0
    assert not found("slenderness", case_of(rod(20, 100)))


def test_very_long_part_needs_a_steady() -> None:
    """Fifteen diameters are to fix."""
    assert severities("slenderness", case_of(rod(20, 300))) == [FIX]


def test_long_part_without_centre_hole_is_noted() -> None:
    """The size of the centre hole follows the shaft diameter (ISO 6411 guide, S18): 20 mm, A2.5."""
    result = outcome("centre-hole", case_of(rod(20, 100)))
    (finding,) = result.findings
    assert finding.severity is NOTE and "A2.5" in finding.hint


def test_short_part_needs_no_centre_hole() -> None:
    """Nothing to say about a short part."""
    assert not found("centre-hole", case_of(rod(20, 50)))


def test_thick_wall_passes() -> None:
    """10 mm of steel hold."""
    assert not found("thin-wall", case_of(*tube(50, 30, 40)))


def test_thin_wall_is_to_fix() -> None:
    """0.5 mm is below what metal holds (S77, S80: 0.8)."""
    result = outcome("thin-wall", case_of(*tube(31, 30, 40)))
    (finding,) = result.findings
    assert finding.severity is FIX and finding.measured == pytest.approx(0.5) and finding.limit == 0.8


def test_thin_wall_below_the_usual_is_noted() -> None:
    """1.2 mm of steel hold with care (S79: 1.5)."""
    assert severities("thin-wall", case_of(*tube(32.4, 30, 40))) == [NOTE]


def test_chamfered_edges_are_no_thin_wall() -> None:
    """Where both edges of a tube are chamfered the wall runs out on purpose."""
    outer = [C(0, 30, chamfer=2), C(0, 40, chamfer=2), C(-40, 40), C(-40, 30)]
    assert not found("thin-wall", case_of(outer, []))


def test_thin_bottom_is_found() -> None:
    """A blind bore that leaves 0.4 mm to the other face."""
    outer = [C(0, 30), C(0, 60), C(-20, 60), C(-20, 0)]
    result = outcome("thin-wall", case_of(outer, [C(-19.6, 0), C(-19.6, 30)]))
    (finding,) = result.findings
    assert "the bottom" in finding.text and finding.measured == pytest.approx(0.4)


def test_groove_over_a_bore_counts() -> None:
    """The wall is measured at the groove's floor."""
    outer = [
        C(0, 30), C(0, 50), C(-18, 50), C(-18, 31), C(-22, 31), C(-22, 50), C(-40, 50), C(-40, 30),
    ]  # fmt: skip
    result = outcome("thin-wall", case_of(outer, []))
    assert result.findings[0].measured == pytest.approx(0.5)


def test_wall_rule_is_skipped_for_solid_parts() -> None:
    """A solid part has no wall."""
    assert outcome("thin-wall", case_of(rod(20, 50))).outcome.value == "skip"


def test_shallow_hole_passes() -> None:
    """Three diameters deep is easy."""
    assert not found("hole-depth", case_of(*drilled(10, 30)))


def test_deep_hole_is_noted() -> None:
    """Seven diameters are deep (S77, S81: up to 4 easy, 10 possible)."""
    assert severities("hole-depth", case_of(*drilled(10, 70))) == [NOTE]


def test_hole_beyond_every_drill_stops() -> None:
    """A hole of 2 mm, 70 mm deep: drills up to 2 mm reach 56 mm."""
    result = outcome("hole-depth", case_of(*drilled(2, 70)))
    (finding,) = result.findings
    assert finding.severity is STOP and finding.limit == 56.0


def test_pointed_hole_has_no_flat_bottom() -> None:
    """A 118 degree cone is what a drill leaves."""
    assert not found("flat-bottom", case_of(*drilled(10, 30)))


def test_flat_bottom_is_noted_when_a_tool_cuts_it() -> None:
    """The crib has flat drills; without them it is to fix."""
    outer = [C(0, 20), C(0, 60), C(-50, 60), C(-50, 0)]
    inner = [C(-30, 0), C(-30, 20)]
    assert severities("flat-bottom", case_of(outer, inner)) == [NOTE]
    assert severities("flat-bottom", case_of(outer, inner, shop=without(SHOP, "flat drill"))) == [FIX]


def test_bore_with_a_bar_passes() -> None:
    """A bore of 33 mm, 40 mm long."""
    assert not found("bore-access", case_of(*tube(60, 33, 40)))


def test_hole_of_a_drill_size_passes() -> None:
    """2.5 mm is a drill; no bar is needed."""
    assert not found("bore-access", case_of(*tube(20, 2.5, 6)))


def test_bore_between_two_drills_is_to_fix() -> None:
    """3.55 mm is no drill size and no bar gets in; 3.5 mm is within ISO 2768 m (0.1 mm, S2)."""
    result = outcome("bore-access", case_of(*tube(20, 3.55, 6)))
    (finding,) = result.findings
    assert finding.severity is FIX and finding.limit == 3.5


def test_bore_that_nothing_makes_stops() -> None:
    """2.5 mm with a crib whose smallest drill is 5 mm."""
    shop = replace(SHOP, tools=tuple(t for t in SHOP.tools if t.kind != "drill" or (t.diameter_mm or 0) >= 5))
    result = outcome("bore-access", case_of(*tube(20, 2.5, 6), shop=shop))
    (finding,) = result.findings
    assert finding.severity is STOP and finding.limit == 4.0 and "2 mm" in finding.hint


def test_recess_behind_a_narrow_mouth_stops() -> None:
    """A recess of 20 mm behind a way in of 3 mm."""
    outer = [C(0, 3), C(0, 60), C(-60, 60), C(-60, 3)]
    inner = [C(-40, 3), C(-40, 20), C(-20, 20), C(-20, 3)]
    result = outcome("bore-access", case_of(outer, inner))
    assert STOP in [finding.severity for finding in result.findings]
    assert "is reached through 3 mm" in result.findings[0].text


def test_bore_too_deep_for_every_bar_stops() -> None:
    """45 mm, larger than any drill, 350 mm deep from one end; bars stick out 320 mm at most."""
    outer = [C(0, 45), C(0, 80), C(-400, 80), C(-400, 0)]
    result = outcome("bore-access", case_of(outer, [C(-350, 0), C(-350, 45)]))
    assert [finding.severity for finding in result.findings] == [STOP]


def test_part_that_fits_the_machine_passes() -> None:
    """60 x 120 fits."""
    assert not found("machine-size", case_of(rod(60, 120)))


def test_part_too_large_for_every_machine_stops() -> None:
    """300 mm swing on no lathe of the shop."""
    result = outcome("machine-size", case_of(rod(300, 50)))
    (finding,) = result.findings
    assert finding.severity is STOP and finding.measured == 300.0 and finding.limit == 260.0


def test_part_that_fits_only_another_machine_is_to_fix() -> None:
    """470 mm fit the toolroom lathe, not the default one: the option is named."""
    result = outcome("machine-size", case_of(rod(60, 470)))
    (finding,) = result.findings
    assert finding.severity is FIX and "--machine 'Wrenfell 160'" in finding.hint


def test_plain_rod_can_be_gripped() -> None:
    """A long cylinder is there."""
    assert not found("grip", case_of(rod(20, 40)))


def test_part_without_a_cylinder_is_noted() -> None:
    """A cone gives jaws nothing to hold."""
    assert severities("grip", case_of([C(0, 0), C(0, 20), C(-40, 30), C(-40, 0)])) == [NOTE]


def test_parting_within_reach_passes() -> None:
    """A 60 mm bar can be parted."""
    assert not found("parting", case_of(rod(60, 40)))


def test_parting_beyond_reach_is_noted() -> None:
    """120 mm solid is too thick for every blade, a tube of the same size is not."""
    assert severities("parting", case_of(rod(120, 40))) == [NOTE]
    assert not found("parting", case_of(*tube(120, 60, 40)))


def test_real_step_passes() -> None:
    """A step of 2 mm is meant."""
    assert not found(
        "small-step", case_of([C(0, 0), C(0, 20), C(-20, 20), C(-20, 24), C(-40, 24), C(-40, 0)])
    )


def test_tiny_step_is_to_fix() -> None:
    """0.02 mm on the radius looks like a mistake."""
    case = case_of([C(0, 0), C(0, 20), C(-20, 20), C(-20, 20.04), C(-40, 20.04), C(-40, 0)])
    result = outcome("small-step", case)
    (finding,) = result.findings
    assert finding.severity is FIX and finding.measured == pytest.approx(0.02)


def test_chamfer_of_usual_size_passes() -> None:
    """0.5 mm can be seen and measured."""
    assert not found("small-chamfer", case_of(rod(20, 40, chamfer=0.5)))


def test_tiny_chamfer_is_noted() -> None:
    """0.1 mm is a broken edge."""
    assert severities("small-chamfer", case_of(rod(20, 40, chamfer=0.1))) == [NOTE, NOTE]


def test_material_of_the_drawing_counts() -> None:
    """The wall limit follows the material that the drawing names: 1 mm of plastic is too thin."""
    case = case_of(*tube(32, 30, 40))
    plastic = replace(case, part=replace(case.part, material_note="POM"))
    assert severities("thin-wall", case) == [NOTE]
    assert severities("thin-wall", plastic) == [FIX]
