"""ISO metric and unified threads: basic sizes and the limits of their classes. Formulas, tables beside them.

Both have the 60 degree basic profile of ISO 68-1: H = sqrt(3)/2 P, d2 = d - 3/4 H, D1 = d - 5/4 H, and the
rounded root of the external thread d3 = d - 17/12 H (root radius H/6; from memory, see docs/tables.md).
Lengths in mm unless a name says otherwise.
"""

from __future__ import annotations

import math
import re
from functools import cache

from dxf2turn import tables
from dxf2turn.features.inch_sizes import INCH
from dxf2turn.features.thread_size import ThreadLimits

ANGLE = math.radians(60.0)
ISO_SOURCE = "ISO 965-1"
UNIFIED_SOURCE = "ASME B1.1"
_MICRON = 0.001


def triangle_height(pitch: float) -> float:
    """H of the sharp 60 degree triangle."""
    return math.sqrt(3.0) / 2.0 * pitch


def pitch_diameter(major: float, pitch: float) -> float:
    """d2 = d - 3/4 H."""
    return major - 0.75 * triangle_height(pitch)


def minor_diameter(major: float, pitch: float) -> float:
    """D1 = d - 5/4 H, the crest of the internal thread."""
    return major - 1.25 * triangle_height(pitch)


def root_diameter(major: float, pitch: float) -> float:
    """d3 = d - 17/12 H, the rounded root of the external thread."""
    return major - 17.0 / 12.0 * triangle_height(pitch)


def iso_limits(major: float, pitch: float, thread_class: str) -> ThreadLimits | None:
    """Limits of an ISO metric thread in a class such as "6g", "5g6g", "6H"; None for an unknown class."""
    parts = re.findall(r"([3-9])([efghGH])", thread_class)
    if not parts:
        return None
    (pitch_grade, letter), (crest_grade, _) = parts[0], parts[-1]
    if letter in "GH":
        return _iso_inside(major, pitch, thread_class, (int(pitch_grade), int(crest_grade), letter))
    return _iso_outside(major, pitch, thread_class, (int(pitch_grade), int(crest_grade), letter))


def _iso_outside(major: float, pitch: float, thread_class: str, parts: tuple[int, int, str]) -> ThreadLimits:
    pitch_grade, crest_grade, letter = parts
    es, es_from = _deviation(letter, pitch)
    td, td_from = _tolerance("Td", crest_grade, major, pitch)
    td2, td2_from = _tolerance("Td2", pitch_grade, major, pitch)
    d2 = pitch_diameter(major, pitch)
    d2_max = d2 + es
    # Rounded-root form: d3 runs from d2 min - 0.616025 P up to d2 max - 2/3 H.
    root = (d2_max - td2 - 0.616025 * pitch, d2_max - 2.0 / 3.0 * triangle_height(pitch))
    return ThreadLimits(
        thread_class,
        (major + es - td, major + es),
        (d2_max - td2, d2_max),
        d2,
        root_diameter(major, pitch),
        f"{ISO_SOURCE}: es {es_from}; Td {td_from}; Td2 {td2_from}",
        root,
    )


def _iso_inside(major: float, pitch: float, thread_class: str, parts: tuple[int, int, str]) -> ThreadLimits:
    pitch_grade, crest_grade, letter = parts
    ei, ei_from = _deviation(letter, pitch)
    td1, td1_from = _tolerance("TD1", crest_grade, major, pitch)
    td2, td2_from = _tolerance("TD2", pitch_grade, major, pitch)
    d1, d2 = minor_diameter(major, pitch) + ei, pitch_diameter(major, pitch) + ei
    return ThreadLimits(
        thread_class,
        (d1, d1 + td1),
        (d2, d2 + td2),
        pitch_diameter(major, pitch),
        major,
        f"{ISO_SOURCE}: EI {ei_from}; TD1 {td1_from}; TD2 {td2_from}",
        (major + ei, d2 + td2 + 0.793857 * pitch),
    )


def _deviation(letter: str, pitch: float) -> tuple[float, str]:
    """es (outside, zero or negative) or EI (inside) in mm, and where it comes from."""
    if letter in "hH":
        return 0.0, "zero by definition"
    quantity = "EI" if letter.isupper() else "es"
    for row in _tolerance_rows().get((quantity, letter), ()):
        if row.number("pitch_mm") == pitch:
            return row.number("value_um") * _MICRON, f"table, {row.source()}"
    base = {"g": 15.0, "f": 30.0, "e": 50.0}[letter.lower()] + 11.0 * pitch
    return math.copysign(base, 1 if letter.isupper() else -1) * _MICRON, "formula (TS06), computed"


def _tolerance(quantity: str, grade: int, major: float, pitch: float) -> tuple[float, str]:
    """A tolerance in mm, and where it comes from: the table, else the formula rounded to R40."""
    for row in _tolerance_rows().get((quantity, str(grade)), ()):
        over, upto = row.optional_number("d_over_mm"), row.optional_number("d_upto_mm")
        in_range = over is None or upto is None or over < major <= upto
        if in_range and row.number("pitch_mm") == pitch:
            return row.number("value_um") * _MICRON, f"table, {row.source()}"
    value = _formula(quantity, major, pitch) * _factors()[quantity, grade]
    return preferred(value) * _MICRON, "formula (TS06) rounded to R40, computed"


