"""The text of a dimension: as the style writes the measurement, or as the drafter overrode it."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass

from dxf2turn.reading.model import DimensionKind
from dxf2turn.reading.notes.codes import DIAMETER, fold_codes, tidy
from dxf2turn.reading.notes.dimension_style import DimensionStyle
from dxf2turn.reading.notes.mtext import plain_mtext

_PREFIXES = {DimensionKind.DIAMETER: DIAMETER, DimensionKind.RADIUS: "R"}
_SIGNS = {DimensionKind.ANGULAR: "\u00b0"}
_NO_LEADING, _NO_TRAILING = 4, 8  # bits of DIMZIN
_MOST_DECIMALS = 8
_UNSTYLED_DECIMALS = 4
_LEAST_ROUNDING = 1e-8  # a smaller step rounds nothing that could be shown

_NUMBER = r"(?:\d+(?:[.,]\d+)?|[.,]\d+)"
_SIGNED = rf"[+\u2212-]\s*{_NUMBER}"
_COUNT = re.compile(rf"^\s*\d+\s*[xX\u00d7*]\s*(?=[{DIAMETER}RM]|{_NUMBER}\s*[{DIAMETER}])")
_FRACTION = re.compile(r"(?:(\d+)[ -]+)?(\d+)/(\d+)")
# Tolerance classes such as H7 or js6; M, R, D, T and C also start sizes and are left alone.
_CLASS = re.compile(r"(?<![A-Za-z])(?:js|JS|[abe-lnps-zABE-LNPS-Z])\d{1,2}(?![\d.,])(?!/\d)")
_FIRST_NUMBER = re.compile(_NUMBER)
_EQUAL = re.compile(rf"\u00b1\s*({_NUMBER})")
_UNEQUAL = re.compile(rf"({_SIGNED}|\b0(?:[.,]0+)?)\s*/\s*({_SIGNED}|0(?:[.,]0+)?\b)")
_LARGEST_DENOMINATOR = 128  # of fractions of an inch; a larger one is no fraction


@dataclass(frozen=True, slots=True)
class Shown:
    """text as it stands; number: the drafter's own, None when it is the measurement; signed deviations."""

    text: str
    number: float | None = None
    upper: float | None = None
    lower: float | None = None


def shown_text(raw: str, kind: DimensionKind, measured: float, style: DimensionStyle) -> Shown:
    """What a dimension shows.

    raw: group code 1; empty or `<>` stands for the measurement, a blank for no text at all.
    measured: drawing units or degrees, before the style's factor.
    """
    automatic = _automatic(kind, measured, style)
    plain = plain_mtext(raw.replace("[]", ""))
    if raw == "" or plain == "<>":
        return automatic
    upper, lower = deviations_in(plain)
    if "<>" in plain:
        if upper is None:
            upper, lower = automatic.upper, automatic.lower
        text = tidy(plain.replace("<>", automatic.text))
        for sign in (DIAMETER, "R"):  # written by hand before a number that has it already
            text = text.replace(sign + sign, sign)
        return Shown(text, None, upper, lower)
    return Shown(plain, number_in(plain), upper, lower)


def number_in(text: str) -> float | None:
    """The size that a text states: its first number; counts (`4 x`), classes (`H7`), deviations left aside.

    >>> number_in("4x \\u230012,5 H7"), number_in("1 1/2"), number_in("H7/h6"), number_in("+0.1/-0.2")
    (12.5, 1.5, None, None)
    """
    text = _CLASS.sub("", _COUNT.sub("", _EQUAL.sub("", _UNEQUAL.sub("", text))))
    first = _FIRST_NUMBER.search(text)
    if first is None:
        return None
    fraction = _FRACTION.match(text, first.start())
    if fraction and 1 < int(fraction.group(3)) <= _LARGEST_DENOMINATOR and "." not in first.group():
        whole, upper, lower = fraction.groups()
        if int(upper) < int(lower):
            return int(whole or 0) + int(upper) / int(lower)
    return _value(first.group())


