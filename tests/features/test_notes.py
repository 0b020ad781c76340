"""Notes for people: sizes as written, roughness, material, knurls, centre holes, and what they mean."""

from __future__ import annotations

import math

import pytest

from dxf2turn.features.roughness import roughness_in
from dxf2turn.features.size_text import chamfers_in, size_in
from tests.features.shapes import C, note, recognised

SHAFT = [C(0, 0), C(0, 20), C(-30, 20), C(-30, 40), C(-60, 40), C(-60, 0)]


@pytest.mark.parametrize(
    ("text", "nominal", "sign", "fits", "upper", "lower"),
    [
        ("⌀25 h6", 25, "d", ("h6",), None, None),
        ("%%c25 H7/g6", 25, "d", ("H7", "g6"), None, None),
        ("25H7", 25, "", ("H7",), None, None),
        ("⌀16js6", 16, "d", ("js6",), None, None),
        ("20 ±0.1", 20, "", (), 0.1, -0.1),
        ("20 %%p0,1", 20, "", (), 0.1, -0.1),
        ("20 +0.2/0", 20, "", (), 0.2, 0.0),
        ("20 +0,2 -0,1", 20, "", (), 0.2, -0.1),
        ("⌀40 +0.1\n-0.2", 40, "d", (), 0.1, -0.2),
        ("40 -0.1", 40, "", (), 0.0, -0.1),
        (".750 +.000/-.002", 0.75, "", (), 0.0, -0.002),
        ("1 1/4 ±.002", 1.25, "", (), 0.002, -0.002),
        ("h6", None, "", ("h6",), None, None),
        ("R5", 5, "r", (), None, None),
        ("⌀30 k6 (+0.015/+0.002)", 30, "d", ("k6",), 0.015, 0.002),
        ("⌀20 n6", 20, "d", ("n6",), None, None),
        ("⌀25 M7", 25, "d", ("M7",), None, None),
        ("⌀20h6 Ra 0.8", 20, "d", ("h6",), None, None),
    ],
)
def test_sizes_as_written(
    text: str,
    nominal: float | None,
    sign: str,
    fits: tuple[str, ...],
    upper: float | None,
    lower: float | None,
) -> None:
    """Nominal, sign, classes and deviations of the common ways of writing."""
    found = size_in(text)

    assert found is not None
    assert (found.nominal, found.sign, found.fits) == (nominal, sign, fits)
    assert (found.upper, found.lower) == (upper, lower)


def test_limits_as_written() -> None:
    """Two nearly equal numbers are the limits of one size."""
    found = size_in("25.1/24.9")

    assert found is not None and found.nominal == 24.9
    assert found.upper == pytest.approx(0.2) and found.lower == 0.0
    inches = size_in("⌀.7500/.7490")
    assert inches is not None and (inches.nominal, inches.upper) == (0.749, pytest.approx(0.001))


@pytest.mark.parametrize(
    "text", ["M20x1.5", "DIN 471 - 25x1.2", "Ra 3.2", "SCALE 1:1", "1x45°", "C1", "20.1 MAX"]
)
def test_other_notes_are_no_sizes(text: str) -> None:
    """Threads, standards, roughness, scales and chamfers are read elsewhere."""
    assert size_in(text) is None


def test_chamfer_notes() -> None:
    """Length and angle, decimal comma included."""
    (found,) = chamfers_in("2x 1,5x30°")

    assert (found.length, found.angle_deg) == (1.5, 30.0)
    assert [(c.length, c.angle_deg) for c in chamfers_in("C0.5")] == [(0.5, 45.0)]


def test_roughness_goes_where_it_points_and_the_general_one_everywhere_else() -> None:
    """Ra 0.8 by a leader on the small cylinder; N8 (Ra 3.2, ISO 1302:1992 by S43) for the rest."""
    part = recognised(SHAFT, None, note("Ra 0.8", (-15, 25), ((-15, 10),)), note("N8", (-60, -50)))

    assert [f.roughness_ra_um for f in part.features if (f.kind, f.r_large) == ("cylinder", 10)] == [0.8]
    assert {f.roughness_ra_um for f in part.features} == {0.8, 3.2}


