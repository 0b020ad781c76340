"""Feature kinds by proportion and neighbourhood: alone, in pairs, and shapes that must not be mistaken."""

from __future__ import annotations

import math

import pytest

from dxf2turn.features.model import Chamfer, Groove, Hole, Taper, TurnedPart
from dxf2turn.features.recognise import OVERLAYS, recognise
from dxf2turn.options import DrawingOptions
from tests.bench.features_bench import cases, score
from tests.features.shapes import C, recognised

CASES = list(cases())
ALONE = [case for case in CASES if "+" not in case[0]]
PAIRS = [case for case in CASES if "+" in case[0]][::11]


@pytest.mark.parametrize(("name", "contour", "expected"), ALONE + PAIRS, ids=[c[0] for c in ALONE + PAIRS])
def test_generated_parts_give_exactly_their_features(name: str, contour, expected) -> None:  # type: ignore[no-untyped-def]
    """Nothing missed and nothing extra, each kind alone and every eleventh pair (all: features_bench.py)."""
    result = score(contour, expected)

    assert (result.missed, result.extra) == ((), ())


def kinds(part: TurnedPart) -> list[str]:
    return [feature.kind for feature in part.features]


def groove(part: TurnedPart) -> Groove:
    (found,) = part.of_kind("groove")
    assert isinstance(found, Groove)
    return found


def test_every_segment_belongs_to_exactly_one_feature() -> None:
    """Overlays apart, the features' segments are the surface of the profile, once each."""
    for _, contour, _ in CASES[::40]:
        part = recognise(contour, DrawingOptions())
        claimed = sorted(i for f in part.features if f.kind not in OVERLAYS for i in f.segments)
        assert claimed == sorted(part.profile.run("front", "outside", "back", "inside"))


def test_sizes_of_a_square_groove_leave_edge_breaks_out() -> None:
    """3.6 over all with 0.3 x 45 at both edges is 3 wide; the depth counts from the mouth."""
    part = recognised([
        C(0, 0), C(0, 40), C(-20, 40), C(-20.3, 39.4), C(-20.3, 36, radius=0.4), C(-23.3, 36, radius=0.4),
        C(-23.3, 39.4), C(-23.6, 40), C(-50, 40), C(-50, 0),
    ])  # fmt: skip
    found = groove(part)

    assert (found.width, found.depth, 2 * found.floor_radius) == pytest.approx((3.0, 2.0, 36.0))
    assert (found.corner_radius, found.mouth_break) == pytest.approx((0.4, 0.3))
    assert found.form == "square"
    assert found.mouth == ((-20, 20), (-23.6, 20))


def test_a_relief_ends_at_the_shoulder_and_the_shoulder_stays_a_face() -> None:
    """The mouth lies at the height of the lower edge; the shoulder face is a feature of its own."""
    part = recognised([
        C(0, 0), C(0, 20), C(-24, 20), C(-26, 17.7), C(-29, 17.7, radius=0.8), C(-29, 30), C(-40, 30),
        C(-40, 0),
    ])  # fmt: skip
    found = groove(part)

    assert found.beside_shoulder
    assert (found.z_front, found.z_back, found.width) == pytest.approx((-24, -29, 5))
    assert found.mouth == (pytest.approx((-24, 10)), pytest.approx((-29, 10)))
    assert kinds(part).count("face") == 3


def test_a_groove_in_a_taper_follows_the_surface() -> None:
    """Walls square to the axis, floor along it, mouth edges at different heights: one square groove."""
    slope = (30 - 20) / 40 / 2

    def d(z: float) -> float:
        return 20 + 2 * slope * (-z - 10)

    part = recognised([
        C(0, 0), C(0, 20), C(-10, 20), C(-28, d(-28)), C(-28, 21), C(-31, 21), C(-31, d(-31)), C(-50, 30),
        C(-60, 30), C(-60, 0),
    ])  # fmt: skip

    assert groove(part).form == "square"
    assert groove(part).width == pytest.approx(3.0)
    assert kinds(part).count("taper") == 2


def test_a_long_low_stretch_is_a_cylinder_between_shoulders() -> None:
    """30 wide and 2 deep is a neck: turned, not bridged."""
    part = recognised([
        C(0, 0), C(0, 40), C(-10, 40), C(-10, 36), C(-40, 36), C(-40, 40), C(-50, 40), C(-50, 0)
    ])  # fmt: skip

    assert part.of_kind("groove") == ()
    assert kinds(part).count("cylinder") == 3


