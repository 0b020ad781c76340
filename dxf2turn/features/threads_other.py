"""Pipe, trapezoidal, Acme, round and buttress threads: basic sizes and, where a table has them, limits.

The root to cut follows one rule for all: a tool of the basic form cuts the basic root at the basic pitch
diameter, so the root moves with the pitch diameter to the middle of its limits.
"""

from __future__ import annotations

import math

from dxf2turn import tables
from dxf2turn.features.designation import Designation
from dxf2turn.features.inch_sizes import INCH
from dxf2turn.features.thread_size import (
    NO_LIMITS,
    NOT_STANDARD,
    OTHER_CLASS,
    Basics,
    Remark,
    ThreadLimits,
    ThreadSize,
    class_asked,
    sized,
)
from dxf2turn.units import plain_text

Span = tuple[float, float]


def pipe_size(designation: Designation, inside: bool) -> ThreadSize | None:
    """G (ISO 228-1, parallel), R and Rc (ISO 7-1, taper), Rp (ISO 7-1, parallel inside)."""
    family = designation.family
    if designation.inside not in (None, inside):
        return None
    row = _pipe_row("ISO 228-1" if family == "G" else "ISO 7-1", designation.size)
    if row is None:
        return None
    major, pitch_diameter, minor = (row.number(c) for c in ("major_mm", "pitch_dia_mm", "minor_mm"))
    taper = 0.0 if family in ("G", "Rp") else factor("pipe_taper")
    basics = Basics(
        major, pitch_diameter, minor, row.number("pitch_mm"), math.radians(55.0), row["standard"], taper
    )
    if family == "G":
        return _g_size(designation, inside, basics, row)
    # The gauge plane of the outside thread lies a behind its small end; of the inside one, at its mouth.
    shift = -row.number("gauge_length_mm") * taper if not inside else 0.0
    limits = _basic_limits(basics, inside, row.source(), shift)
    return sized(designation, inside, basics, limits, (GAUGED,))


GAUGED = Remark(NO_LIMITS, "no limits in the tables, basic sizes are cut; check with a gauge")


def _g_size(designation: Designation, inside: bool, basics: Basics, row: tables.Row) -> ThreadSize:
    remarks: list[Remark] = []
    td2 = row.number("Td2_class_A_mm")
    if inside:
        crest = (basics.minor, basics.minor + row.number("TD1_minor_mm"))
        pitch = (basics.pitch_diameter, basics.pitch_diameter + td2)
        limits = ThreadLimits("", crest, pitch, basics.pitch_diameter, basics.major, row.source())
        return sized(designation, inside, basics, limits, ())
    thread_class = class_asked(designation, inside, remarks)
    width = 2.0 * td2 if thread_class == "B" else td2
    crest = (basics.major - row.number("Td_major_mm"), basics.major)
    pitch = (basics.pitch_diameter - width, basics.pitch_diameter)
    limits = ThreadLimits(thread_class, crest, pitch, basics.pitch_diameter, basics.minor, row.source())
    return sized(designation, inside, basics, limits, tuple(remarks))


def npt_size(designation: Designation, inside: bool) -> ThreadSize | None:
    """NPT (ASME B1.20.1): sizes at the small end outside (E0), at the mouth inside (E1)."""
    row = _pipe_row("ASME B1.20.1", designation.size)
    if row is None:
        return None
    pitch = INCH / row.number("tpi")
    height = factor("npt_height") * pitch
    e0, e1 = row.number("E0_pitch_dia_small_end_in") * INCH, row.number("E1_pitch_dia_handtight_in") * INCH
    middle = e1 if inside else e0
    basics = Basics(
        e1 + height, e1, e1 - height, pitch, math.radians(60.0), "ASME B1.20.1", factor("pipe_taper")
    )
    limits = _basic_limits(basics, inside, row.source(), middle - e1)
    remarks = (DRYSEAL, GAUGED) if designation.series == "NPTF" else (GAUGED,)
    return sized(designation, inside, basics, limits, remarks)


