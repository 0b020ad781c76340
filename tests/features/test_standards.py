"""Recognised features against the standards' tables; near misses are named, not matched."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from dxf2turn import tables
from dxf2turn.features.model import Groove, Taper, TurnedPart
from dxf2turn.features.recognise import recognise
from dxf2turn.options import DrawingOptions
from tests.features.kinds import outside_part, undercut_e, undercut_f
from tests.features.shapes import C, note, recognised


def grooved(d: float, floor: float, width: float) -> TurnedPart:
    return recognised([
        C(0, 0), C(0, d), C(-30, d), C(-30, floor), C(-30 - width, floor), C(-30 - width, d),
        C(-60, d), C(-60, 0),
    ])  # fmt: skip


def bored(d: float, floor: float, width: float) -> TurnedPart:
    return recognised(
        [C(0, d), C(0, 2 * d), C(-60, 2 * d), C(-60, d)],
        [C(-30 - width, d), C(-30 - width, floor), C(-30, floor), C(-30, d)],
    )


def groove(part: TurnedPart) -> Groove:
    (found,) = part.of_kind("groove")
    assert isinstance(found, Groove)
    return found


# DIN 471 and 472 sizes as in S5 to S9 of docs/tables.md: (d1, d2, m, ring thickness).
@pytest.mark.parametrize(
    ("d", "floor", "width", "thickness"), [(10, 9.6, 1.1, 1), (25, 23.9, 1.3, 1.2), (40, 37.5, 1.85, 1.75)]
)
def test_ring_grooves_on_shafts(d: float, floor: float, width: float, thickness: float) -> None:
    """Width and floor of DIN 471 name the ring."""
    found = groove(grooved(d, floor, width))

    assert (found.purpose, found.standard) == ("retaining ring", f"DIN 471 - {d}x{thickness}")


def test_ring_grooves_in_bores() -> None:
    """30 mm bore: 31.4 x 1.3 is DIN 472."""
    found = groove(bored(30, 31.4, 1.3))

    assert (found.purpose, found.standard) == ("retaining ring", "DIN 472 - 30x1.2")


@pytest.mark.parametrize(
    "row", tables.rows("retaining_rings"), ids=lambda row: f"{row['type']} {row['nominal_d1_mm']}"
)
def test_every_ring_of_the_table_is_found_when_drawn(row: tables.Row) -> None:
    """A groove drawn to the table's sizes gets that ring and no note."""
    build = grooved if row["type"].startswith("external") else bored
    d, floor, width = (
        row.number(c) for c in ("nominal_d1_mm", "groove_diameter_d2_mm", "groove_width_m_min_mm")
    )
    part = build(d, floor, width)

    assert groove(part).purpose == "retaining ring"
    assert part.findings == ()


def test_a_near_miss_is_named() -> None:
    """1.6 wide on a 20 mm shaft with the floor of the ring: the standard width is named, no ring matched."""
    part = grooved(20, 19, 1.6)

    assert groove(part).purpose is None
    assert [f.code for f in part.findings] == ["features/near-standard"]
    assert "1.3 mm fits the ring of 20 mm" in part.findings[0].text


def test_oring_grooves() -> None:
    """2.62 cord: 3.6 to 3.85 wide, 2.0 deep static and 2.25 dynamic (S15 of docs/tables.md)."""
    static, dynamic = groove(grooved(40, 36, 3.7)), groove(grooved(40, 35.5, 3.7))

    assert (static.purpose, static.standard) == ("o-ring", "O-ring 2.62, static radial")
    assert dynamic.standard == "O-ring 2.62, dynamic radial"


# DIN 509 sizes: r, t1, f (and t2) of S13, S14 in docs/tables.md; shaft of 40 mm.
@pytest.mark.parametrize(("r", "t1", "f"), [(0.6, 0.3, 2.5), (0.8, 0.3, 2.5), (1.0, 0.2, 2.5)])
def test_undercuts_of_form_e(r: float, t1: float, f: float) -> None:
    """Drawn to the table, the undercut gets its designation."""
    contour, _ = outside_part(undercut_e(r, t1, f, 3.0))
    found = groove(recognise(contour, DrawingOptions()))

    assert found.standard == f"DIN 509 - E {r:g} x {t1:g}"
    assert (found.corner_radius, found.depth, found.width) == pytest.approx((r, t1, f))


