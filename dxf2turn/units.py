"""Units at the edges. Inside, lengths are mm, angles are radians."""

from __future__ import annotations

from enum import Enum

MM_PER_INCH = 25.4  # exact, international inch


class Unit(Enum):
    """The two units a drawing or an output can be in."""

    MM = "mm"
    INCH = "inch"

    @property
    def mm(self) -> float:
        """Millimetres per unit."""
        return 1.0 if self is Unit.MM else MM_PER_INCH

    @property
    def decimals(self) -> int:
        """Decimals for lengths printed to people."""
        return 3 if self is Unit.MM else 4


def length_text(value_mm: float, unit: Unit = Unit.MM) -> str:
    """A length for people: fixed decimals, never `-0.000`.

    >>> length_text(12.5), length_text(-0.0000001), length_text(25.4, Unit.INCH)
    ('12.500', '0.000', '1.0000')
    """
    text = f"{value_mm / unit.mm:.{unit.decimals}f}"
    return text.lstrip("-") if float(text) == 0 else text


def plain_text(value: float, decimals: int = 3) -> str:
    """A number without trailing zeros, for texts of findings and notes.

    >>> plain_text(1.6), plain_text(2.0), plain_text(-0.0), plain_text(180.0, 0)
    ('1.6', '2', '0', '180')
    """
    text = f"{value:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if decimals else text
    return "0" if text in ("-0", "") else text
