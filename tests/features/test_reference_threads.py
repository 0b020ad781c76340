"""Every thread value that was read in a source (tests/features/reference) against what the code gives."""

from __future__ import annotations

import pytest

from dxf2turn import tables
from dxf2turn.features import threads_iso
from dxf2turn.features.designation import Designation, find_designations
from dxf2turn.features.thread_size import ThreadSize
from dxf2turn.features.thread_sizes import coarse_pitch, metric_pitches, thread_size
from tests.features.reference_rows import differing, off, reference

INCH = 25.4
HALF_MICRON = 0.00051  # mm, the rounding of three decimals
FOURTH_PLACE = 0.000051  # inch
ISO_LIMIT = 0.0006  # mm: the rounding of the limit and that of the pitch diameter it starts from


def size_of(text: str, inside: bool = False) -> ThreadSize:
    """The sizes of a designation that stands for itself."""
    (found,) = find_designations(text)
    size = thread_size(found, inside)
    assert size is not None, text
    return size


def test_iso_metric_sizes() -> None:
    """d2, D1 and d3 of all 133 sizes; the coarse pitch follows from the diameter alone."""

    def wrong(row: tables.Row) -> str:
        d, pitch = row.number("d_mm"), row.number("pitch_mm")
        name = f"M{row['d_mm']}x{row['pitch_mm']}"
        outside, inside = size_of(f"{name}-6g"), size_of(f"{name}-6H", inside=True)
        pairs = [
            ("d2", outside.pitch_diameter, row.number("d2_mm")),
            ("d3", outside.minor, row.number("d3_mm")),
            ("D2", inside.pitch_diameter, row.number("d2_published_mm")),
            ("D1", inside.minor, row.number("d1_published_mm")),
            ("D1", inside.minor, row.number("d1_mm")),
        ]
        missing = "" if pitch in metric_pitches(d) else "not in the table; "
        coarse = "" if (row["series"] == "coarse") == (coarse_pitch(d) == pitch) else "coarse pitch; "
        remarks = "; ".join(remark.text for remark in (*outside.remarks, *inside.remarks))
        return missing + coarse + remarks + off(pairs, HALF_MICRON)

    assert differing(reference("iso_metric"), wrong) == []


def test_iso_metric_limits() -> None:
    """es, d, d2 of all 70 printed and computed limits, class by class, and the least d3 of a round root."""

    def wrong(row: tables.Row) -> str:
        d, pitch = row.number("d_mm"), row.number("pitch_mm")
        limits = threads_iso.iso_limits(d, pitch, row["class"])
        assert limits is not None and limits.root is not None
        pairs = [
            ("es", limits.crest[1] - d, row.number("es_um") / 1000),
            ("d max", limits.crest[1], row.number("d_max_mm")),
            ("d min", limits.crest[0], row.number("d_min_mm")),
            ("d2 max", limits.pitch[1], row.number("d2_max_mm")),
            ("d2 min", limits.pitch[0], row.number("d2_min_mm")),
        ]
        root = [("d3 min", limits.root[0], row.number("d3_min_round_mm_computed"))]
        return off(pairs, ISO_LIMIT) + off(root, 2 * ISO_LIMIT)  # worked out from rounded sizes there

    assert differing(reference("iso_965_limits"), wrong) == []


def test_iso_metric_tolerances() -> None:
    """All 485 deviations and tolerances, through the limits of a thread in the middle of their range."""

    def wrong(row: tables.Row) -> str:
        pitch, what = row.number("pitch_mm"), row["quantity"]
        low, high = row.optional_number("d_over_mm"), row.optional_number("d_upto_mm")
        d = 0.5 * (low + high) if low is not None and high is not None else 8.0 * pitch
        grade = row["grade_or_position"]
        got = {
            "es": lambda: _limits(d, pitch, f"6{grade}").crest[1] - d,
            "EI": lambda: _limits(d, pitch, f"6{grade}").crest[0] - threads_iso.minor_diameter(d, pitch),
            "Td": lambda: _width(_limits(d, pitch, f"6h{grade}h").crest),
            "Td2": lambda: _width(_limits(d, pitch, f"{grade}h6h").pitch),
            "TD1": lambda: _width(_limits(d, pitch, f"6H{grade}H").crest),
            "TD2": lambda: _width(_limits(d, pitch, f"{grade}H6H").pitch),
        }[what]()
        return off([(f"{what} {grade} P{pitch}", got, row.number("value_um") / 1000)], 1e-6)

    assert differing(reference("iso_965_tolerances"), wrong) == []


