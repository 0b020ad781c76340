"""Every value of the other standards that was read in a source against what the code gives or recognises."""

from __future__ import annotations

import math

import pytest

from dxf2turn import tables
from dxf2turn.features.fits import fit_limits, it_width
from dxf2turn.features.general import general_edge_limit, general_limit
from dxf2turn.features.model import CentreHole, Groove, Taper, TurnedPart
from dxf2turn.features.roughness import roughness_in
from tests.features.reference_rows import differing, off, reference
from tests.features.shapes import C, note, recognised

MICRON = 0.001


def test_iso286_standard_tolerances() -> None:
    """IT5 to IT14 of all 13 ranges, at both ends of each range."""

    def wrong(row: tables.Row) -> str:
        sizes = (row.number("over_mm") + 0.01, row.number("to_mm"))
        pairs = [
            (f"IT{g} at {size}", (it_width(size, g) or 0.0) / MICRON, row.number(f"IT{g}_um"))
            for g in range(5, 15)
            for size in sizes
        ]
        return off(pairs, 1e-6)

    assert differing(reference("iso286_it"), wrong) == []


@pytest.mark.parametrize("name", ["iso286_shafts", "iso286_holes"])
def test_iso286_deviations(name: str) -> None:
    """The fundamental deviation of each letter in each range and grade: 450 of shafts, 900 of holes."""
    rows = reference(name)
    own = {(row["letter"], row["over_mm"]): set() for row in rows}
    for row in rows:
        own[row["letter"], row["over_mm"]] |= _grades(row["grades"], set())

    def wrong(row: tables.Row) -> str:
        size = 0.5 * (row.number("over_mm") + row.number("to_mm"))
        pairs = []
        for grade in _grades(row["grades"], own[row["letter"], row["over_mm"]]):
            fit = fit_limits(size, f"{row['letter']}{grade}")
            if fit is None:
                return f"{row['letter']}{grade} at {size}: no limits"
            upper = row["reference"].lower().startswith("es")
            deviation = (fit.upper if upper else fit.lower) / MICRON
            printed = 0.5 * (fit.upper - fit.lower) / MICRON  # js: half of the grade's width
            if row["deviation_um"] != "IT/2":
                printed = row.number("deviation_um")
            pairs.append((f"{row['letter']}{grade} at {size}", deviation, printed))
        return off(pairs, 1e-6)

    assert differing(rows, wrong) == []


def _grades(text: str, named: set[int]) -> set[int]:
    """The grades IT5 to IT14 that a cell of the table means; "other": those that no other row names."""
    everything = set(range(5, 15))
    if text == "any":
        return everything
    if text == "other":
        return everything - named
    if text.startswith(">="):
        return {grade for grade in everything if grade >= int(text[2:])}
    low, _, high = text.partition("-")
    return everything & set(range(int(low), int(high or low) + 1))


def test_iso286_examples() -> None:
    """40 classes with their limits of size."""

    def wrong(row: tables.Row) -> str:
        nominal = row.number("nominal_mm")
        fit = fit_limits(nominal, row["class"])
        if fit is None:
            return "no limits"
        pairs = [
            ("upper", fit.upper / MICRON, row.number("upper_deviation_um")),
            ("lower", fit.lower / MICRON, row.number("lower_deviation_um")),
            ("largest", nominal + fit.upper, row.number("max_size_mm")),
            ("smallest", nominal + fit.lower, row.number("min_size_mm")),
        ]
        return off(pairs, 0.06)

    assert differing(reference("iso286_examples"), wrong) == []


# An encyclopedia's table of IT grades, read for these two values (S75; see docs/tables.md).
@pytest.mark.parametrize(("size", "width_um"), [(10.0, 360.0), (100.0, 870.0)])
def test_it14_as_printed(size: float, width_um: float) -> None:
    """IT14 at 10 and 100 mm."""
    assert (it_width(size, 14) or 0.0) / MICRON == pytest.approx(width_um)


def test_iso2768_general_tolerances() -> None:
    """All classes of lengths, radii and chamfer heights; the class of a size at the end of its range."""

    def wrong(row: tables.Row) -> str:
        look = {"linear": general_limit, "radius_or_chamfer_height": general_edge_limit}
        find = look.get(row["kind_of_dimension"])
        if find is None:
            return ""
        size = row.optional_number("to_mm") or 2.0 * row.number("over_mm")
        pairs = []
        for letter in "fmcv":
            printed, got = row.optional_number(f"plus_minus_{letter}"), find(size, letter)
            if (printed is None) != (got is None):
                return f"{letter} at {size}: {got}"
            if printed is not None and got is not None:
                pairs.append((f"{letter} at {size}", got[0], printed))
        return off(pairs, 1e-9)

    assert differing(reference("iso2768"), wrong) == []


