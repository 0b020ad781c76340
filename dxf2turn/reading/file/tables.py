"""Layers, linetypes, dimension styles and header values as small records, with the defaults of the format."""

from __future__ import annotations

from dataclasses import dataclass, field

from dxf2turn.reading.damage import Damage
from dxf2turn.reading.file.numbers import real, whole
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.file.structure import Structure
from dxf2turn.reading.model import Header

BYLAYER, BYBLOCK, CONTINUOUS = "BYLAYER", "BYBLOCK", "CONTINUOUS"
COLOUR_BYBLOCK, COLOUR_BYLAYER = 0, 256
LINEWEIGHT_BYLAYER, LINEWEIGHT_BYBLOCK = -1, -2
_FROZEN = 1  # bit of group code 70
_WIDE = 1e300  # table values have no useful limit of size


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer's state. The defaults are those of a layer that is used but not defined."""

    name: str
    on: bool = True
    frozen: bool = False
    plotted: bool = True
    linetype: str = CONTINUOUS
    colour: int = 7
    lineweight: int = -3


@dataclass(frozen=True, slots=True)
class Tables:
    """What the tables of a file say; keys are upper case.

    linetypes: pattern of each linetype, dashes positive, gaps negative, dots 0.
    dimstyles: values by group code.
    """

    header: Header
    layers: dict[str, Layer] = field(default_factory=dict)
    linetypes: dict[str, tuple[float, ...]] = field(default_factory=dict)
    dimstyles: dict[str, dict[int, str]] = field(default_factory=dict)
    dim_header: dict[int, str] = field(default_factory=dict)

    def layer(self, name: str) -> Layer:
        """The layer of that name (any case); a layer that is not defined is on and continuous."""
        return self.layers.get(name.upper()) or Layer(name)


# Header variables that stand for a dimension without style, by the group code of the style's own value.
_DIM_VARIABLES = {
    "$DIMPOST": 3, "$DIMSCALE": 40, "$DIMRND": 45, "$DIMTP": 47, "$DIMTM": 48, "$DIMTOL": 71, "$DIMLIM": 72,
    "$DIMZIN": 78, "$DIMLFAC": 144, "$DIMADEC": 179, "$DIMDEC": 271, "$DIMTDEC": 272, "$DIMAUNIT": 275,
    "$DIMLUNIT": 277, "$DIMDSEP": 278, "$DIMTZIN": 284,
}  # fmt: skip


def build_tables(structure: Structure) -> Tables:
    """The tables of a file. Values that can't be read count as not given."""
    tables = structure.tables
    layers = [_layer(record) for record in tables.get("LAYER", ())]
    return Tables(
        _header(structure),
        {layer.name.upper(): layer for layer in reversed(layers)},
        {record.name(2): _pattern(record) for record in tables.get("LTYPE", ())},
        {record.name(2): dict(record.fields) for record in tables.get("DIMSTYLE", ())},
        {code: pairs[0][1] for name, code in _DIM_VARIABLES.items() if (pairs := structure.header.get(name))},
    )


def _header(structure: Structure) -> Header:
    version = structure.header.get("$ACADVER", ((1, ""),))[0][1].strip().upper()
    return Header(
        version or "unknown",
        _header_integer(structure, "$INSUNITS"),
        _header_integer(structure, "$MEASUREMENT"),
        _header_number(structure, "$DIMLFAC", 1.0),
        _header_number(structure, "$LTSCALE", 1.0),
    )


def _header_integer(structure: Structure, name: str) -> int | None:
    pairs = structure.header.get(name)
    try:
        return whole(pairs[0][1]) if pairs else None
    except Damage:
        return None


def _header_number(structure: Structure, name: str, default: float) -> float:
    pairs = structure.header.get(name)
    try:
        return real(pairs[0][1], _WIDE) if pairs else default
    except Damage:
        return default


def _layer(record: Record) -> Layer:
    colour = _integer(record, 62, 7)
    return Layer(
        record.text(2).strip(),
        on=colour >= 0,
        frozen=bool(_integer(record, 70, 0) & _FROZEN),
        plotted=_integer(record, 290, 1) != 0,
        linetype=record.name(6) or CONTINUOUS,
        colour=abs(colour),
        lineweight=_integer(record, 370, -3),
    )


def _pattern(record: Record) -> tuple[float, ...]:
    try:
        return tuple(record.all_numbers(49))
    except Damage:
        return ()


def _integer(record: Record, code: int, default: int) -> int:
    try:
        return record.integer(code, default)
    except Damage:
        return default