def _limits(d: float, pitch: float, name: str) -> threads_iso.ThreadLimits:
    limits = threads_iso.iso_limits(d, pitch, name)
    assert limits is not None, name
    return limits


def _width(limits: tuple[float, float]) -> float:
    return limits[1] - limits[0]


def test_unified_sizes() -> None:
    """Pitch and minor diameters of all 131 sizes; size and series alone give the threads per inch."""

    def wrong(row: tables.Row) -> str:
        outside, inside = size_of(f"{row['designation']}-2A"), size_of(f"{row['designation']}-2B", True)
        pairs = [
            ("major", outside.major / INCH, row.number("major_in")),
            ("pitch diameter", outside.pitch_diameter / INCH, row.number("pitch_dia_basic_in")),
            ("minor", inside.minor / INCH, row.number("minor_dia_basic_in")),
            ("root", outside.minor / INCH, row.number("minor_dia_round_root_in")),
            ("tpi", INCH / outside.pitch, row.number("tpi")),
        ]
        remarks = "; ".join(remark.text for remark in (*outside.remarks, *inside.remarks))
        return remarks + off(pairs, 1.1 * FOURTH_PLACE)

    assert differing(reference("unified"), wrong) == []


def test_unified_limits() -> None:
    """All 45 sizes of class 2A, to the last decimal printed."""

    def wrong(row: tables.Row) -> str:
        size = size_of(f"{row['designation']}-{row['class']}")
        limits = {name: (low / INCH, high / INCH) for name, low, high in size.limits}
        pairs = [
            ("major max", limits["d"][1], row.number("major_max_in")),
            ("major min", limits["d"][0], row.number("major_min_in")),
            ("pitch max", limits["d2"][1], row.number("pitch_dia_max_in")),
            ("pitch min", limits["d2"][0], row.number("pitch_dia_min_in")),
            ("allowance", row.number("major_basic_in") - limits["d"][1], row.number("allowance_in")),
        ]
        return off(pairs, FOURTH_PLACE)

    assert differing(reference("unified_2a_limits"), wrong) == []


def test_pipe_threads() -> None:
    """ISO 228-1: sizes and limits; ISO 7-1: sizes and gauge length; NPT: E0 outside and E1 inside."""
    rows = reference("pipe")

    assert differing([r for r in rows if r["standard"] == "ISO 228-1"], _wrong_g) == []
    assert differing([r for r in rows if r["standard"] == "ISO 7-1"], _wrong_r) == []
    assert differing([r for r in rows if r["standard"].startswith("ASME")], _wrong_npt) == []


def _sizes(size: ThreadSize, row: tables.Row) -> list[tuple[str, float, float]]:
    return [
        ("major", size.major, row.number("major_mm")),
        ("pitch diameter", size.pitch_diameter, row.number("pitch_dia_mm")),
        ("minor", size.minor, row.number("minor_mm")),
        ("pitch", size.pitch, row.number("pitch_mm")),
        ("taper", size.taper, 1.0 / 16.0 if row["taper_on_diameter"] == "1:16" else 0.0),
    ]


def _wrong_g(row: tables.Row) -> str:
    outside, inside = size_of(f"{row['designation']} A"), size_of(row["designation"], True)
    loose = size_of(f"{row['designation']} B")
    d, d2 = outside.limits[0], outside.limits[1]
    pairs = [
        *_sizes(outside, row),
        *_sizes(inside, row),
        ("Td2 A", d2[2] - d2[1], row.number("Td2_class_A_mm")),
        ("Td2 B", loose.limits[1][2] - loose.limits[1][1], 2 * row.number("Td2_class_A_mm")),
        ("Td", d[2] - d[1], row.number("Td_major_mm")),
        ("TD1", inside.limits[0][2] - inside.limits[0][1], row.number("TD1_minor_mm")),
    ]
    return off(pairs, HALF_MICRON)


