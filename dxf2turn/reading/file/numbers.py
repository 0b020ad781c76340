"""The number grammar of a DXF file, stricter than Python's and more patient than most writers deserve.

Refused: `nan`, `inf`, `1.#QNAN`, thousands marks, units or junk behind a number, `1_000`, and values
beyond the limit (curve mathematics on such values does not end). Read with a note: Fortran's `1.5D+01`
and an exponent whose plus sign became a blank, `1.0E 20`.
"""

from __future__ import annotations

import re

from dxf2turn.reading.damage import Damage

_UNUSUAL = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+))[eEdD]([ +-]?)(\d{1,3})\s*", re.ASCII)
_SHOWN = 40  # characters of a bad value that are quoted in a message


def real(text: str, limit: float) -> float:
    """The number in `text`; raises Damage when it is none or its size exceeds `limit`."""
    try:
        value = float(text)
    except ValueError:
        value = _unusual_real(text)
    if -limit <= value <= limit and "_" not in text and text.isascii():
        return value
    raise Damage(f"{quoted(text)} is no usable number (finite, plain digits, at most {limit:g})")


def whole(text: str) -> int:
    """The whole number in `text`; `1.0` counts as 1. Raises Damage."""
    try:
        value = float(text)
        if value == int(value) and "_" not in text:
            return int(value)
    except (ValueError, OverflowError):
        pass
    raise Damage(f"{quoted(text)} is no whole number")


def quoted(text: str) -> str:
    """A value from the file, safe and short enough for a message."""
    shown = "".join(c if c.isprintable() else "\ufffd" for c in text.strip()[:_SHOWN])
    return f"'{shown}\u2026'" if len(text.strip()) > _SHOWN else f"'{shown}'"


def _unusual_real(text: str) -> float:
    match = _UNUSUAL.fullmatch(text)
    if match is None:
        raise Damage(f"{quoted(text)} is no number")
    mantissa, sign, exponent = match.groups()
    return float(f"{mantissa}e{sign.strip()}{exponent}")