def test_a_tolerance_class_is_no_roughness_grade() -> None:
    """N7 behind a size is a class of holes (ISO 286), alone it is a grade (ISO 1302:1992)."""
    assert roughness_in("⌀25 N7") is None
    assert roughness_in("N7") == 1.6


def test_roughness_beside_a_surface_speaks_of_it() -> None:
    """A symbol that stands on the line needs no leader."""
    part = recognised(SHAFT, None, note("Ra 1.6", (-45, 21), height=2.5))

    assert [f.kind for f in part.features if f.roughness_ra_um == 1.6] == ["cylinder"]


@pytest.mark.parametrize(
    ("text", "material"),
    [
        ("42CrMo4   ISO 2768-m", "42CrMo4"),
        ("MATERIAL: AISI 303", "AISI 303"),
        ("4140", "AISI 4140"),
        ("Werkstoff: Vulkollan 80", "Vulkollan 80"),
        ("1.4301", "1.4301"),
        ("DRAWING 4140-7", None),
        ("%%c1.2500 +.0000/-.0005", None),
    ],
)
def test_materials(text: str, material: str | None) -> None:
    """Known names anywhere, unknown ones behind a label, a bare number only when it stands alone."""
    assert recognised(SHAFT, None, note(text, (-60, -50))).material_note == material


def test_a_labelled_material_goes_before_names_elsewhere() -> None:
    """The title block's label counts more than a name in a remark."""
    notes = (note("CUT FROM C45 BAR", (-60, -50)), note("MATERIAL: 42CrMo4", (-60, -60)))

    assert recognised(SHAFT, None, *notes).material_note == "42CrMo4"


def test_knurls() -> None:
    """DIN 82 letters and words, over the cylinder they point at; a missing pitch is said."""
    part = recognised(SHAFT, None, note("DIN 82 - RGE 0.8", (-45, 40), ((-45, 20),)))
    words = recognised(SHAFT, None, note("STRAIGHT KNURL", (-45, 40), ((-45, 20),)))
    (knurl,) = part.of_kind("knurl")

    assert (knurl.form, knurl.pitch, knurl.z_front, knurl.z_back) == ("diamond raised", 0.8, -30, -60)  # type: ignore[attr-defined]
    assert [f.code for f in words.findings] == ["features/knurl-incomplete"]


@pytest.mark.parametrize(
    ("text", "pitch"),
    [("KNURL DIAMOND 0.8", 0.8), ("KNURL 21 TPI", 25.4 / 21), ("MEDIUM DIAMOND KNURL", 25.4 / 21),
        ("96 DP DIAMOND KNURL", 25.4 * math.pi / 96), ("DIN 82 - RGE 30° - 1", 1.0), ("RGE 30 0,8", 0.8)],
)  # fmt: skip
def test_pitches_of_knurls_in_words(text: str, pitch: float) -> None:
    """A bare number behind the words, teeth an inch, the trade's grades (common practice), diametral pitch
    (teeth for an inch of diameter, by definition), an angle before the pitch."""
    (knurl,) = recognised(SHAFT, None, note(text, (-45, 40), ((-45, 20),))).of_kind("knurl")

    assert knurl.pitch == pytest.approx(pitch)  # type: ignore[attr-defined]