def test_roughness_grades() -> None:
    """N1 to N12, Ra in um and in microinches, and the Rz of the grade."""

    def wrong(row: tables.Row) -> str:
        ra = row.number("ra_um")
        pairs = [(row["n_grade"], roughness_in(row["n_grade"]) or 0.0, ra)]
        if row.number("ra_uin") >= 16:
            inch = roughness_in(f"Ra {row['ra_uin']}", inch=True) or 0.0
            pairs.append((f"{row['ra_uin']} uin", inch, ra))
        low = row["rz_um_approximate"].split()[0]
        pairs.append((f"Rz {low}", roughness_in(f"Rz {low}") or 0.0, ra))
        return off(pairs, 0.02 * ra)

    assert differing(reference("surface"), wrong) == []


def grooved(d: float, floor: float, width: float, opens: str) -> TurnedPart:
    """A shaft or a bore of a diameter with a square groove."""
    if opens == "out":
        shaft = [C(0, 0), C(0, d), C(-30, d), C(-30, floor), C(-30 - width, floor), C(-30 - width, d)]
        return recognised([*shaft, C(-60, d), C(-60, 0)])
    wall = [C(-30 - width, d), C(-30 - width, floor), C(-30, floor), C(-30, d)]
    return recognised([C(0, d), C(0, 2 * d), C(-60, 2 * d), C(-60, d)], wall)


def groove_of(part: TurnedPart) -> Groove:
    """The only groove of a part."""
    (found,) = part.of_kind("groove")
    assert isinstance(found, Groove)
    return found


def test_retaining_rings() -> None:
    """A groove of each of the 148 printed sizes is that ring's groove; what is disputed stays marked."""

    def wrong(row: tables.Row) -> str:
        d, floor, width = (
            row.number(c) for c in ("nominal_d1_mm", "groove_diameter_d2_mm", "groove_width_m_min_mm")
        )
        found = groove_of(grooved(d, floor, width, "out" if row["type"].startswith("external") else "in"))
        standard = row["type"].split(" ", 1)[1]
        name = f"{standard} - {d:g}x{row.number('ring_thickness_s_mm'):g}"
        marked = not row["note"] or row["note"] in found.note
        return "" if (found.standard, marked) == (name, True) else f"{found.standard} {found.note}"

    assert differing(reference("retaining_rings"), wrong) == []


def test_o_rings() -> None:
    """Grooves at the ends and in the middle of the printed width and depth, shafts and faces, 30 rows."""

    def wrong(row: tables.Row) -> str:
        said = []
        for share in (0.0, 0.5, 1.0):
            width, depth = (
                (1 - share) * row.number(f"groove_{what}_min_mm")
                + share * row.number(f"groove_{what}_max_mm")
                for what in ("width", "depth")
            )
            # 58 mm is no ring's size, so no retaining-ring groove can be meant.
            part = _face_groove(width, depth) if "axial" in row["application"] else None
            part = part or grooved(59.0, 59.0 - 2 * depth, width, "out")
            standard = groove_of(part).standard or ""
            cord = f"O-ring {row.number('cord_diameter_d2_mm'):g}, "
            if not standard.startswith(cord):
                said.append(f"{share}: {standard or 'none'}")
        return "; ".join(said)

    assert differing(reference("orings"), wrong) == []


def _face_groove(width: float, depth: float) -> TurnedPart:
    return recognised([
        C(0, 0), C(0, 60), C(-depth, 60), C(-depth, 60 + 2 * width), C(0, 60 + 2 * width), C(0, 120),
        C(-30, 120), C(-30, 0),
    ])  # fmt: skip


def test_tapers() -> None:
    """A cone with each of the 66 printed ratios at its gauge diameter gets that standard; the half angle and
    the ratio of a row agree."""

    def wrong(row: tables.Row) -> str:
        ratio = row.number("taper_per_unit_length")
        half = math.degrees(math.atan(0.5 * ratio))
        said = off([("half angle", half, row.number("half_angle_deg"))], 0.0006)
        if "deg" in row["designation"]:
            return said  # 120 to 30 degree cones are countersinks, recognised as chamfers or tapers
        large = row.optional_number("gauge_or_large_diameter_mm") or 60.0
        small = row.optional_number("small_diameter_mm")
        length = (large - small) / ratio if small is not None else min(40.0, 0.4 * large / ratio)
        part = recognised([
            C(0, 0), C(0, large - ratio * length), C(-length, large), C(-length, large + 6),
            C(-length - 20, large + 6), C(-length - 20, 0),
        ])  # fmt: skip
        found = [f for f in part.features if isinstance(f, Taper)]
        standard = (found[0].standard or "none") if found else "no taper"
        name = (
            row["designation"].replace("7:24", "7/24").removesuffix(" short (2A)")
        )  # the same cone, cut shorter
        return said if name in standard else f"{said} {standard}"

    assert differing(reference("tapers"), wrong) == []