DRYSEAL = Remark(NO_LIMITS, "a dryseal thread; its crests and roots are cut as those of NPT")


def _pipe_row(standard: str, size: str) -> tables.Row | None:
    for row in tables.rows("thread_pipe"):
        if row["standard"].startswith(standard) and row["size"] == size:
            return row
    return None


def trapezoidal_size(designation: Designation, inside: bool) -> ThreadSize | None:
    """ISO trapezoidal (ISO 2904). Limits outside: 7e of the table. Inside: 7H, tolerances from memory."""
    major, pitch = designation.major or 0.0, designation.pitch or 0.0
    row = _trapezoidal_row(major, pitch)
    clearance = _clearance(pitch)
    d2, d3, d4, d1 = major - 0.5 * pitch, major - pitch - 2 * clearance, major + 2 * clearance, major - pitch
    if row is not None:
        d2, d3, d4, d1 = (row.number(c) for c in ("d2_mm", "d3_mm", "D4_mm", "D1_mm"))
    basics = Basics(major, d2, d1 if inside else d3, pitch, math.radians(30.0), "ISO 2904")
    remarks: list[Remark] = []
    asked = class_asked(designation, inside, remarks)
    if row is None:
        near = ", ".join(_trapezoidal_near(major))
        text = f"Tr{plain_text(major)}x{plain_text(pitch)} is not in ISO 2904 ({near}); basic sizes are cut"
        remarks.append(Remark(NOT_STANDARD, text))
        limits = _basic_limits(basics, inside, "ISO 2904 formulas, computed", 0.0, d4)
        return sized(designation, inside, basics, limits, tuple(remarks))
    if asked not in ("7e", "7H"):
        text = f"only 7e and 7H are in the tables, {asked} is cut to {'7H' if inside else '7e'}"
        remarks.append(Remark(OTHER_CLASS, text))
    tolerance = row.number("d2_max_7e_mm") - row.number("d2_min_7e_mm")
    if inside:
        crest = (d1, d1 + _inside_crest_tolerance(pitch))
        middle = (d2, d2 + factor("trapezoidal_td2_ratio") * tolerance)
        limits = ThreadLimits("7H", crest, middle, d2, d4, _FROM_MEMORY)
    else:
        crest = (row.number("d_min_7e_mm"), row.number("d_max_7e_mm"))
        middle = (row.number("d2_min_7e_mm"), row.number("d2_max_7e_mm"))
        root = (row.number("d3_min_7e_mm"), d3)
        limits = ThreadLimits("7e", crest, middle, d2, d3, row.source(), root)
    return sized(designation, inside, basics, limits, tuple(remarks))


_FROM_MEMORY = "ISO 2903 7H: TD1 and the ratio TD2/Td2, from memory"


def _inside_crest_tolerance(pitch: float) -> float:
    for row in tables.rows("thread_trapezoidal_inside"):
        if row.number("pitch_mm") == pitch:
            return row.number("td1_um") / 1000.0
    return 0.0


def _trapezoidal_row(major: float, pitch: float) -> tables.Row | None:
    for row in tables.rows("thread_trapezoidal"):
        if row.number("d_mm") == major and row.number("pitch_mm") == pitch:
            return row
    return None


def _trapezoidal_near(major: float) -> list[str]:
    rows = sorted(tables.rows("thread_trapezoidal"), key=lambda row: abs(row.number("d_mm") - major))
    return [row["designation"] for row in rows[:3]]


def _clearance(pitch: float) -> float:
    """ac of ISO 2904 by pitch; that of the largest for larger ones."""
    rows = tables.rows("thread_trapezoidal_clearance")
    return next((row for row in rows if pitch <= row.number("pitch_to_mm")), rows[-1]).number("ac_mm")