def test_a_barb_is_a_taper_and_a_step() -> None:
    """Hose barbs rise all the way: no grooves."""
    part = recognised([
        C(0, 0), C(0, 12), C(-6, 15), C(-6, 13), C(-12, 15), C(-12, 13), C(-30, 13), C(-30, 0)
    ])  # fmt: skip

    assert part.of_kind("groove") == ()
    assert kinds(part).count("taper") == 2


def test_a_dovetail_is_a_groove_that_overhangs_and_is_said() -> None:
    """Walls that lean over the floor can't be cut by plain turning: a finding with the place."""
    part = recognised([
        C(0, 0), C(0, 40), C(-20, 40), C(-18, 34), C(-28, 34), C(-26, 40), C(-50, 40), C(-50, 0)
    ])  # fmt: skip

    assert groove(part).overhangs
    assert [f.code for f in part.findings] == ["features/groove-overhangs"]


def test_a_stepped_groove_is_one() -> None:
    """A deep slot with a step in both walls is one groove, as deep as its bottom."""
    part = recognised([
        C(0, 0), C(0, 60), C(-20, 60), C(-20, 50), C(-21, 50), C(-21, 40), C(-24, 40), C(-24, 50), C(-25, 50),
        C(-25, 60), C(-50, 60), C(-50, 0),
    ])  # fmt: skip

    assert (groove(part).width, groove(part).depth) == pytest.approx((5, 10))


def test_two_grooves_with_a_narrow_land_stay_two() -> None:
    """A land narrower than either groove does not melt them into one."""
    part = recognised([
        C(0, 0), C(0, 40), C(-20, 40), C(-20, 34), C(-23, 34), C(-23, 40), C(-24, 40), C(-24, 34), C(-27, 34),
        C(-27, 40), C(-50, 40), C(-50, 0),
    ])  # fmt: skip

    assert len(part.of_kind("groove")) == 2


def test_a_recess_behind_a_shoulder_opens_along_the_axis() -> None:
    """A pocket in a shoulder face is a groove of the outside that opens to the front."""
    part = recognised([
        C(0, 0), C(0, 20), C(-20, 20), C(-20, 26), C(-23, 26), C(-23, 34), C(-20, 34), C(-20, 50), C(-40, 50),
        C(-40, 0),
    ])  # fmt: skip

    assert (groove(part).opens, groove(part).side) == ("front", "outside")
    assert (groove(part).width, groove(part).depth) == pytest.approx((4, 3))


def test_a_recess_along_the_shaft_behind_a_shoulder() -> None:
    """The shaft itself is one wall of the recess and stays a cylinder."""
    part = recognised([
        C(0, 0), C(0, 20), C(-23, 20), C(-23, 27), C(-20, 27), C(-20, 50), C(-40, 50), C(-40, 0)
    ])  # fmt: skip

    assert (groove(part).opens, groove(part).width, groove(part).depth) == ("front", 3.5, 3.0)


def test_a_ball_and_its_neck_are_arcs() -> None:
    """A ball on the axis is a free arc; the large concave arc into the neck is no groove."""
    ball, neck, sweep = 14.0, 7.0, 20.0
    dz = math.sqrt((ball + sweep) ** 2 - (neck + sweep) ** 2)
    z, r = -ball - dz * ball / (ball + sweep), (neck + sweep) * ball / (ball + sweep)
    part = recognised([
        C(0, 0, bulge=math.tan((math.pi - math.asin(r / ball)) / 4)),
        C(z, 2 * r, bulge=-math.tan(math.atan2(dz, neck + sweep) / 4)),
        C(-ball - dz, 2 * neck), C(-70, 14), C(-70, 0),
    ])  # fmt: skip

    assert kinds(part)[0] == "arc"
    assert "groove" not in kinds(part)


@pytest.mark.parametrize("angle", [118.0, 135.0, 140.0])
def test_a_drilled_blind_hole(angle: float) -> None:
    """A cone of a drill point down to the axis makes the bore a hole of the cylinder's depth."""
    point = 5.0 / math.tan(math.radians(angle / 2))
    part = recognised([C(0, 10), C(0, 40), C(-50, 40), C(-50, 0)], [C(-30 - point, 0), C(-30, 10)])
    (hole,) = part.of_kind("hole")

    assert isinstance(hole, Hole)
    assert (hole.diameter_mm, hole.depth, hole.through) == (10, 30, False)
    assert math.degrees(hole.point_angle) == pytest.approx(angle)


