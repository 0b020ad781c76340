"""Thread designations, basic sizes and class limits against published rows."""

from __future__ import annotations

import math

import pytest

from dxf2turn.features.designation import find_designations
from dxf2turn.features.thread_sizes import guess_size, thread_size
from dxf2turn.features.threads_iso import iso_limits, unified_limits

# (d, P, d max, d min, d2 max, d2 min) in mm, class 6g. Sources, keys as in docs/tables.md:
# M6 TS04 and TS05; M8 TS15, TS09, TS07; M10 TS15, TS09; M12 TS07 (one misprint corrected); M20, M24 TS07;
# M10x1.25, M12x1.5, M14x1.5, M16x1.5, M20x2, M20x1.5, M22x1.5 TS05; M6x0.75 and M12x1.25 TS15, TS05.
PUBLISHED_6G = [
    (6, 1, 5.974, 5.794, 5.324, 5.212), (6, 0.75, 5.978, 5.838, 5.491, 5.391),
    (8, 1.25, 7.972, 7.760, 7.160, 7.042), (8, 1, 7.974, 7.794, 7.324, 7.212),
    (10, 1.5, 9.968, 9.732, 8.994, 8.862), (10, 1.25, 9.972, 9.760, 9.160, 9.042),
    (10, 1, 9.974, 9.794, 9.324, 9.212), (12, 1.75, 11.966, 11.701, 10.829, 10.679),
    (12, 1.5, 11.968, 11.732, 10.994, 10.854), (12, 1.25, 11.972, 11.760, 11.160, 11.028),
    (14, 1.5, 13.968, 13.732, 12.994, 12.854), (16, 1.5, 15.968, 15.732, 14.994, 14.854),
    (18, 2, 17.962, 17.682, 16.663, 16.503), (18, 1.5, 17.968, 17.732, 16.994, 16.854),
    (20, 2.5, 19.958, 19.623, 18.334, 18.164), (20, 2, 19.962, 19.682, 18.663, 18.503),
    (20, 1.5, 19.968, 19.732, 18.994, 18.854), (22, 2, 21.962, 21.682, 20.663, 20.503),
    (22, 1.5, 21.968, 21.732, 20.994, 20.854), (24, 3, 23.952, 23.577, 22.003, 21.803),
]  # fmt: skip
# Larger coarse sizes: computed from the tolerance tables of TS01 and TS08 with the formula of TS06; the table
# of TS03 agrees to its two decimals.
COMPUTED_6G = [
    (14, 2, 13.962, 13.682, 12.663, 12.503), (16, 2, 15.962, 15.682, 14.663, 14.503),
    (18, 2.5, 17.958, 17.623, 16.334, 16.164), (22, 2.5, 21.958, 21.623, 20.334, 20.164),
    (27, 3, 26.952, 26.577, 25.003, 24.803), (30, 3.5, 29.947, 29.522, 27.674, 27.462),
    (33, 3.5, 32.947, 32.522, 30.674, 30.462), (36, 4, 35.940, 35.465, 33.342, 33.118),
]  # fmt: skip


@pytest.mark.parametrize("row", PUBLISHED_6G + COMPUTED_6G, ids=lambda row: f"M{row[0]}x{row[1]}")
def test_metric_limits_m6_to_m36(row: tuple[float, ...]) -> None:
    """Class 6g as published, to half a micrometre and the rounding of the row."""
    d, pitch, *printed = row
    limits = iso_limits(d, pitch, "6g")

    assert limits is not None
    got = (limits.crest[1], limits.crest[0], limits.pitch[1], limits.pitch[0])
    assert got == pytest.approx(printed, abs=0.0006)


# Internal 6H: D2 min and D1 min equal the basic sizes (TS03); M10: TD1 300, TD2 180 um (TS03, TS14).
def test_internal_limits_of_m10() -> None:
    """M10-6H: D1 8.376 to 8.676, D2 9.026 to 9.206."""
    limits = iso_limits(10.0, 1.5, "6H")

    assert limits is not None
    assert limits.crest == pytest.approx((8.376, 8.676), abs=0.0006)
    assert limits.pitch == pytest.approx((9.026, 9.206), abs=0.0006)


