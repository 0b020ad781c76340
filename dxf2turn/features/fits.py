"""ISO 286 limits of size: a class such as h6 or H7 at a nominal size."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from dxf2turn import tables

_MICRON = 0.001
_TABLED = range(5, 15)
_LARGEST = 18  # IT18 is the last grade of ISO 286-1


@dataclass(frozen=True, slots=True)
class Fit:
    """Deviations in mm. name: as written, e.g. "h6"."""

    name: str
    grade: int
    upper: float
    lower: float
    source: str


def fit_limits(nominal: float, name: str) -> Fit | None:
    """The limits of a tolerance class; None for a class or a size that the tables do not have.

    >>> fit = fit_limits(20.0, "h6")
    >>> round(fit.upper, 4), round(fit.lower, 4)
    (0.0, -0.013)
    """
    match = re.fullmatch(r"([A-Za-z]{1,2})(\d{1,2})", name)
    if match is None:
        return None
    letter, grade = match[1], int(match[2])
    width = it_width(nominal, grade)
    if width is None:
        return None
    if letter.lower() == "js":
        return Fit(name, grade, width / 2.0, -width / 2.0, "ISO 286, IT/2 by definition")
    row = _deviation_row(nominal, letter, grade)
    if row is None:
        return _mirrored(nominal, name, letter, grade)
    deviation = row.number("deviation_um") * _MICRON
    source = f"ISO 286-1, {row.source()}"
    if row["reference"].lower() == "es":
        return Fit(name, grade, deviation, deviation - width, source)
    return Fit(name, grade, deviation + width, deviation, source)


def it_width(nominal: float, grade: int) -> float | None:
    """Width of a standard tolerance grade in mm. Above 14: ten times five grades below (ISO 286-1)."""
    factor = 1.0
    if grade > _LARGEST:
        return None
    while grade > max(_TABLED):
        grade, factor = grade - 5, factor * 10.0
    if grade not in _TABLED:
        return None
    for row in tables.rows("iso286_it"):
        if row.number("over_mm") < nominal <= row.number("to_mm"):
            return row.number(f"it{grade}_um") * _MICRON * factor
    return None


def _deviation_row(nominal: float, letter: str, grade: int) -> tables.Row | None:
    for row in _rows_of(letter):
        if row.number("over_mm") < nominal <= row.number("to_mm") and _grade_fits(
            row["grades"], grade, letter
        ):
            return row
    return None


def _grade_fits(grades: str, grade: int, letter: str) -> bool:
    """The column `grades`: "any", "6", "4-7", ">=8", or "other" for what no other row has."""
    if grades == "any":
        return True
    if grades.startswith(">="):
        return grade >= int(grades[2:])
    if "-" in grades:
        low, high = grades.split("-")
        return int(low) <= grade <= int(high)
    if grades == "other":
        named = [row["grades"] for row in _rows_of(letter) if row["grades"] != "other"]
        return not any(_grade_fits(name, grade, letter) for name in set(named))
    return grade == int(grades)


@cache
def _rows_of(letter: str) -> tuple[tables.Row, ...]:
    name = "iso286_holes" if letter[0].isupper() else "iso286_shafts"
    return tuple(row for row in tables.rows(name) if row["letter"] == letter)


_MIRRORED_FROM = 8  # holes P to ZC of grade 8 and above mirror the shaft; finer ones are shifted by delta


def _mirrored(nominal: float, name: str, letter: str, grade: int) -> Fit | None:
    """A hole letter that only the shaft table has: ES = -ei, and + delta for IT7 and finer (ISO 286-1)."""
    if not letter.isupper() or grade == min(_TABLED):
        return None
    shaft = _deviation_row(nominal, letter.lower(), grade)
    width, finer = it_width(nominal, grade), it_width(nominal, grade - 1)
    if shaft is None or shaft["reference"] != "ei" or width is None or finer is None:
        return None
    delta = width - finer if grade < _MIRRORED_FROM else 0.0
    upper = delta - shaft.number("deviation_um") * _MICRON
    return Fit(name, grade, upper, upper - width, f"ISO 286-1, mirrored from the shaft; {shaft.source()}")