def test_the_depth_of_a_hole_counts_from_the_face() -> None:
    """The chamfer at its mouth is part of the depth, as it is dimensioned and drilled."""
    point = 5.0 / math.tan(math.radians(59))
    outer = [C(0, 12), C(0, 40), C(-50, 40), C(-50, 0)]
    part = recognised(outer, [C(-30 - point, 0), C(-30, 10), C(-1, 10), C(0, 12)])
    (hole,) = part.of_kind("hole")

    assert isinstance(hole, Hole) and hole.depth == pytest.approx(30)


def test_flat_bottomed_and_short_through_bores_are_bores_and_long_plain_ones_holes() -> None:
    """A flat bottom needs a boring tool; a plain through hole of more than 3 diameters is drilled."""
    flat = recognised([C(0, 10), C(0, 40), C(-50, 40), C(-50, 0)], [C(-30, 0), C(-30, 10)])
    short = recognised([C(0, 20), C(0, 40), C(-50, 40), C(-50, 20)], [])
    long = recognised([C(0, 10), C(0, 40), C(-50, 40), C(-50, 10)], [])

    assert "bore" in kinds(flat) and "hole" not in kinds(flat)
    assert "bore" in kinds(short) and "hole" not in kinds(short)
    assert "hole" in kinds(long)


@pytest.mark.parametrize(("axial", "radial"), [(1.0, 1.0), (2.0, 0.536), (0.5, 1.2)])
def test_chamfers_by_their_legs(axial: float, radial: float) -> None:
    """A short oblique line between two convex corners is a chamfer, with its angle to the axis."""
    part = recognised([C(0, 0), C(0, 20 - 2 * radial), C(-axial, 20), C(-30, 20), C(-30, 0)])
    (found,) = part.of_kind("chamfer")

    assert isinstance(found, Chamfer)
    assert (found.axial, found.radial) == pytest.approx((axial, radial))
    assert found.angle == pytest.approx(math.atan2(radial, axial))


def test_a_long_cone_at_the_end_is_a_taper() -> None:
    """A nozzle's tip is no chamfer: it is long for the diameter."""
    part = recognised([C(0, 0), C(0, 6), C(-12, 20), C(-30, 20), C(-30, 0)])
    (found,) = part.of_kind("taper")

    assert isinstance(found, Taper)
    assert found.ratio == pytest.approx(14 / 12)


def test_ids_run_from_front_to_back_and_outside_before_inside() -> None:
    """F1, F2, ... in the order of the part."""
    part = recognised([C(0, 20, chamfer=1), C(0, 40, chamfer=1), C(-50, 40), C(-50, 20)], [])

    assert [f.id for f in part.features] == [f"F{n}" for n in range(1, len(part.features) + 1)]
    assert [f.side == "inside" for f in part.features] == sorted(f.side == "inside" for f in part.features)


def test_a_wall_that_is_a_large_radius_makes_an_angled_groove() -> None:
    """Down by a step, up by a radius of 12 that never stands upright."""
    rise = 12 - math.sqrt(12**2 - 8.9442719**2)
    part = recognised(
        [
            C(0, 0),
            C(0, 30),
            C(-10, 30),
            C(-10, 22),
            C(-16, 22, bulge=-0.207107),
            C(-24.94, 22 + 2 * rise),
            C(-40, 30),
            C(-40, 0),
        ]
    )
    (groove,) = part.of_kind("groove")

    assert groove.form == "angled"  # type: ignore[attr-defined]


def test_a_cone_that_goes_on_behind_a_groove_is_a_taper_on_both_sides() -> None:
    """The short piece in front of the groove turns at both ends like a chamfer, but the cone goes on."""
    part = recognised([
        C(0, 0), C(0, 60), C(-10, 60), C(-20, 56), C(-20, 50), C(-22, 50), C(-22, 55.2), C(-40, 48),
        C(-60, 48), C(-60, 0),
    ])  # fmt: skip

    assert [k for k in kinds(part) if k in ("taper", "chamfer")] == ["taper", "taper"]


