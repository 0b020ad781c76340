"""Target contours worked by hand: limits from ISO 286-2 as printed beside each value."""

from __future__ import annotations

import pytest

from dxf2turn.features.model import TurnedPart
from dxf2turn.geometry.path import is_closed, signed_area
from dxf2turn.reading.model import DimensionKind
from tests.features.shapes import C, dimension, note, recognised

SHAFT = [
    C(0, 0), C(0, 20, chamfer=1), C(-20, 20, radius=0.8), C(-20, 25, chamfer=0.5), C(-45, 25), C(-45, 40),
    C(-60, 40), C(-60, 30, radius=1), C(-80, 30), C(-80, 24, chamfer=1), C(-100, 24, chamfer=1), C(-100, 0),
]  # fmt: skip


def diameter(text: str, z: float, d: float) -> object:
    return dimension(text, (z, d / 2), (z, -d / 2))


def places(part: TurnedPart) -> list[tuple[float, float]]:
    return [(round(s.start.x, 6), round(s.start.y, 6)) for s in part.target.segments]


def test_nothing_toleranced_means_the_very_same_profile() -> None:
    """Without limits the target is the profile object itself, plain dimensions or not."""
    part = recognised(SHAFT, None, diameter("⌀25", -30, 25), dimension("20", (0, 10), (-20, 10)))

    assert part.target is part.profile


def test_a_shaft_with_four_fits() -> None:
    """Four diameters go to the middle of their limits, worked by hand from ISO 286-2.

    20 g6: -7/-20 um -> 19.9865; 25 k6: +15/+2 -> 25.0085; 30 h6 (18 to 30 mm): 0/-13 -> 29.9935;
    24 f7: -20/-41 -> 23.9695.
    """
    part = recognised(
        SHAFT,
        None,
        diameter("⌀20 g6", -10, 20),
        diameter("⌀25 k6", -45, 25),
        note("⌀30 h6", (-70, 30), ((-70, 15),)),
        diameter("⌀24f7", -90, 24),
    )

    expected = [
        (0, 0), (0, 8.99325), (-1, 9.99325), (-19.2, 9.99325), (-20, 10.79325), (-20, 12.00425),
        (-20.5, 12.50425), (-45, 12.50425), (-45, 20), (-60, 20), (-60, 15.99675), (-61, 14.99675),
        (-80, 14.99675), (-80, 12.98475), (-81, 11.98475), (-99, 11.98475), (-100, 10.98475), (-100, 0),
    ]  # fmt: skip
    assert places(part) == expected
    assert {limit.text for limit in part.limits} == {"⌀20 g6", "⌀25 k6", "⌀30 h6", "⌀24f7"}
    assert [limit.grade for limit in part.limits] == [6, 6, 6, 7]


def test_the_target_is_closed_to_the_last_bit_and_keeps_count_order_and_radii() -> None:
    """Fillets and chamfers move as they are; ends that belong together stay equal."""
    part = recognised(SHAFT, None, diameter("⌀20 g6", -10, 20), diameter("⌀30 -0.3/-0.5", -70, 30))

    assert is_closed(part.target.segments, 0.0)
    assert part.target.roles == part.profile.roles
    assert signed_area(part.target.segments) > 0.0
    for old, new in zip(part.profile.segments, part.target.segments):
        assert type(old) is type(new)
        if hasattr(old, "radius"):
            assert new.radius == pytest.approx(old.radius, abs=1e-9)
            assert new.sweep == pytest.approx(old.sweep, abs=1e-9)


def test_a_length_with_unequal_limits_moves_its_far_plane() -> None:
    """20 +0.2/0 from the front: the shoulder goes to -20.1 with its fillet and chamfer, the rest stays."""
    part = recognised(SHAFT, None, dimension("20 +0.2/0", (0, 10), (-20, 12)))

    moved = [p for p, q in zip(places(part), places(recognised(SHAFT))) if p != q]
    assert moved == [(-19.3, 10), (-20.1, 10.8), (-20.1, 12), (-20.6, 12.5)]


def test_a_chain_hangs_on_the_front_face() -> None:
    """20 +0.2/0 and then 25 0/-0.1: planes at -20.1 and -20.1 - 24.95 = -45.05."""
    part = recognised(
        SHAFT, None, dimension("20 +0.2/0", (0, 10), (-20, 12)), dimension("25 -0.1", (-20, 12), (-45, 20))
    )

    assert (-45.05, 20) in places(part)


