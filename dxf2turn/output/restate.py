"""Sentences of findings in the unit of the document.

The stages write their sentences in mm, by one grammar: a length has its unit behind it (`0.6 mm`, `4 x
3 mm`), a place is `Z -12`, `Z -12 to -14`, `X 30`, a radius `R0.4`, a diameter `\u230025`. Here these
numbers, and only these, are turned into inches; designations (`M20x1.5`, `A2.5/5.3`) and angles are
none of them.
"""

from __future__ import annotations

import re

from dxf2turn.output.wording import Wording
from dxf2turn.units import MM_PER_INCH, Unit, plain_text

_NUMBER = r"[-+]?\d+(?:\.\d+)?(?:e[-+]?\d+)?"
_POWERS = {"mm": 1, "mm2": 2, "mm3": 3}
_DECIMALS = {1: Unit.INCH.decimals, 2: 7, 3: 7}
_LENGTH = re.compile(rf"(?<![\w./])({_NUMBER})((?: (?:x|to|and|or) {_NUMBER})*) (mm[23]?)(?![\w/])")
_PLACE = re.compile(rf"\b([XZz] |R|diameter |\u2300)({_NUMBER})((?: to {_NUMBER})?)(?![\w./])(?! mm| inch)")
_ANY = re.compile(_NUMBER)


def restated(text: str, wording: Wording) -> str:
    """`text` with its lengths in the document's unit.

    >>> restated("groove F4 (Z -12 to -12.4) is 0.4 mm wide", Wording(Unit.INCH))
    'groove F4 (Z -0.4724 to -0.4882) is 0.0157 inch wide'
    >>> restated("thread M20x1.5 needs 3 x 2 mm, R0.5 at X 25.4", Wording(Unit.INCH))
    'thread M20x1.5 needs 0.1181 x 0.0787 inch, R0.0197 at X 1'
    >>> restated("ends 7.6e-06 mm apart", Wording(Unit.INCH))
    'ends 3e-07 inch apart'
    """
    if wording.unit is Unit.MM:
        return text
    return _LENGTH.sub(_length, _PLACE.sub(_place, text))


def _length(match: re.Match[str]) -> str:
    power = _POWERS[match[3]]
    unit = "inch" if power == 1 else f"in{power}"
    return f"{_inches(match[1] + match[2], power)} {unit}"


def _place(match: re.Match[str]) -> str:
    return match[1] + _inches(match[2] + match[3], 1)


def _inches(numbers: str, power: int) -> str:
    return _ANY.sub(lambda n: _short(float(n[0]) / MM_PER_INCH**power, _DECIMALS[power]), numbers)


def _short(value: float, decimals: int) -> str:
    """A number as people write it; one too small for its decimals keeps its size."""
    text = plain_text(value, decimals)
    return f"{value:.2g}" if value and not text.strip("-0.") else text