@pytest.mark.parametrize("lean", [8.0, 10.0, 12.0, 25.0])
def test_a_groove_along_a_steep_taper_has_a_floor(lean: float) -> None:
    """The floor runs along the taper: one groove between two tapers, whatever the taper's angle."""
    slope = math.tan(math.radians(lean))

    def d(z: float, depth: float = 0.0) -> float:
        return 40 + 2 * (-z - 10) * slope - 2 * depth

    part = recognised([
        C(0, 0), C(0, 40), C(-10, 40), C(-24, d(-24)), C(-24, d(-24, 2)), C(-27, d(-27, 2)), C(-27, d(-27)),
        C(-40, d(-40)), C(-60, d(-40)), C(-60, 0),
    ])  # fmt: skip

    assert groove(part).form == "square"
    assert groove(part).width == pytest.approx(3.0)
    assert kinds(part).count("taper") == 2


def test_a_vee_square_to_a_taper_is_a_vee() -> None:
    """Both flanks lean equally to the surface, not to the axis."""
    cos, sin = math.cos(math.radians(15)), math.sin(math.radians(15))

    def on(along: float, deep: float) -> C:
        return C(-10 - along * cos - deep * sin, 2 * (20 + along * sin - deep * cos))

    part = recognised([
        C(0, 0), C(0, 40), C(-10, 40), on(15, 0), on(17, 2), on(19, 0), on(40, 0),
        C(-60, on(40, 0).d), C(-60, 0),
    ])  # fmt: skip

    assert groove(part).form == "vee"


def test_saw_teeth_with_a_steep_flank_are_grooves() -> None:
    """Each tooth: an upright wall and a flank that leans 53 degrees; no thread, no taper and step."""
    teeth = [c for i in range(5) for c in (C(-4 - 2 * i, 37), C(-6 - 2 * i, 40))]
    part = recognised([C(0, 0), C(0, 40), C(-4, 40), *teeth, C(-20, 40), C(-20, 0)])

    assert [f.form for f in part.of_kind("groove") if isinstance(f, Groove)] == ["angled"] * 5
    assert part.findings == ()


def test_a_vee_down_to_a_shoulder_is_a_groove_and_a_slight_cone_is_not() -> None:
    """A flank that leans 56 degrees and the shoulder make a groove; one that leans 79 degrees is a taper."""
    vee = recognised([C(0, 0), C(0, 40), C(-10, 40), C(-13, 36), C(-13, 50), C(-30, 50), C(-30, 0)])
    cone = recognised([C(0, 0), C(0, 40), C(-10, 40), C(-30, 32), C(-30, 50), C(-40, 50), C(-40, 0)])

    assert groove(vee).form == "angled"
    assert cone.of_kind("groove") == ()


def test_a_relief_at_the_bottom_of_a_blind_bore_is_a_groove() -> None:
    """Its floor-side wall is the flat bottom, which runs on to the axis and stays a face."""
    part = recognised(
        [C(0, 30), C(0, 50), C(-60, 50), C(-60, 0)], [C(-40, 0), C(-40, 33), C(-37, 33), C(-37, 30)]
    )

    assert (groove(part).form, groove(part).side, groove(part).opens) == ("square", "inside", "in")
    assert (groove(part).width, groove(part).depth, groove(part).beside_shoulder) == (3.0, 1.5, True)
    assert kinds(part).count("face") == 3


def test_a_boss_in_a_blind_hole_is_a_cylinder_and_the_wall_of_a_recess_is_marked() -> None:
    """What faces outwards inside is no bore, and a cylinder that faces the axis says so."""
    boss = recognised(
        [C(0, 30), C(0, 50), C(-60, 50), C(-60, 0)], [C(-20, 0), C(-20, 10), C(-25, 10), C(-25, 30)]
    )
    recess = recognised([
        C(0, 0), C(0, 50), C(-20, 50), C(-20, 36), C(-17, 36), C(-17, 20), C(-40, 20), C(-40, 0)
    ])  # fmt: skip

    assert [(f.kind, f.side) for f in boss.features if f.kind in ("cylinder", "bore", "hole")] == [
        ("cylinder", "outside"), ("bore", "inside"), ("cylinder", "inside"),
    ]  # fmt: skip
    assert recess.of_kind("cylinder")[1].note == "wall of a recess, faces the axis"