def test_an_untoleranced_dimension_carries_its_plane_along() -> None:
    """The 25 between both shoulders is a plain dimension: its middle is 25, so the second plane follows."""
    part = recognised(
        SHAFT, None, dimension("20 +0.2/0", (0, 10), (-20, 12)), dimension("25", (-20, 12), (-45, 20))
    )

    assert (-45.1, 20) in places(part)


def test_a_length_that_does_not_hang_on_the_front_keeps_its_front_plane() -> None:
    """A collar 15 0/-0.4 on its own: front plane at -45 stays, the back one goes to -59.8."""
    part = recognised(SHAFT, None, dimension("15 0/-0.4", (-45, 20), (-60, 20)))

    assert (-45, 20) in places(part)
    assert (-59.8, 20) in places(part)


def test_a_taper_between_two_toleranced_diameters_follows() -> None:
    """20 h8 (0/-33 um, ISO 286-2) and 30 -0.1/-0.3: the cone runs from 9.99175 to 14.9, straight."""
    taper = [C(0, 0), C(0, 20), C(-15, 20), C(-55, 30), C(-70, 30), C(-70, 0)]
    part = recognised(taper, None, diameter("⌀20 h8", -10, 20), diameter("⌀30 -0.1/-0.3", -70, 30))

    assert places(part) == [(0, 0), (0, 9.99175), (-15, 9.99175), (-55, 14.9), (-70, 14.9), (-70, 0)]


def test_both_lands_of_a_ring_groove_are_one_diameter() -> None:
    """25 h6 dimensioned once holds on both sides of the groove: 24.9935; the floor keeps its own size."""
    grooved = [
        C(0, 0), C(0, 25), C(-30, 25), C(-30, 23.9), C(-31.3, 23.9), C(-31.3, 25), C(-50, 25), C(-50, 0),
    ]  # fmt: skip
    part = recognised(grooved, None, diameter("⌀25 h6", -10, 25))

    assert places(part) == [
        (0, 0), (0, 12.49675), (-30, 12.49675), (-30, 11.95), (-31.3, 11.95), (-31.3, 12.49675),
        (-50, 12.49675), (-50, 0),
    ]  # fmt: skip


def test_a_toleranced_groove_width_moves_its_back_wall() -> None:
    """1.3 H13 is +0.14/0 (ISO 286-2, up to 3 mm): the back wall goes to -31.37."""
    grooved = [
        C(0, 0), C(0, 25), C(-30, 25), C(-30, 23.9), C(-31.3, 23.9), C(-31.3, 25), C(-50, 25), C(-50, 0),
    ]  # fmt: skip
    part = recognised(grooved, None, dimension("1.3 H13", (-30, 12.5), (-31.3, 12.5)))

    assert places(part)[2:6] == [(-30, 12.5), (-30, 11.95), (-31.37, 11.95), (-31.37, 12.5)]


def test_a_bore_grows_with_its_chamfers() -> None:
    """20 H7 (+21/0 um): the bore goes to 10.00525 and both of its chamfers keep 1 x 45."""
    part = recognised(
        [C(0, 20, chamfer=1), C(0, 40), C(-30, 40), C(-30, 20, chamfer=1)], [], diameter("20H7", -10, 20)
    )

    inside = [p for p in places(part) if p[1] < 15]
    assert sorted(inside) == [(-30, 11.00525), (-29, 10.00525), (-1, 10.00525), (0, 11.00525)]


def test_over_tolerancing_is_said_and_the_finer_sizes_win() -> None:
    """20 +-0.01 and 25 +-0.01 but 45 +1/+0.8 over both: the coarse one can't be kept."""
    part = recognised(
        SHAFT,
        None,
        dimension("20 ±0.01", (0, 10), (-20, 12)),
        dimension("25 ±0.01", (-20, 12), (-45, 20)),
        dimension("45 +1/+0.8", (0, 10), (-45, 20)),
    )

    codes = [finding.code for finding in part.findings]
    assert codes == ["features/over-toleranced"]
    assert part.findings[0].measured == pytest.approx(0.9)


def test_a_target_that_would_fold_the_contour_is_refused() -> None:
    """20 +0.3/+0.2 behind a step of 0.05: the step would turn round, so the contour is kept and this said."""
    step = [C(0, 0), C(0, 20), C(-10, 20), C(-10, 20.1), C(-20, 20.1), C(-20, 0)]
    part = recognised(step, None, diameter("⌀20 +0.3/+0.2", -5, 20))

    assert [f.code for f in part.findings] == ["features/target-impossible"]
    assert part.target is part.profile