@cache
def _tolerance_rows() -> dict[tuple[str, str], tuple[tables.Row, ...]]:
    found: dict[tuple[str, str], list[tables.Row]] = {}
    for row in tables.rows("thread_iso_tolerances"):
        found.setdefault((row.text("quantity"), row.text("grade_or_position")), []).append(row)
    return {key: tuple(rows) for key, rows in found.items()}


def _formula(quantity: str, major: float, pitch: float) -> float:
    """Grade 6 of Td, Td2 and TD1 in um; TD2 is stated in multiples of Td2 (ISO 965-1, formulas by TS06)."""
    if quantity == "Td":
        return 180.0 * pitch ** (2.0 / 3.0) - 3.15 / math.sqrt(pitch)
    if quantity == "TD1":
        return 433.0 * pitch - 190.0 * pitch**1.22 if pitch <= 0.8 else 230.0 * pitch**0.7
    over = max((d for d in _RANGES if d < major), default=_RANGES[0])
    upto = min((d for d in _RANGES if d >= major), default=_RANGES[-1])
    return 90.0 * pitch**0.4 * math.sqrt(over * upto) ** 0.1


_RANGES = (0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45.0, 90.0, 180.0, 300.0)  # mm, ISO 965-1 by TS06


@cache
def _factors() -> dict[tuple[str, int], float]:
    """(quantity, grade) -> multiple of grade 6; for TD2 of Td2 grade 6."""
    rows = tables.rows("thread_iso_grades")
    return {(row["quantity"], row.integer("grade")): row.number("factor") for row in rows}


def preferred(value: float) -> float:
    """The nearest preferred number of the R40 series (ISO 3), rounded as the series is.

    >>> preferred(148.0), preferred(204.0)
    (150.0, 200.0)
    """
    decade = 10.0 ** math.floor(math.log10(value))
    return min((n * decade for n in (*_R40, 10.0)), key=lambda n: abs(math.log(n / value)))


_R40 = (
    1.0, 1.06, 1.12, 1.18, 1.25, 1.32, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2.0, 2.12, 2.24, 2.36, 2.5, 2.65, 2.8,
    3.0, 3.15, 3.35, 3.55, 3.75, 4.0, 4.25, 4.5, 4.75, 5.0, 5.3, 5.6, 6.0, 6.3, 6.7, 7.1, 7.5, 8.0, 8.5,
    9.0, 9.5,
)  # fmt: skip


def unified_limits(major: float, tpi: float, series: str, thread_class: str) -> ThreadLimits | None:
    """Limits of a unified thread; None for an unknown class. ASME B1.1 formulas (TS11, TS13) in inches.

    Allowance and tolerances are rounded to 0.0001 inch before they are subtracted, as the tables do.
    """
    match = re.fullmatch(r"([123])([AB])", thread_class)
    if not match:
        return None
    grade, outside = int(match[1]), match[2] == "A"
    d, p = round(major / INCH, 4), 1.0 / tpi
    engagement = 9.0 * p if series in ("UNEF", "UNS") or (series not in _LONG and tpi >= 12.0) else d
    td2 = 0.0015 * d ** (1.0 / 3.0) + 0.0015 * math.sqrt(engagement) + 0.015 * p ** (2.0 / 3.0)
    d2 = round(d - 0.75 * triangle_height(p), 4)
    source = f"{UNIFIED_SOURCE} formulas, computed"
    pitch_tolerance = round(td2 * {1: 1.5, 2: 1.0, 3: 0.75}[grade] * (1.0 if outside else 1.3), 4)
    root = root_diameter(d, p) if outside else d
    if outside:
        es = 0.0 if grade == 3 else round(0.3 * td2, 4)
        td = round((0.090 if grade == 1 else 0.060) * p ** (2.0 / 3.0), 4)
        crest, pitch = (d - es - td, d - es), (d2 - es - pitch_tolerance, d2 - es)
    else:
        d1 = d - 1.25 * triangle_height(p)
        crest, pitch = (d1, d1 + _unified_minor_tolerance(d, tpi, grade)), (d2, d2 + pitch_tolerance)
    return ThreadLimits(thread_class, _mm(crest), _mm(pitch), d2 * INCH, root * INCH, source)


_LONG = ("UNC", "UNF", "8-UN", "6-UN", "4-UN")  # length of engagement is the diameter


def _unified_minor_tolerance(d: float, tpi: float, grade: int) -> float:
    """Tolerance of the internal minor diameter, inch.

    Classes 1B and 2B from 1/4 inch: 0.25 P - 0.40 P^2, 0.15 P below 4 threads an inch (TS11, TS13).
    Below 1/4 inch and class 3B: 0.05 P^(2/3) + 0.03 P/d - 0.002, at least the above, at most 0.394 P (from
    memory).
    """
    p = 1.0 / tpi
    wide = 0.25 * p - 0.40 * p * p if tpi >= 4.0 else 0.15 * p
    fine = 0.05 * p ** (2.0 / 3.0) + 0.03 * p / d - 0.002
    if grade < 3 and d >= 0.25:
        return round(wide, 4)
    if grade < 3:
        return round(min(0.394 * p, max(wide, fine)), 4)
    floor = 0.23 * p - 1.5 * p * p if tpi >= 13.0 else 0.120 * p
    return round(min(0.394 * p, max(floor, fine)), 4)


def _mm(limits: tuple[float, float]) -> tuple[float, float]:
    return limits[0] * INCH, limits[1] * INCH
