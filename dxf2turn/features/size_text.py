"""Sizes as they are written: nominal, diameter or radius sign, ISO 286 class, deviations or limits.

>>> size_in("\\u230025 h6").fit, size_in("20 +0.2/0").upper, size_in("2x \\u23008 H7").count
('h6', 0.2, 2)
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from dxf2turn.features.designation import find_designations, plain
from dxf2turn.features.thread_foreign import foreign_threads


@dataclass(frozen=True, slots=True)
class SizeText:
    """What a text says about a size, in the text's own unit.

    nominal: None when the text has no number of its own. sign: "d" diameter, "r" radius, "" not said.
    fits: classes written, e.g. ("H7", "g6"). upper, lower: deviations, None when not written.
    decimals: written after the point. count: "2x".
    """

    nominal: float | None
    sign: str = ""
    fits: tuple[str, ...] = ()
    upper: float | None = None
    lower: float | None = None
    decimals: int = 0
    count: int = 1

    @property
    def fit(self) -> str | None:
        """The first class."""
        return self.fits[0] if self.fits else None

    @property
    def toleranced(self) -> bool:
        """Whether the text itself gives limits."""
        return bool(self.fits) or self.upper is not None


@dataclass(frozen=True, slots=True)
class ChamferText:
    """`1x45`: length along the axis (text's unit) and angle in degrees."""

    length: float
    angle_deg: float


_NUMBER = r"(?:\d+\.\d+|\d+|\.\d+)"
_SIGN = re.compile(r"[\u2300\u00d8\u00f8\u2205]|%%[cC]|\b[dD][iI][aA]\b\.?")
_COUNT = re.compile(rf"^\s*(\d+)\s*x\s*(?=\S*\s*{_NUMBER})")
_FRACTION = r"(?:\d+[ -])?\d+/[1-9]\d*(?![\d.])"
_NOMINAL = re.compile(
    rf"(?:(?P<radius>\bS?R\s*)|(?<![A-Za-z\d.]))(?:(?P<fraction>{_FRACTION})|(?P<number>{_NUMBER}))"
)
_LETTERS = r"js|JS|cd|CD|ef|EF|fg|FG|[a-hjkmnprstu]|[A-HJKMNPRSTU]"  # x and R mean other things on drawings
_FIT = re.compile(rf"(?<![A-Za-z])(?P<name>(?:{_LETTERS})(?:1[0-8]|[1-9]))(?![\d.A-Za-z])")
_EQUAL = re.compile(rf"(?:\u00b1|%%[pP]|\+/-|\+-)\s*({_NUMBER})")
_PAIR = re.compile(rf"([+-]\s*{_NUMBER}|\b0(?:\.0*)?)\s*[/\s]\s*([+-]\s*{_NUMBER}|[+-]?0(?:\.0*)?(?![\d.]))")
_SINGLE = re.compile(rf"([+-]\s*{_NUMBER})\s*\)?\s*$")
_LIMITS = re.compile(rf"^[^\d.]*({_NUMBER})\s*(?P<between>/|-|\s)\s*({_NUMBER})\s*$")
_CHAMFER = re.compile(rf"({_NUMBER})\s*(?:mm)?\s*x\s*({_NUMBER})\s*(?:\u00b0|%%[dD]|deg)")
_FOREIGN = re.compile(r"\b(?:DIN|ISO|EN|ANSI|ASME|BS|JIS|SCALE|RAL)\b|^\s*N\s?\d", re.I)
_ROUGHNESS = re.compile(rf"\bR[AaZz]\s*[=:]?\s*{_NUMBER}")
_ONE_LIMIT = re.compile(r"\b(?:MAX|MIN)\b", re.I)
_CHAMFER_C = re.compile(rf"^\s*(?:\d+\s*x\s*)?C\s?({_NUMBER})\s*$")  # JIS: C1 is 1 x 45 degrees
_LARGEST_SHARE = 0.25  # a number behind a sign is no deviation when it is larger than this share of the size
_LIMIT_SPREAD = 0.1  # two numbers are limits of one size when they differ by less than this share


def size_in(raw: str) -> SizeText | None:
    """The size that a text states; None for a text that states none (threads, standards, other words)."""
    if _FOREIGN.search(raw) or find_designations(raw) or foreign_threads(raw):
        return None
    diameter = bool(_SIGN.search(raw))
    line = _ROUGHNESS.sub("", re.sub(r"\s*\n\s*", " ", plain(raw)))
    count = _COUNT.search(line) if raw.lstrip()[:1].isdigit() else None
    body = line[count.end() :] if count else line
    if _CHAMFER.search(line) or _CHAMFER_C.search(line):
        return None
    limits = _limits(body)
    if limits is not None:
        return SizeText(limits[1], "d" if diameter else "", (), limits[0] - limits[1], 0.0, 3, _times(count))
    nominal = _NOMINAL.search(body)
    if nominal is None or _signed(body, nominal.start()):
        upper, lower, fits = _tolerance(body)
        if not (diameter or fits or upper is not None):
            return None
        return SizeText(None, "d" if diameter else "", fits, upper, lower, 0, _times(count))
    number = nominal["number"] or nominal["fraction"]
    sign = "d" if diameter else "r" if nominal["radius"] else ""
    upper, lower, fits = _tolerance(body[nominal.end() :])
    if upper is not None and lower is not None and max(upper, -lower) > _LARGEST_SHARE * _value(number):
        upper = lower = None
    if upper is None and not fits and _ONE_LIMIT.search(line):
        return None  # one limit is no size: "20.1 MAX"
    decimals = len(number.partition(".")[2])
    return SizeText(_value(number), sign, fits, upper, lower, decimals, _times(count))


def chamfers_in(raw: str) -> tuple[ChamferText, ...]:
    """All chamfer notes of a text: `1x45`, `2 x 30` with a degree sign, `C1`."""
    line = plain(raw)
    alone = _CHAMFER_C.search(line)
    if alone:
        return (ChamferText(float(alone[1]), 45.0),)
    return tuple(ChamferText(float(m[1]), float(m[2])) for m in _CHAMFER.finditer(line))


def _times(count: re.Match[str] | None) -> int:
    return int(count[1]) if count else 1


def _value(number: str) -> float:
    """A decimal number, or whole inches and a fraction."""
    whole, _, fraction = re.sub(r"[ -]", " ", number).rpartition(" ")
    top, _, bottom = fraction.partition("/")
    return float(whole or 0) + float(top) / float(bottom or 1)


def _signed(line: str, start: int) -> bool:
    """Whether the first number is a deviation already."""
    return line[:start].rstrip().endswith(("+", "-", "\u00b1", "%%p", "%%P"))


def _limits(line: str) -> tuple[float, float] | None:
    """(larger, smaller) when the text is two nearly equal numbers."""
    match = _LIMITS.search(line)
    if match is None or "+" in line:
        return None
    numbers = (match[1], match[3])
    if match["between"] != "/" and not all("." in number for number in numbers):
        return None
    high, low = sorted(map(float, numbers), reverse=True)
    return (high, low) if low > 0.0 and high - low < _LIMIT_SPREAD * high and high > low else None


def _tolerance(rest: str) -> tuple[float | None, float | None, tuple[str, ...]]:
    """(upper, lower, classes) written behind the nominal size."""
    fits = tuple(match["name"] for match in _FIT.finditer(rest))
    equal = _EQUAL.search(rest)
    if equal:
        return float(equal[1]), -float(equal[1]), fits
    pair = _PAIR.search(rest)
    if pair and re.search(r"[+-]", pair[0]):
        values = sorted(float(re.sub(r"\s", "", text)) for text in pair.groups())
        return values[1], values[0], fits
    single = _SINGLE.search(rest)
    if single:
        value = float(re.sub(r"\s", "", single[1]))
        return max(value, 0.0), min(value, 0.0), fits
    return None, None, fits