def test_centre_holes() -> None:
    """A note gives each of the 36 centre holes; one drawn to the table is recognised with its size."""

    def wrong(row: tables.Row) -> str:
        d, large = row.number("d_mm"), row.optional_number("D3_mm") or row.number("D2_mm")
        size, form = f"{d:g}/{large:g}", row["form"]
        shaft = [C(0, 0), C(0, 3 * large), C(-8 * large, 3 * large), C(-8 * large, 0)]
        noted = recognised(shaft, None, note(f"ISO 6411 - {form} {size}", (-1, 2 * large), ((0, 0.1),)))
        drawn = recognised(*_drawn_centre(row)) if form != "R" else noted
        got = [
            next((f"{h.form} {h.size}" for h in part.features if isinstance(h, CentreHole)), "none")
            for part in (noted, drawn)
        ]
        return "" if got == [f"{form} {size}"] * 2 else str(got)

    assert differing(reference("centre_holes"), wrong) == []


def _drawn_centre(row: tables.Row) -> tuple[list[C], list[C]]:
    """A shaft with a centre hole of form A or B: pilot, 60 degree cone, 120 degree protection."""
    d, d2, d3 = row.number("d_mm"), row.number("D2_mm"), row.optional_number("D3_mm")
    large, rest = d3 or d2, 8.0 * d2
    guard = 0.5 * ((d3 or d2) - d2) / math.tan(math.radians(60.0))
    cone = 0.5 * (d2 - d) / math.tan(math.radians(30.0))
    pilot = cone + guard + d
    point = 0.5 * d / math.tan(math.radians(59.0))
    shaft = [C(0, large), C(0, 3 * large), C(-rest, 3 * large), C(-rest, 0)]
    hole = [C(-pilot - point, 0), C(-pilot, d), C(-cone - guard, d)]
    return shaft, hole + ([C(-guard, d2)] if d3 else [])


def test_undercuts() -> None:
    """All 26 undercuts of DIN 509, drawn to the table on a shaft of their range, get their name."""

    def wrong(row: tables.Row) -> str:
        low, high = _range(row["for_diameter_d1_mm"])
        build = _form_e if row["form"] == "E" else _form_f
        part = build(row, 0.5 * (low + high))
        found = groove_of(part)
        others = [f.text for f in part.findings]
        name = f"DIN 509 - {row['designation']}"
        return "" if found.standard == name and not others else f"{found.standard} {found.form} {others}"

    assert differing(reference("undercuts"), wrong) == []


def _range(text: str) -> tuple[float, float]:
    """ "over 18 to 80" as numbers; twice the lower one where the range is open."""
    numbers = [float(word) for word in text.split() if word.replace(".", "").isdigit()]
    if "below" in text:
        return 0.9 * numbers[0], numbers[0]
    return numbers[0], numbers[1] if len(numbers) > 1 else 2.0 * numbers[0]


def _form_e(row: tables.Row, d: float) -> TurnedPart:
    r, t, f = (row.number(c) for c in ("r_mm", "t1_mm", "f_mm"))
    slope = t / math.tan(math.radians(row.number("flank_angle_cylinder_deg")))
    z, floor, step = -2.0 * d - f, d - 2.0 * t, d + max(d, 8.0 * r)
    return recognised([
        C(0, 0), C(0, d), C(z, d), C(z - slope, floor), C(z - f + r, floor, bulge=-QUARTER),
        C(z - f, floor + 2 * r), C(z - f, step), C(z - f - d, step), C(z - f - d, 0),
    ])  # fmt: skip


def _form_f(row: tables.Row, d: float) -> TurnedPart:
    r, t, f, behind = (row.number(c) for c in ("r_mm", "t1_mm", "f_mm", "t2_mm"))
    slope = t / math.tan(math.radians(row.number("flank_angle_cylinder_deg")))
    lean = math.radians(row.number("flank_angle_face_deg"))
    z, floor, step = -2.0 * d - f, d - 2.0 * t, d + max(d, 20.0 * r)
    # The arc runs from the floor to where the face side leaves it; that side reaches the face at an angle.
    start = z - f - behind + r
    end = (start - r * math.cos(lean), floor + 2.0 * r * (1.0 + math.sin(lean)))
    back = end[0] - (z - f)
    sweep = math.pi / 2 + lean
    return recognised([
        C(0, 0), C(0, d), C(z, d), C(z - slope, floor), C(start, floor, bulge=-math.tan(sweep / 4)), C(*end),
        C(z - f, end[1] - 2.0 * back / math.tan(lean)), C(z - f, step), C(z - f - d, step), C(z - f - d, 0),
    ])  # fmt: skip