# (major in, tpi, series, major max, major min, pitch max, pitch min) inch, class 2A.
# Sources: TS12 (eFunda) for #0-80 to #3-48, TS07 (ASME B1.1-2019 data) for the rest, see docs/tables.md.
UNIFIED_2A = [
    (0.060, 80, "UNF", 0.0595, 0.0563, 0.0514, 0.0496), (0.073, 64, "UNC", 0.0724, 0.0686, 0.0623, 0.0603),
    (0.086, 56, "UNC", 0.0854, 0.0813, 0.0738, 0.0717), (0.099, 48, "UNC", 0.0983, 0.0938, 0.0848, 0.0825),
    (0.190, 24, "UNC", 0.1890, 0.1818, 0.1619, 0.1586), (0.190, 32, "UNF", 0.1891, 0.1831, 0.1688, 0.1658),
    (0.250, 20, "UNC", 0.2489, 0.2408, 0.2164, 0.2127), (0.250, 28, "UNF", 0.2490, 0.2425, 0.2258, 0.2225),
    (0.500, 13, "UNC", 0.4985, 0.4876, 0.4485, 0.4435), (0.500, 20, "UNF", 0.4987, 0.4906, 0.4662, 0.4619),
    (0.750, 10, "UNC", 0.7482, 0.7353, 0.6832, 0.6773), (0.750, 16, "UNF", 0.7485, 0.7391, 0.7079, 0.7029),
    (1.000, 12, "UNF", 0.9982, 0.9868, 0.9441, 0.9382), (1.000, 14, "UNS", 0.9984, 0.9881, 0.9520, 0.9467),
]  # fmt: skip


@pytest.mark.parametrize("row", UNIFIED_2A, ids=lambda row: f"{row[0]}-{row[1]}")
def test_unified_limits(row: tuple[float, float, str, float, float, float, float]) -> None:
    """Class 2A as published, exact to the four decimals of the tables."""
    major, tpi, series, *printed = row
    limits = unified_limits(major * 25.4, tpi, series, "2A")

    assert limits is not None
    got = [x / 25.4 for x in (limits.crest[1], limits.crest[0], limits.pitch[1], limits.pitch[0])]
    assert got == pytest.approx(printed, abs=0.00005)


def test_the_root_puts_the_pitch_diameter_in_the_middle() -> None:
    """A tool with the basic root rounding (H/6) at `cut_to` leaves d2 in the middle of 6g.

    d2 = root + H - 2 R with R = H/6: the sharp vee lies R below the rounded root and H/2 below d2.
    """
    size = thread_size(find_designations("M20x1.5-6g")[0], False)

    assert size is not None
    height = math.sqrt(3) / 2 * 1.5
    pitch_diameter = size.cut_to - 2 * height / 6 + height
    assert pitch_diameter == pytest.approx(0.5 * (18.994 + 18.854), abs=0.0006)


# Pipe, trapezoidal and Acme sizes: TS16, TS17, TS02, TS21, TS22 in docs/tables.md.
@pytest.mark.parametrize(
    ("text", "inside", "major", "pitch_diameter", "minor", "pitch"),
    [
        ("G1/2", False, 20.955, 19.793, 18.631, 25.4 / 14),
        ("R 3/4", False, 26.441, 25.279, 24.117, 25.4 / 14),
        ("Rc 1/2", True, 20.955, 19.793, 18.631, 25.4 / 14),
        ("Tr40x7", False, 40.0, 36.5, 32.0, 7.0),
        ("Tr40x7", True, 40.0, 36.5, 33.0, 7.0),
        ("1/2-10 ACME", False, 12.7, 0.45 * 25.4, 0.38 * 25.4, 2.54),
    ],
)
def test_other_families(
    text: str, inside: bool, major: float, pitch_diameter: float, minor: float, pitch: float
) -> None:
    """Basic sizes of pipe, trapezoidal and Acme threads."""
    size = thread_size(find_designations(text)[0], inside)

    assert size is not None
    got = (size.major, size.pitch_diameter, size.minor, size.pitch)
    assert got == pytest.approx((major, pitch_diameter, minor, pitch), abs=0.001)


def test_npt_sizes() -> None:
    """1/2-14 NPT: E0 0.75843 in at the small end, height 0.8 p, taper 1:16 (ASME B1.20.1 by TS02 p. 1861)."""
    size = thread_size(find_designations("1/2-14 NPT")[0], False)

    assert size is not None
    assert size.taper == 1 / 16
    assert 0.5 * (size.cut_from + size.cut_to) == pytest.approx(0.75843 * 25.4, abs=0.001)
    assert size.cut_from - size.cut_to == pytest.approx(2 * 0.8 / 14 * 25.4, abs=0.001)


