"""DXF files for the tests: raw tag pairs written by hand, and documents of an independent library (ezdxf)."""

from __future__ import annotations

import io
from collections.abc import Sequence

import ezdxf
from ezdxf.document import Drawing as Document

from dxf2turn.options import DrawingOptions
from dxf2turn.reading.model import Drawing
from dxf2turn.reading.read import read_drawing

TEXT_VERSIONS = ("R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018")

Pair = tuple[int, object]


def pairs_text(pairs: Sequence[Pair]) -> str:
    """Tag pairs as the lines of a DXF file."""
    return "".join(f"{code:>3}\n{value}\n" for code, value in pairs)


def section(name: str, pairs: Sequence[Pair]) -> list[Pair]:
    return [(0, "SECTION"), (2, name), *pairs, (0, "ENDSEC")]


def raw_dxf(
    entities: Sequence[Pair],
    header: Sequence[Pair] = ((9, "$ACADVER"), (1, "AC1009")),
    tables: Sequence[Pair] = (),
    blocks: Sequence[Pair] = (),
) -> bytes:
    """A whole file from the pairs of its sections."""
    parts = [
        *section("HEADER", header),
        *section("TABLES", tables),
        *section("BLOCKS", blocks),
        *section("ENTITIES", entities),
        (0, "EOF"),
    ]
    return pairs_text(parts).encode()


def line(ax: object, ay: object, bx: object, by: object, **more: object) -> list[Pair]:
    """A LINE; more: layer, handle."""
    head: list[Pair] = [(0, "LINE"), (8, more.get("layer", "0"))]
    if "handle" in more:
        head.insert(1, (5, more["handle"]))
    return [*head, (10, ax), (20, ay), (30, 0.0), (11, bx), (21, by), (31, 0.0)]


def block(
    name: str, pairs: Sequence[Pair], flags: int = 0, base: tuple[float, float] = (0.0, 0.0)
) -> list[Pair]:
    head: list[Pair] = [
        (0, "BLOCK"),
        (8, "0"),
        (2, name),
        (70, flags),
        (10, base[0]),
        (20, base[1]),
        (30, 0.0),
    ]
    return [*head, *pairs, (0, "ENDBLK")]


def insert(name: str, x: float = 0.0, y: float = 0.0, *more: Pair) -> list[Pair]:
    return [(0, "INSERT"), (8, "0"), (2, name), (10, x), (20, y), (30, 0.0), *more]


def table(kind: str, *entries: Sequence[Pair]) -> list[Pair]:
    """A table of the TABLES section."""
    return [(0, "TABLE"), (2, kind), *(pair for entry in entries for pair in entry), (0, "ENDTAB")]


def read(data: bytes, options: DrawingOptions | None = None) -> Drawing:
    return read_drawing(data, "part.dxf", options or DrawingOptions())


def document(version: str = "R2010") -> Document:
    """An empty document of the library, millimetres."""
    doc = ezdxf.new(version, setup=["linetypes", "styles"])
    if version != "R12":  # which has no unit in its header
        doc.header["$INSUNITS"] = 4
    return doc


def document_bytes(doc: Document, binary: bool = False) -> bytes:
    """The document as a file."""
    if binary:
        stream = io.BytesIO()
        doc.write(stream, fmt="bin")
        return stream.getvalue()
    text = io.StringIO()
    doc.write(text)
    return text.getvalue().encode(doc.output_encoding, "dxfreplace")


def read_document(doc: Document, options: DrawingOptions | None = None, binary: bool = False) -> Drawing:
    return read(document_bytes(doc, binary), options)
