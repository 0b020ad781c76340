"""How a dimension writes its number: its style, with what the dimension itself overrides."""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.reading.damage import Damage
from dxf2turn.reading.file.numbers import real, whole
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.file.tables import Tables

_WIDE = 1e9
_APPLICATION, _STRING, _BRACE, _INTEGER = 1001, 1000, 1002, 1070  # extended data


@dataclass(frozen=True, slots=True)
class DimensionStyle:
    """The variables that decide the text.

    factor: DIMLFAC, without the sign that restricts it to paper space. decimals, None when the file does
    not say. zeros: DIMZIN bits (4 no leading, 8 no trailing zeros). post: DIMPOST, `<>` stands for the
    number. plus, minus: DIMTP, DIMTM as sizes; tolerance: "" none, "deviations" or "limits".
    fractions: numbers are written as inches and fractions.
    """

    factor: float = 1.0
    decimals: int | None = None
    angle_decimals: int | None = None
    zeros: int = 8
    rounding: float = 0.0
    post: str = ""
    tolerance: str = ""
    plus: float = 0.0
    minus: float = 0.0
    tolerance_decimals: int | None = None
    fractions: bool = False
    text_height: float = 0.0


def style_of(record: Record, tables: Tables) -> DimensionStyle:
    """The style of a DIMENSION: its own overrides, else its style, else the header's variables."""
    named = tables.dimstyles.get(record.name(3))
    values = {**(tables.dim_header if named is None else named), **overrides(record)}
    read = _Values(values)
    angle_decimals = read.integer(179, -1)
    unit = read.integer(277, 2)
    tolerance = "limits" if read.integer(72, 0) else "deviations" if read.integer(71, 0) else ""
    scale = read.number(40, 1.0)
    return DimensionStyle(
        factor=abs(read.number(144, 1.0)) or 1.0,
        decimals=read.integer(271, None),
        angle_decimals=None if angle_decimals is None or angle_decimals < 0 else angle_decimals,
        zeros=read.integer(78, 8) or 0,
        rounding=read.number(45, 0.0),
        post=values.get(3, ""),
        tolerance=tolerance,
        plus=read.number(47, 0.0),
        minus=read.number(48, 0.0),
        tolerance_decimals=read.integer(272, None),
        fractions=unit == 5,
        text_height=abs(read.number(140, 0.0)) * (scale if scale > 0.0 else 1.0),
    )


def overrides(record: Record) -> dict[int, str]:
    """Style values that a dimension carries in its own extended data (DSTYLE), by group code."""
    pairs = list(zip(record.codes, record.values))
    starts = [i for i, (c, v) in enumerate(pairs) if c == _STRING and v.strip().upper() == "DSTYLE"]
    found: dict[int, str] = {}
    for start in starts:
        index = start + 1
        if index < len(pairs) and pairs[index][0] == _BRACE:
            index += 1
        while index + 1 < len(pairs) and pairs[index][0] == _INTEGER:
            try:
                found[whole(pairs[index][1])] = pairs[index + 1][1]
            except Damage:
                break
            index += 2
    return found


@dataclass(frozen=True, slots=True)
class _Values:
    """Style values; one that can't be read counts as not given."""

    values: dict[int, str]

    def number(self, code: int, default: float) -> float:
        try:
            return real(self.values[code], _WIDE)
        except (KeyError, Damage):
            return default

    def integer(self, code: int, default: int | None) -> int | None:
        try:
            return whole(self.values[code])
        except (KeyError, Damage):
            return default