# g, the height of form F in the face: printed 2.1 for F 0.6x0.3 and 1.8 for F 1x0.2 (S13). It counts from the
# floor of the undercut; the table rounds to 0.1.
@pytest.mark.parametrize(("r", "t1", "f", "t2", "g"), [(0.6, 0.3, 2.5, 0.2, 2.1), (1.0, 0.2, 2.5, 0.1, 1.8)])
def test_undercuts_of_form_f_and_their_geometry(r: float, t1: float, f: float, t2: float, g: float) -> None:
    """Radius, 15 and 8 degrees and t2 give the printed g; the undercut gets its designation."""
    contour, _ = outside_part(undercut_f(r, t1, f, t2, 4.0))
    found = groove(recognise(contour, DrawingOptions()))

    assert found.standard == f"DIN 509 - F {r:g} x {t1:g}"
    assert found.r_large - found.r_small == pytest.approx(g, abs=0.06)
    assert found.mouth is not None and len(found.mouth) == 3


def test_thread_reliefs() -> None:
    """P 1.5 outside: dg = d - 2.3, 5.2 wide at most (DIN 76-1 A, from memory; GB/T 3-1997 copied)."""
    stud = [
        C(0, 0), C(0, 20, chamfer=1), C(-20, 20), C(-21.99, 17.7), C(-25.2, 17.7, radius=0.8), C(-25.2, 30),
        C(-40, 30), C(-40, 0),
    ]  # fmt: skip
    part = recognised(stud, None, note("M20x1.5-6g", (-10, 30), ((-10, 10),)))

    assert groove(part).purpose == "thread relief"
    assert "DIN 76-1 form A" in (groove(part).standard or "")


def coned(large: float, ratio: float, length: float) -> TurnedPart:
    return recognised([
        C(0, 0), C(0, large - ratio * length), C(-length, large), C(-length, large + 6),
        C(-length - 20, large + 6),
        C(-length - 20, 0),
    ])  # fmt: skip


# Morse ratios and gauge diameters: S21, S22; 1:x angles: S23 (docs/tables.md).
@pytest.mark.parametrize(
    ("large", "ratio", "name"),
    [
        (17.780, 1 / 20.020, "Morse MT2"),
        (23.825, 1 / 19.922, "Morse MT3"),
        (31.267, 1 / 19.254, "Morse MT4"),
        (30.0, 1 / 10, "ISO 1119 1:10"),
        (44.45, 7 / 24, "7/24"),
        (80.0, 1 / 20, "Metric (ISO 296) ME80"),
        (30.0, 1 / 20, "ISO 1119 1:20"),
    ],
)
def test_tapers(large: float, ratio: float, name: str) -> None:
    """Ratio and gauge diameter name the taper."""
    (found,) = [t for t in coned(large, ratio, 40).of_kind("taper")]

    assert isinstance(found, Taper)
    assert found.standard == name


def test_the_angle_of_a_one_to_ten_taper() -> None:
    """Half angle 2.8624 degrees (S23: 2.86240522)."""
    (found,) = coned(30.0, 0.1, 40).of_kind("taper")

    assert math.degrees(found.half_angle) == pytest.approx(2.86240522, abs=1e-6)  # type: ignore[attr-defined]


def test_a_taper_that_nearly_fits_is_named() -> None:
    """1:19.8 at the gauge diameter of MT3 is not MT3, and this is said."""
    part = coned(23.825, 1 / 19.8, 60)

    assert part.of_kind("taper")[0].standard is None  # type: ignore[attr-defined]
    assert "Morse MT3 is 1:19.922" in part.findings[0].text


def test_odd_edge_sizes_get_a_word_in_their_note() -> None:
    """A chamfer of 0.93 is no preferred size; one of 1 is."""
    odd = recognised([C(0, 0), C(0, 20, chamfer=0.93), C(-30, 20, chamfer=1), C(-30, 0)])

    assert [f.note for f in odd.of_kind("chamfer")] == ["chamfer 0.93 is no preferred size; 1 is", ""]


def test_a_note_that_names_a_standard_is_held_against_the_groove() -> None:
    """Right ring: silence. Another ring's note, or a note where nothing is drawn: a finding each."""
    outer = [
        C(0, 0), C(0, 25), C(-30, 25), C(-30, 23.9), C(-31.3, 23.9), C(-31.3, 25), C(-60, 25), C(-60, 40),
        C(-80, 40), C(-80, 0),
    ]  # fmt: skip
    tip = ((-30.6, 12.0),)
    right = recognised(outer, None, note("DIN 471 - 25x1.2", (-30, 40), tip))
    wrong = recognised(outer, None, note("DIN 471 - 30x1.5", (-30, 40), tip))
    missing = recognised(outer, None, note("DIN 509 - E 0.6x0.3", (-60, 40), ((-60, 12.5),)))

    assert right.findings == ()
    assert [f.code for f in wrong.findings] == ["features/groove-contradicts"]
    assert [f.code for f in missing.findings] == ["features/groove-not-drawn"]