@pytest.mark.parametrize(
    ("text", "family", "size", "pitch", "starts", "hand", "thread_class"),
    [
        ("M20", "M", "20", None, 1, "right", ""),
        ("M20 x 1,5 - 6g", "M", "20", 1.5, 1, "right", "6g"),
        ("M20X1.5", "M", "20", 1.5, 1, "right", ""),
        ("⌀M20x1.5-6g-LH", "M", "20", 1.5, 1, "left", "6g"),
        ("%%cM12x1.75 - 5g6g", "M", "12", 1.75, 1, "right", "5g6g"),
        ("M20x4P2", "M", "20", 2.0, 2, "right", ""),
        ("M16 x Ph3 P1.5", "M", "16", 1.5, 2, "right", ""),
        ("M24x1.5-6g (LEFT HAND)", "M", "24", 1.5, 1, "left", "6g"),
        ("1/2-13 UNC-2A", "UN", "1/2", 25.4 / 13, 1, "right", "2A"),
        ('1/2"-13UNC', "UN", "1/2", 25.4 / 13, 1, "right", ""),
        ("3/4-16 UNF", "UN", "3/4", 25.4 / 16, 1, "right", ""),
        ("#10-32", "UN", "#10", 25.4 / 32, 1, "right", ""),
        ("10-32 UNF", "UN", "#10", 25.4 / 32, 1, "right", ""),
        ("1-20 UNEF", "UN", "1", 25.4 / 20, 1, "right", ""),
        ("1 1/8-7 UNC", "UN", "1 1/8", 25.4 / 7, 1, "right", ""),
        (".250-20 UNC", "UN", "1/4", 25.4 / 20, 1, "right", ""),
        ("1/4 UNC", "UN", "1/4", None, 1, "right", ""),
        ("UNC 1/4-20", "UN", "1/4", 25.4 / 20, 1, "right", ""),
        ("2-4 1/2 UNC", "UN", "2", 25.4 / 4.5, 1, "right", ""),
        ("G1/2 A", "G", "1/2", None, 1, "right", "A"),
        ("G 1 1/4", "G", "1 1/4", None, 1, "right", ""),
        ("R 3/4", "R", "3/4", None, 1, "right", ""),
        ("Rc 1/2", "Rc", "1/2", None, 1, "right", ""),
        ("NPT 3/4", "NPT", "3/4", None, 1, "right", ""),
        ("Tr20x4 LH", "Tr", "20", 4.0, 1, "left", ""),
        ("Tr40x14(P7)-7e", "Tr", "40", 7.0, 2, "right", "7e"),
        ("1-5 ACME", "ACME", "1", 5.08, 1, "right", ""),
        ("Rd40x1/6", "Rd", "40", 25.4 / 6, 1, "right", ""),
        ("S48x8", "S", "48", 8.0, 1, "right", ""),
        ("M20x1.5 left hand", "M", "20", 1.5, 1, "left", ""),
        ("M20x1.5 LINKS", "M", "20", 1.5, 1, "left", ""),
        ("m20x1,5", "M", "20", 1.5, 1, "right", ""),
        ("M20-1.5", "M", "20", 1.5, 1, "right", ""),
        ("M20 P1.5", "M", "20", 1.5, 1, "right", ""),
        ("MF20x1.5", "M", "20", 1.5, 1, "right", ""),
        ("1/2 BSP", "G", "1/2", None, 1, "right", ""),
        ('BSPP 3/4"-14', "G", "3/4", None, 1, "right", ""),
        ("1/2-14 BSPT", "R", "1/2", None, 1, "right", ""),
        ("1/8-27 NPTF", "NPT", "1/8", None, 1, "right", ""),
        ("M3x.5", "M", "3", 0.5, 1, "right", ""),
        ("M20x3 (1.5P)", "M", "20", 1.5, 2, "right", ""),
        ("M20x1.5 double start", "M", "20", 1.5, 2, "right", ""),
        ("Tr40x14 2-START", "Tr", "40", 7.0, 2, "right", ""),
        ("1/2-13 UNRC-2A", "UN", "1/2", 25.4 / 13, 1, "right", "2A"),
        ('1"-8', "UN", "1", 25.4 / 8, 1, "right", ""),
        ("Rd 38x3 DIN 405", "Rd", "38", 3.0, 1, "right", ""),
        ('R 1"', "R", "1", None, 1, "right", ""),
        ("M12 x 45°", "M", "12", None, 1, "right", ""),
    ],
)
def test_designations_as_designers_write_them(
    text: str, family: str, size: str, pitch: float | None, starts: int, hand: str, thread_class: str
) -> None:
    """One designation is found, and it means what it says."""
    (found,) = find_designations(text)

    assert (found.family, found.size, found.starts, found.hand) == (family, size, starts, hand)
    assert found.thread_class == thread_class
    assert found.pitch == (None if pitch is None else pytest.approx(pitch))