QUARTER = math.tan(math.pi / 8.0)  # bulge of a quarter circle


def test_thread_reliefs() -> None:
    """Every relief of GB/T 3-1997 and DIN 76-1, drawn at its least and its largest width, gets its name."""
    rows = reference("thread_reliefs")

    assert differing(rows, _wrong_relief) == []


def _wrong_relief(row: tables.Row) -> str:
    pitch, offset = row.number("pitch_mm"), row.number("dg_offset_mm")
    sizes = (t.number("d_mm") for t in reference("iso_metric") if t.number("pitch_mm") == pitch)
    d = min((size for size in sizes if size > 5.5 * pitch), default=8.0 * pitch)
    said = []
    least, most = row.optional_number("g1_min_mm"), row.optional_number("g2_max_mm")
    # g1 is the width of the floor, g2 that of the mouth: the run-out of 30 degrees lies between them.
    crest = d - 1.082532 * pitch if row["side"] == "internal" else d
    run_out = 0.5 * abs(d + offset - crest) / math.tan(math.radians(30.0))
    for width in ([] if least is None else [least + run_out]) + ([] if most is None else [most]):
        build = _relief_inside if row["side"] == "internal" else _relief_outside
        part = build((d, pitch), d + offset, width, row.number("r_mm"))
        names = [f.standard or "" for f in part.features if isinstance(f, Groove)]
        if not any(f"{row['standard']} form {row['form']}" in name for name in names):
            said.append(f"M{d:g}x{pitch:g} {width}: {names}")
    return "; ".join(said)


def _relief_outside(size: tuple[float, float], floor: float, width: float, r: float) -> TurnedPart:
    d, pitch = size
    text = note(f"M{d:g}x{pitch:g}-6g", (-5 * pitch, d), ((-5 * pitch, d / 2),))
    slope = 0.5 * (d - floor) / math.tan(math.radians(30.0))
    z = -12 * pitch
    return recognised([
        C(0, 0), C(0, d, chamfer=pitch), C(z, d), C(z - slope, floor), C(z - width, floor, radius=r),
        C(z - width, 2 * d), C(z - width - d, 2 * d), C(z - width - d, 0),
    ], None, text)  # fmt: skip


def _relief_inside(size: tuple[float, float], floor: float, width: float, r: float) -> TurnedPart:
    d, pitch = size
    bore = d - 1.082532 * pitch
    text = note(f"M{d:g}x{pitch:g}-6H", (-5 * pitch, d), ((-5 * pitch, bore / 2),))
    slope = 0.5 * (floor - bore) / math.tan(math.radians(30.0))
    z, back = -12 * pitch, -12 * pitch - width - d
    outer = [C(0, bore), C(0, 3 * d), C(back, 3 * d), C(back, 0.6 * bore)]
    end = z - width
    return recognised(outer, [
        C(end, 0.6 * bore), C(end, floor, radius=r), C(z - slope, floor), C(z, bore),
    ], text)  # fmt: skip


def test_the_second_list_of_reliefs_agrees() -> None:
    """DIN 76-1 form A outside was written down twice, from memory: both lists say the same, r apart."""
    table = [
        row
        for row in tables.rows("thread_reliefs")
        if (row["standard"], row["side"], row["form"]) == ("DIN 76-1", "external", "A")
    ]

    def wrong(row: tables.Row) -> str:
        pitch = row.number("pitch_p_mm")
        own = next(r for r in table if r.number("pitch_mm") == pitch)
        offset = row.number("relief_diameter_dg_equals_d_minus_mm")
        pairs = [
            ("dg", -own.number("dg_offset_mm"), offset),
            ("g1", own.number("g1_min_mm"), row.number("g1_min_mm")),
            ("g2", own.number("g2_max_mm"), row.number("g2_max_form_a_mm")),
            ("r", own.number("r_mm"), row.number("radius_r_mm")),
        ]
        return off(pairs, 0.011)

    assert differing(reference("thread_reliefs_din76_a"), wrong) == []


def test_bar_sizes() -> None:
    """The packaged bars are the 168 of the reference, with the tolerances printed there."""
    bars = {(row["series"], row.number("diameter_mm")): row for row in tables.rows("bar_stock")}

    def wrong(row: tables.Row) -> str:
        bar = bars.get((row["series"], row.number("diameter_mm")))
        if bar is None:
            return "missing"
        own = (bar["tolerance_plus_minus_mm"], bar["tolerance_precise_mm"])
        printed = (row["tolerance_normal_mm_plus_minus_or_band"], row["tolerance_precise_mm_plus_minus"])
        return "" if own == printed else f"{own} for {printed}"

    assert differing(reference("bar_stock"), wrong) == []