def cone(large: float, length: float, ratio: float, *notes: object) -> TurnedPart:
    small = large - ratio * length
    outer = [C(0, 0), C(0, small), C(-length, large), C(-length - 10, large), C(-length - 10, 0)]
    return recognised(outer, None, *notes)


@pytest.mark.parametrize(
    ("length", "name"), [(3.5 * 25.4, "Jarno No. 7"), (40.0, "ISO 1119 1:20")], ids=["whole", "short"]
)
def test_a_jarno_taper_needs_both_its_diameters(length: float, name: str) -> None:
    """No. 7: 7/8 in and 7/10 in at the ends (its definition); any other 1:20 is the general taper."""
    (taper,) = cone(0.875 * 25.4, length, 0.05).of_kind("taper")

    assert taper.standard == name  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("MORSE TAPER No. 3", []),
        ("MT3", []),
        ("MT2", ["features/taper-contradicts"]),
        ("TAPER 1:10", ["features/taper-contradicts"]),
        ("SCALE 1:2", []),
        ("1/2-14 NPT", ["features/thread-unplaced"]),
        ("7/24", ["features/taper-contradicts"]),
    ],
)
def test_a_note_that_names_a_taper_is_held_against_the_cone(text: str, said: list[str]) -> None:
    """A cone with the ratio and the gauge diameter of Morse 3 (1:19.922, 23.825 mm, S21 and S22)."""
    part = cone(23.825, 50, 0.05019576, note(text, (-25, 20), ((-25, 11.28),)))

    assert [f.code for f in part.findings] == said


def test_a_barb_is_no_near_miss_of_a_standard_angle() -> None:
    """29.86 degrees is no slip of the 30 degrees of ISO 1119: the angles are not spoken of."""
    part = recognised([C(0, 0), C(0, 8), C(-6, 11.2), C(-6, 8), C(-20, 8), C(-20, 0)])

    assert part.findings == ()


def test_a_through_bore_with_a_countersink_is_no_centre_hole() -> None:
    """A pilot is short and blind: a bore of 10 mm with a 60 degree mouth of 20 mm is neither."""
    cone = 5 / math.tan(math.radians(30))
    part = recognised([C(0, 20), C(0, 50), C(-60, 50), C(-60, 10)], [C(-cone, 10)])

    assert part.of_kind("centre_hole") == ()


def test_a_taper_note_that_points_at_no_taper_is_said() -> None:
    """1:10 with its leader on a cylinder: nothing there tapers."""
    part = recognised([C(0, 0), C(0, 20), C(-60, 20), C(-60, 0)], None, note("1:10", (-20, 20), ((-25, 10),)))

    assert [f.code for f in part.findings] == ["features/taper-not-drawn"]


@pytest.mark.parametrize(
    ("diameter", "said"),
    [(40.0, "bar size"), (40.2, "0.2 mm above the bar of 40 mm"), (41.3, "")],
)
def test_the_largest_diameter_is_held_against_bar_sizes(diameter: float, said: str) -> None:
    """40 mm is a bar of EN 10060 and EN 10278 (S41, S42, partly from memory); smaller ones say nothing."""
    part = recognised([C(0, 0), C(0, 20), C(-20, 20), C(-20, diameter), C(-60, diameter), C(-60, 0)])
    small, large = part.of_kind("cylinder")

    assert small.note == ""
    assert large.note.startswith(said) if said else large.note == ""


def test_a_note_of_another_undercut_is_told_which_one_is_drawn() -> None:
    """The form E 0.8 x 0.3 is drawn, the note says F 0.6 x 0.3."""
    contour, _ = outside_part(undercut_e(0.8, 0.3, 2.5, 3.0))
    # The base surface of these parts has r 20 and the undercut begins at z -10.
    part = recognise(
        replace(contour, notes=(note("DIN 509 - F 0.6x0.3", (-5, 40), ((-11, 19.8),)),)), DrawingOptions()
    )

    assert [f.code for f in part.findings] == ["features/groove-contradicts"]
    assert "the groove there is DIN 509 - E 0.8 x 0.3" in part.findings[0].text