def _wrong_r(row: tables.Row) -> str:
    outside = thread_size(Designation("R", row["designation"], row["size"], None, inside=False), False)
    inside = thread_size(Designation("Rc", "", row["size"], None, inside=True), True)
    parallel = thread_size(Designation("Rp", "", row["size"], None, inside=True), True)
    if outside is None or inside is None or parallel is None:
        return "not found"
    shift = (outside.major - outside.cut_from) / outside.taper
    pairs = [
        *_sizes(outside, row),
        *_sizes(inside, row),
        ("gauge length", shift, row.number("gauge_length_mm")),
        ("Rp", parallel.pitch_diameter, row.number("pitch_dia_mm")),
        ("Rp taper", parallel.taper, 0.0),
    ]
    return off(pairs, HALF_MICRON)


def _wrong_npt(row: tables.Row) -> str:
    outside, inside = size_of(row["designation"]), size_of(row["designation"], True)
    middle = 0.5 * (outside.cut_from + outside.cut_to) / INCH
    at_mouth = 0.5 * (inside.cut_from + inside.cut_to) / INCH
    pairs = [
        ("E0", middle, row.number("E0_pitch_dia_small_end_in")),
        ("E1", at_mouth, row.number("E1_pitch_dia_handtight_in")),
        ("tpi", INCH / outside.pitch, row.number("tpi")),
        ("taper", outside.taper, 1.0 / 16.0),
    ]
    return off(pairs, FOURTH_PLACE)


def test_trapezoidal_threads() -> None:
    """Basic sizes and 7e limits of all 112 sizes."""

    def wrong(row: tables.Row) -> str:
        outside, inside = size_of(f"{row['designation']}-7e"), size_of(f"{row['designation']}-7H", True)
        d, d2, d3 = outside.limits
        moved = 0.5 * (inside.limits[1][1] + inside.limits[1][2]) - inside.pitch_diameter
        pairs = [
            ("d", outside.major, row.number("d_mm")),
            ("d2", outside.pitch_diameter, row.number("d2_mm")),
            ("d3", outside.minor, row.number("d3_mm")),
            ("D1", inside.minor, row.number("D1_mm")),
            ("D4", inside.cut_to - moved, row.number("D4_mm")),
            ("d max", d[2], row.number("d_max_7e_mm")),
            ("d min", d[1], row.number("d_min_7e_mm")),
            ("d2 max", d2[2], row.number("d2_max_7e_mm")),
            ("d2 min", d2[1], row.number("d2_min_7e_mm")),
            ("d3 min", d3[1], row.number("d3_min_7e_mm")),
        ]
        return off(pairs, HALF_MICRON)

    assert differing(reference("trapezoidal"), wrong) == []


def test_acme_threads() -> None:
    """Sizes of all 23 Acme threads, and the roots outside and inside."""

    def wrong(row: tables.Row) -> str:
        outside, inside = size_of(row["designation"]), size_of(row["designation"], True)
        moved = 0.5 * (inside.limits[1][1] + inside.limits[1][2]) - inside.pitch_diameter
        pairs = [
            ("major", outside.major / INCH, row.number("major_in")),
            ("tpi", INCH / outside.pitch, row.number("tpi")),
            ("pitch diameter", outside.pitch_diameter / INCH, row.number("pitch_dia_basic_in")),
            ("minor", inside.minor / INCH, row.number("minor_dia_basic_in")),
            ("minor max", outside.minor / INCH, row.number("external_minor_max_in")),
            ("major min", (inside.cut_to - moved) / INCH, row.number("internal_major_min_in")),
        ]
        return off(pairs, FOURTH_PLACE)

    assert differing(reference("acme"), wrong) == []


# M1 to M1.4 from memory (ISO 261 and ISO 965-1): no source for them was read.
@pytest.mark.parametrize(
    ("text", "pitch", "class_outside"),
    [("M1", 0.25, "6h"), ("M1.2", 0.25, "6h"), ("M1.4", 0.3, "6h"), ("M1.6", 0.35, "6g")],
)
def test_the_smallest_sizes(text: str, pitch: float, class_outside: str) -> None:
    """Sizes to 1.4 mm have their coarse pitch and are cut to 6h and 5H when no class is given."""
    size = size_of(text)

    assert (size.pitch, size.thread_class) == (pitch, class_outside)