@pytest.mark.parametrize(
    "text",
    [
        "42CrMo4",
        "ISO 2768-mK",
        "1x45°",
        "2 x 30°",
        "⌀25 h6",
        "R5",
        "R0.8",
        "DIN 471 - 25x1.2",
        "Ra 3.2",
        "A4",
        "M 1:2",
        "SCALE M1:1",
        "⌀25 M7",
        "%%c12 M8",
        "40 M6",
    ],
)
def test_what_is_no_thread_is_not_taken_for_one(text: str) -> None:
    """Materials, standards, chamfers, fits, radii and roughness are no threads."""
    assert find_designations(text) == ()


def test_counts_and_lengths() -> None:
    """`2x M8` are two threads; in `M8x20` 20 is a length, no pitch is that coarse."""
    assert find_designations("2x M8")[0].count == 2
    assert find_designations("M8x20")[0].length == 20.0
    assert find_designations("M6x1x12")[0].length == 12.0
    assert [find_designations(t)[0].length for t in ("M8 12 deep", "M8 \u21a712", "M8 TIEF 12")] == [12.0] * 3
    assert find_designations("1/4-20 UNC x 1/2")[0].length == pytest.approx(12.7)


@pytest.mark.parametrize("text", ["2X M12", "M12 (2x)", "M12 - 2 PLACES", "M12 both ends", "M12 (2 PL)"])
def test_counts_stand_before_or_behind(text: str) -> None:
    """Both ends, two places, 2x: two threads; a chamfer behind the thread is no count."""
    assert find_designations(text)[0].count == 2
    assert find_designations("M12 2 x 45°")[0].count == 1


@pytest.mark.parametrize(
    ("text", "spelled"),
    [
        ("QTY 10 un", None),
        ("M 20 X 1,5 - 6g LH", "M20x1.5-6g-LH"),
        ("m20x1.5", "M20x1.5"),
        ("M20xPh3P1.5", "M20xPh3P1.5"),
        ("TR24X10(P5)-7e", "Tr24x10P5-7e"),
        ('3/4"-16UNF 2A', "3/4-16 UNF-2A"),
        (".500-13unc-2a", "1/2-13 UNC-2A"),
        ("1-1/4-5 ACME 2G LH", "1 1/4-5 ACME-2G-LH"),
        ("1/2-13 UNC-2A 2 START", "1/2-13 UNC-2A (2 START)"),
    ],
)
def test_one_spelling(text: str, spelled: str | None) -> None:
    """However a designer writes it, the designation reads as its standard spells it."""
    assert [found.text for found in find_designations(text)] == ([] if spelled is None else [spelled])


def test_nearest_standard_sizes_are_named() -> None:
    """M19x1.5 is not in ISO 261: the note names M18 and M20; 1/2-15 names the series of its size."""
    metric = thread_size(find_designations("M19x1.5")[0], False)
    unified = thread_size(find_designations("1/2-15 UN")[0], False)

    assert metric is not None and "M18 and M20" in metric.remarks[0].text
    assert unified is not None and "1/2-13 UNC" in unified.remarks[0].text
    assert thread_size(find_designations("M19")[0], False) is None


def test_a_thin_line_tells_the_size() -> None:
    """A root line to size gives the fine pitch; one drawn by eye (0.8 d) gives the coarse one."""
    fine, coarse = guess_size(20.0, 18.16, False), guess_size(20.0, 16.0, False)

    assert fine is not None and fine.designation == "M20x1.5"
    assert coarse is not None and coarse.designation == "M20"
    assert guess_size(19.3, 17.0, False) is None
    assert guess_size(35.0, 42.0, True) is None  # a bore of 35 is no core of M42


@pytest.mark.parametrize("text", ["M0", "M20x0", "M0x0", "1/0-13 UNC", "Rd20x1/0", "S20x0", "G 1/0"])
def test_sizes_of_nothing_are_no_threads(text: str) -> None:
    """A zero or an impossible fraction names no thread, and breaks nothing."""
    assert all(d.major != 0.0 and d.pitch != 0.0 for d in find_designations(text))


def test_pitches_beyond_the_table_have_no_sizes() -> None:
    """The tolerances of ISO 965-1 begin at 0.2 mm; a pitch of half the diameter leaves no core."""
    assert thread_size(find_designations("M30x0.001")[0], False) is None
    assert thread_size(find_designations("M2xPh8P2")[0], False) is None
