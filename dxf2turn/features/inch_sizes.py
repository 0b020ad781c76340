"""Inch sizes of threads: fractions, decimals and numbers in one spelling, and their diameters."""

from __future__ import annotations

import re

INCH = 25.4


def inch_size(text: str) -> str:
    """One spelling of an inch size: "#10", "1/2", "1 1/4", "0.25" becomes "1/4".

    >>> inch_size("No. 10"), inch_size("1-1/4"), inch_size(".250"), inch_size("1 / 2")
    ('#10', '1 1/4', '1/4', '1/2')
    """
    text = re.sub(r"\s*/\s*", "/", text.strip())
    if text.startswith(("#", "N")):
        return "#" + re.sub(r"\D", "", text)
    text = re.sub(r"\s*[-\s]\s*(?=\d+/)", " ", text)
    return _fraction_of(float(text)) if re.fullmatch(r"\d*\.\d+", text) else text


def _fraction_of(value: float) -> str:
    """A decimal inch size as the sixteenth or sixty-fourth it is; unchanged when it is none."""
    for denominator in (1, 2, 4, 8, 16, 32, 64):
        parts = value * denominator
        if abs(parts - round(parts)) < _DECIMAL_SLACK * denominator:
            whole, rest = divmod(round(parts), denominator)
            fraction = f"{rest}/{denominator}" if rest else ""
            return f"{whole} {fraction}".strip() if whole else fraction
    return f"{value:g}"


_DECIMAL_SLACK = 0.0006  # inch: three decimals of a sixty-fourth


def inch_major(size: str) -> float:
    """Nominal diameter in mm of an inch size. Numbered sizes: 0.060 + 0.013 N inch (ASME B1.1)."""
    if size.startswith("#"):
        return (0.060 + 0.013 * int(size[1:])) * INCH
    total = 0.0
    for part in size.split():
        top, _, bottom = part.partition("/")
        total += float(top) / float(bottom or 1)
    return total * INCH


def numbered(size: str, tpi: float | None) -> str:
    """ "10-32" is the numbered size #10, "1-20" is one inch: numbered sizes are fine-pitched."""
    if tpi is None or not size.isdigit() or int(size) > _LARGEST_NUMBER:
        return size
    least = _NUMBER_ONE_TPI if size == "1" else _NUMBERED_TPI
    return f"#{size}" if tpi >= least else size


_LARGEST_NUMBER = 12  # sizes #0 to #12 exist, ASME B1.1
_NUMBERED_TPI = 24  # the coarsest pitch of a numbered size: #10-24, #12-24
_NUMBER_ONE_TPI = 64  # #1-64 is the coarsest of its size; 1 inch goes up to 32


def threads_per_inch(text: str | None) -> float | None:
    """`13`, `4 1/2` or `4.5` as a number; None for nothing."""
    if not text:
        return None
    if text.endswith("1/2"):
        return float(text[:-3]) + 0.5
    return float(text)