def deviations_in(text: str) -> tuple[float | None, float | None]:
    """Upper and lower deviation that a text states, signed; (None, None) when it states none.

    >>> deviations_in("25 \\u00b10,1"), deviations_in("25 +0.2/0"), deviations_in("25 h6")
    ((0.1, -0.1), (0.2, 0.0), (None, None))
    """
    equal = _EQUAL.search(text)
    if equal:
        return _value(equal.group(1)), -_value(equal.group(1))
    unequal = _UNEQUAL.search(text)
    if unequal and any(sign in unequal.group(0) for sign in "+-\u2212"):
        first, second = _value(unequal.group(1)), _value(unequal.group(2))
        return max(first, second), min(first, second)
    return None, None


def _value(text: str) -> float:
    text = text.replace(",", ".").replace("\u2212", "-").replace(" ", "")
    return float(text)


def _automatic(kind: DimensionKind, measured: float, style: DimensionStyle) -> Shown:
    """The measurement as the style writes it, with its tolerances."""
    if kind is DimensionKind.ANGULAR:
        decimals = style.angle_decimals if style.angle_decimals is not None else style.decimals
        size = measured
    else:
        decimals, size = style.decimals, measured * style.factor
    if style.rounding > _LEAST_ROUNDING and kind is not DimensionKind.ANGULAR:
        size = style.rounding * round(size / style.rounding)
    number = _number_text(size, decimals, style) + _SIGNS.get(kind, "")
    upper, lower = (style.plus, 0.0 - style.minus) if style.tolerance else (None, None)
    if upper is not None and lower is not None:
        number = _with_tolerance(number, size, (upper, lower), style)
    post = tidy(fold_codes(style.post))
    prefix, suffix = post.split("<>", 1) if "<>" in post else ("", post)
    text = f"{prefix or _PREFIXES.get(kind, '')}{number}{suffix}"
    return Shown(tidy(text), None, upper, lower)


def _with_tolerance(number: str, size: float, limits: tuple[float, float], style: DimensionStyle) -> str:
    upper, lower = limits
    decimals = style.tolerance_decimals if style.tolerance_decimals is not None else style.decimals

    def text(value: float) -> str:
        return _number_text(value, decimals, style)

    if style.tolerance == "limits":
        return f"{text(size + upper)}/{text(size + lower)}"
    if upper == -lower:
        return f"{number} \u00b1{text(upper)}"
    return f"{number} {_signed(upper, text)}/{_signed(lower, text)}"


def _signed(value: float, text: Callable[[float], str]) -> str:
    shown = text(abs(value))
    return shown if value == 0.0 else f"{'+' if value > 0.0 else '-'}{shown}"


def _number_text(value: float, decimals: int | None, style: DimensionStyle) -> str:
    """A number with the style's decimals and zeros; fractions of an inch when the style asks for them."""
    if style.fractions:
        return _fraction_text(value, 4 if decimals is None else decimals)
    places = _UNSTYLED_DECIMALS if decimals is None else min(max(decimals, 0), _MOST_DECIMALS)
    text = f"{value:.{places}f}"
    if "." in text and (style.zeros & _NO_TRAILING or decimals is None):
        text = text.rstrip("0").rstrip(".")
    if style.zeros & _NO_LEADING and text.startswith("0."):
        text = text[1:]
    return text


def _fraction_text(value: float, power: int) -> str:
    """`1 3/8`: the value to the next 2^-power."""
    denominator = 2 ** min(max(power, 0), _MOST_DECIMALS)
    whole, rest = divmod(round(value * denominator), denominator)
    if rest == 0:
        return str(whole)
    shared = math.gcd(rest, denominator)
    fraction = f"{rest // shared}/{denominator // shared}"
    return f"{whole} {fraction}" if whole else fraction