def acme_size(designation: Designation, inside: bool) -> ThreadSize | None:
    """Acme general purpose (ASME B1.5), class 2G when none is given. Tolerances from memory."""
    rows = [row for row in tables.rows("thread_acme") if _acme_name(row) == designation.size]
    if designation.pitch is not None:
        rows = [row for row in rows if math.isclose(INCH / row.number("tpi"), designation.pitch)]
    if not rows:
        return None
    row, remarks = rows[0], list[Remark]()
    grade = class_asked(designation, inside, remarks)
    d, p = row.number("major_in"), 1.0 / row.number("tpi")
    tolerance, es = _acme_tolerance(grade, d, p)
    d2, crest_width = d - 0.5 * p, factor("acme_crest_tolerance") * p
    if inside:
        crest, pitch, root = (
            (d - p, d - p + crest_width),
            (d2, d2 + tolerance),
            row.number("internal_major_min_in"),
        )
    else:
        crest, pitch, root = (
            (d - crest_width, d),
            (d2 - es - tolerance, d2 - es),
            row.number("external_minor_max_in"),
        )
    minor = d - p if inside else root
    basics = Basics(d * INCH, d2 * INCH, minor * INCH, p * INCH, math.radians(29.0), "ASME B1.5")
    limits = ThreadLimits(grade, _mm(crest), _mm(pitch), d2 * INCH, root * INCH, _ACME_SOURCE)
    return sized(designation, inside, basics, limits, tuple(remarks))


def _acme_tolerance(grade: str, major: float, pitch: float) -> tuple[float, float]:
    """Tolerance of the pitch diameter and allowance, inch; those of the first class for an unknown one."""
    rows = tables.rows("thread_acme_classes")
    row = next((row for row in rows if row["class"] == grade), rows[0])
    a, b, c = (
        row.number(name)
        for name in (
            "tolerance_per_sqrt_pitch_in",
            "tolerance_per_sqrt_major_in",
            "allowance_per_sqrt_major_in",
        )
    )
    return a * math.sqrt(pitch) + b * math.sqrt(major), c * math.sqrt(major)


_ACME_SOURCE = "ASME B1.5: sizes TS16, TS02, copied; allowances and tolerances from memory"


def _acme_name(row: tables.Row) -> str:
    return row["designation"].rsplit("-", 1)[0].replace("-", " ")


def round_size(designation: Designation, inside: bool) -> ThreadSize | None:
    """Round thread (DIN 405): basic sizes from memory, no limits."""
    d, p = designation.major or 0.0, designation.pitch or 0.0
    minor = d - 0.9 * p if inside else d - p
    basics = Basics(d, d - 0.5 * p, minor, p, math.radians(30.0), "DIN 405")
    limits = _basic_limits(basics, inside, "DIN 405 formulas, from memory", 0.0, d + 0.1 * p)
    return sized(designation, inside, basics, limits, (_UNLIMITED,))


def buttress_size(designation: Designation, inside: bool) -> ThreadSize | None:
    """Metric buttress thread (DIN 513): basic sizes from memory, no limits. Flanks 3 and 30 degrees."""
    d, p = designation.major or 0.0, designation.pitch or 0.0
    minor = d - 1.5 * p if inside else d - 1.735534 * p
    basics = Basics(d, d - 0.75 * p, minor, p, math.radians(33.0), "DIN 513")
    limits = _basic_limits(basics, inside, "DIN 513 formulas, from memory", 0.0)
    return sized(designation, inside, basics, limits, (_UNLIMITED,))


_UNLIMITED = Remark(NO_LIMITS, "no limits in the tables, basic sizes are cut")


def _basic_limits(
    basics: Basics, inside: bool, source: str, shift: float, inside_root: float | None = None
) -> ThreadLimits:
    """Limits of no width: the basic sizes, shifted on the diameter (taper threads)."""
    crest = (basics.minor if inside else basics.major) + shift
    root = (inside_root or basics.major) if inside else basics.minor
    middle = basics.pitch_diameter + shift
    return ThreadLimits("", (crest, crest), (middle, middle), basics.pitch_diameter, root, source)


def factor(name: str) -> float:
    """A single figure of a thread standard (thread_factors.csv)."""
    return next(row for row in tables.rows("thread_factors") if row["name"] == name).number("value")


def _mm(span: Span) -> Span:
    return span[0] * INCH, span[1] * INCH