def test_a_dimension_that_contradicts_the_drawing_is_a_finding_and_moves_nothing() -> None:
    """A drafter's 26 h6 over a drawn 25: both values are said and the geometry is kept."""
    part = recognised(SHAFT, None, dimension("⌀26 h6", (-30, 12.5), (-30, -12.5), shown=26.0))

    assert [f.code for f in part.findings] == ["features/dimension-contradicts"]
    assert (part.findings[0].measured, part.findings[0].limit) == (25.0, 26.0)
    assert part.target is part.profile


def test_a_diameter_dimensioned_from_the_axis_is_no_contradiction() -> None:
    """In a half view the drafter writes the diameter over half of it."""
    part = recognised(SHAFT, None, dimension("⌀25 h6", (-30, 12.5), (-30, 0.0), shown=25.0))

    assert part.findings == ()
    assert (-45, 12.49675) in places(part)


def test_general_tolerance_gives_limits_but_moves_nothing() -> None:
    """ISO 2768-m: 20 +-0.2 (6 to 30 mm, ISO 2768-1 table 1), symmetric, so the target is the profile."""
    part = recognised(SHAFT, None, dimension("20", (0, 10), (-20, 12)), note("ISO 2768-mK", (-90, 60)))

    assert part.general_tolerance == "m"
    assert [(limit.upper, limit.lower) for limit in part.limits] == [(0.2, -0.2)]
    assert part.target is part.profile


def test_an_unknown_class_is_said() -> None:
    """A class outside the tables leaves the nominal size, with a finding."""
    part = recognised(SHAFT, None, diameter("⌀25 t6", -30, 25))

    assert [f.code for f in part.findings] == ["features/class-unknown"]
    assert part.target is part.profile


def test_the_class_that_suits_the_surface_is_taken() -> None:
    """H7/g6 on a shaft: g6 (20 mm: -7/-20 um, ISO 286-2), in a bore H7 (0/+21 um)."""
    shaft = recognised(SHAFT, None, diameter("⌀20 H7/g6", -10, 20))
    ring = [C(0, 20), C(0, 40), C(-20, 40), C(-20, 20)]
    bore = recognised(ring, [C(-20, 20), C(0, 20)], diameter("⌀20 H7/g6", -10, 20))

    assert max(y for x, y in places(shaft) if -19 < x <= -1) == 9.99325
    assert {y for _, y in places(bore)} == {20.0, 10.00525}
    assert [f.code for f in (*shaft.findings, *bore.findings)] == []


def test_a_class_of_holes_on_a_shaft_is_said() -> None:
    """H6 on an outside diameter is taken as written, with a finding that asks for h6."""
    part = recognised(SHAFT, None, diameter("⌀20 H6", -10, 20))

    assert [(f.code, f.hint) for f in part.findings] == [
        ("features/class-of-other-side", "Write h6 if that is meant.")
    ]


def test_a_diameter_dimensioned_in_an_end_view() -> None:
    """The circle lies beside the part: the one cylinder of that diameter is meant (25 k6: +15/+2 um)."""
    circle = dimension("⌀25 k6", (60, 3), (85, 3), kind=DimensionKind.DIAMETER)
    part = recognised(SHAFT, None, circle)

    assert 12.50425 in {y for _, y in places(part)}


def test_a_size_in_a_title_is_no_size_of_the_part() -> None:
    """SHAFT 20 H7 in a title block asks for nothing; with a diameter sign it would."""
    part = recognised(SHAFT, None, note("SHAFT 20 H7", (-60, -50)))

    assert part.target is part.profile and part.findings == ()


def test_the_wall_of_a_recess_takes_a_class_of_holes() -> None:
    """36 H7 in the back of a flange: +25 um, so the wall moves outwards by 6 um, and nothing is amiss."""
    part = recognised(
        [C(0, 0), C(0, 50), C(-20, 50), C(-20, 36), C(-17, 36), C(-17, 20), C(-40, 20), C(-40, 0)],
        None,
        note("36 H7", (-25, 20), ((-19, 18),)),
    )  # fmt: skip
    wall = next(s for s in part.target.segments if s.end.x > s.start.x and s.start.y > 15)

    assert wall.start.y == pytest.approx(18 + 0.5 * 0.0125)
    assert part.findings == ()