def test_centre_holes_from_notes() -> None:
    """A 4/8.5 (ISO 6411 by S18) at the end it points at; 2x at both; A4 alone is a paper size."""
    front = recognised(SHAFT, None, note("ISO 6411 - A 4/8.5", (10, 5), ((0, 1),)))
    both = recognised(SHAFT, None, note("2x DIN 332 B2.5/8", (10, 5)))
    paper = recognised(SHAFT, None, note("A4", (10, 5)))
    wrong = recognised(SHAFT, None, note("ISO 6411 - A 4.5/9", (10, 5)))
    (hole,) = front.of_kind("centre_hole")

    assert (hole.form, hole.size, hole.side, hole.z_back) == ("A", "4/8.5", "face", -7.4)  # type: ignore[attr-defined]
    assert [h.side for h in both.of_kind("centre_hole")] == ["face", "end"]
    assert paper.of_kind("centre_hole") == ()
    assert [f.code for f in wrong.findings] == ["features/centre-hole-not-standard"]


@pytest.mark.parametrize(
    ("text", "form", "size"),
    [
        ("#3 CENTER DRILL", "A", "#3"),
        ("CENTER DRILL NO. 4", "A", "#4"),
        ("#13 BELL CENTER DRILL", "B", "#13"),
    ],
)
def test_centre_drills_by_number(text: str, form: str, size: str) -> None:
    """Numbers of ASME B94.11M (from memory): a #3 has a drill of 7/64 in, so its pilot is 2.78 mm wide."""
    part = recognised(SHAFT, None, note(text, (10, 5), ((0, 1),)))
    (hole,) = part.of_kind("centre_hole")

    assert (hole.form, hole.size, hole.side) == (form, size, "face")  # type: ignore[attr-defined]


def test_a_centre_hole_with_a_thread_is_said() -> None:
    """DIN 332-D M8: not in the tables, so a finding and no hole."""
    part = recognised(SHAFT, None, note("DIN 332-D M8", (10, 5), ((0, 1),)))

    assert part.of_kind("centre_hole", "thread") == ()
    assert [f.code for f in part.findings] == ["features/centre-hole-threaded"]


def test_a_drawn_centre_hole_is_named() -> None:
    """Pilot 4, cone of 60 degrees to 8.5 and a drill point: ISO 6411 A 4/8.5 over hole and cone."""
    cone = (8.5 - 4) / 2 / math.tan(math.radians(30))
    point = 2 / math.tan(math.radians(60))
    part = recognised(
        [C(0, 8.5), C(0, 20), C(-60, 20), C(-60, 0)], [C(-7.4 - point, 0), C(-7.4, 4), C(-cone, 4)]
    )
    (hole,) = part.of_kind("centre_hole")

    assert (hole.form, hole.size, hole.side) == ("A", "4/8.5", "face")  # type: ignore[attr-defined]
    assert "hole" in [f.kind for f in part.features]


def test_a_chamfer_note_that_the_drawing_contradicts() -> None:
    """1x45 and the same chamfer from the other surface are right; 2x45 on a chamfer of 1 is a finding."""
    outer = [C(0, 0), C(0, 20, chamfer=1), C(-30, 20), C(-30, 0)]
    right = recognised(outer, None, note("1x45°", (5, 15), ((-0.5, 9.5),)))
    wrong = recognised(outer, None, note("2x45°", (5, 15), ((-0.5, 9.5),)))
    flat = recognised(
        [C(0, 0), C(0, 18), C(-1.732, 20), C(-30, 20), C(-30, 0)],
        None,
        note("1x60°", (5, 15), ((-0.9, 9.5),)),
    )

    assert right.findings == () and flat.findings == ()
    assert [f.code for f in wrong.findings] == ["features/dimension-contradicts"]


@pytest.mark.parametrize(
    "text", ["1/0", "%%c1/0 +.1/-.1", "0/0", "%%c0 h6", "Ra 0", "Rz 0", "KNURL 0", "1:0", "0x45°"]
)
def test_nonsense_numbers_break_nothing(text: str) -> None:
    """Zero sizes and impossible fractions on a drawing: the part is recognised all the same."""
    part = recognised(SHAFT, None, note(text, (-45, 30), ((-45, 20),)))

    assert part.target is part.profile
