"""Damaged files, each made by a function: what designers, mail systems and old programs really produce."""

from __future__ import annotations

import gzip
from collections.abc import Callable

from tests.reading.builders import (
    block,
    document,
    document_bytes,
    insert,
    line,
    pairs_text,
    raw_dxf,
    section,
)

SQUARE = [*line(0, 0, 10, 0), *line(10, 0, 10, 5), *line(10, 5, 0, 5), *line(0, 5, 0, 0)]
TEXT = raw_dxf(SQUARE).decode()


def edit(old: str, new: str, count: int = 1) -> bytes:
    assert old in TEXT
    return TEXT.replace(old, new, count).encode()


def with_number(text: str) -> bytes:
    """A square whose first x is `text`."""
    return raw_dxf([*line(text, 0, 10, 0), *SQUARE[8:]])


def with_entity(*pairs: tuple[int, object]) -> bytes:
    return raw_dxf([*SQUARE, *pairs])


def cut(share: float, binary: bool = False) -> bytes:
    doc = document()
    for a in range(20):
        doc.modelspace().add_line((a, 0), (a, 1))
    data = document_bytes(doc, binary)
    at = data.index(b"AcDbLine") if share == 0 else int(len(data) * share)
    return data[:at]


def in_entities() -> bytes:
    """Cut in the middle of ENTITIES, at the end of a whole entity."""
    return TEXT[: TEXT.rindex("  0\nLINE")].encode()


# What can't be read: maker of the bytes, and what the message must say.
REFUSED: dict[str, tuple[Callable[[], bytes], str]] = {
    "empty": (lambda: b"", "is empty"),
    "blank": (lambda: b" \r\n\r\n", "only blanks"),
    "zeros": (lambda: bytes(5000), "only blanks or zero bytes"),
    "gzip": (lambda: gzip.compress(TEXT.encode()), "gzip archive"),
    "zip": (lambda: b"PK\x03\x04" + bytes(60), "zip archive"),
    "dwg": (lambda: b"AC1032\x00\x00\x00\x00\x00" + bytes(range(256)), r"DWG file \(2018\).*save it as DXF"),
    "pdf": (lambda: b"%PDF-1.7\n%\xe2\xe3\n", "PDF document"),
    "html": (lambda: b"<!DOCTYPE html><html><body>404</body></html>", "HTML page"),
    "svg": (lambda: b'<?xml version="1.0"?><svg/>', "SVG or XML"),
    "png": (lambda: b"\x89PNG\r\n\x1a\n" + bytes(20), "PNG picture"),
    "step": (lambda: b"ISO-10303-21;\nHEADER;\n", "STEP model"),
    "prose": (lambda: b"This is a note.\nIt is no drawing.\n", "starts with 'This is a note.'"),
    "random bytes": (lambda: bytes(range(256)) * 4, "no DXF file"),
    "bare entity": (lambda: pairs_text(line(0, 0, 1, 0)).encode(), "no ENTITIES section"),
    "no entities": (lambda: pairs_text([*section("HEADER", []), (0, "EOF")]).encode(), "no ENTITIES section"),
    "nothing drawn": (lambda: raw_dxf([]), "no entity at all"),
    "cut in entities": (in_entities, "cut off: its section ENTITIES"),
    "cut in a pair": (lambda: TEXT[: TEXT.index(" 10\n10\n") + 4].encode(), "cut off"),
    "cut in the tables": (lambda: cut(0.3), "cut off"),
    "cut binary": (lambda: cut(0.5, binary=True), "cut off"),
    "cut binary in a number": (lambda: cut(0, binary=True), "cut off"),
    "group code no number": (lambda: edit(" 10\n10", " XX\n10"), r"line \d+: a group code is expected.*'XX'"),
    "pairs out of step": (lambda: edit(" 10\n10\n", " 10\n\n10\n"), r"line \d+: a group code.*in the LINE"),
    "nan": (lambda: with_number("nan"), r"line 32: LINE on layer 0 is damaged: 'nan'"),
    "inf": (lambda: with_number("inf"), "'inf' is no usable number"),
    "1e400": (lambda: with_number("1e400"), "'1e400' is no usable number"),
    "1e300": (lambda: with_number("1e300"), r"at most 1e\+07"),
    "1.#QNAN": (lambda: with_number("1.#QNAN"), "is no number"),
    "-1.#IND": (lambda: with_number("-1.#IND"), "is no number"),
    "underscore": (lambda: with_number("1_000.5"), "'1_000.5'"),
    "unit behind": (lambda: with_number("2mm"), "'2mm' is no number"),
    "junk behind": (lambda: with_number("-.5x"), "'-.5x'"),
    "foreign digits": (lambda: with_number("\u0661\u0662"), "is no usable number"),
    "empty number": (lambda: with_number(""), "is no number"),
    "comma among points": (lambda: with_number("12,5"), r"line 32: '12,5' has a comma and other numbers"),
    "thousands": (lambda: with_number("1,234.5"), "'1,234.5' has a comma"),
    "thousands alone": (
        lambda: pairs_text(section("ENTITIES", line("1,234,567", 0, 1, 0)[:5])).encode(),
        "has a comma",
    ),
    "no end point": (lambda: raw_dxf([*SQUARE, *line(0, 0, 1, 1)[:5]]), "it has no end point"),
    "no y": (lambda: raw_dxf([*SQUARE, (0, "LINE"), (10, 1), (11, 5), (21, 5)]), "group code 20"),
    "lwpolyline without y": (
        lambda: with_entity((0, "LWPOLYLINE"), (8, "0"), (10, 1), (20, 2), (10, 3), (10, 4), (20, 5)),
        "vertex without y",
    ),
    "bulge beyond use": (
        lambda: with_entity((0, "LWPOLYLINE"), (10, 1), (20, 2), (42, 1e6), (10, 3), (20, 5)),
        r"bulge of 1e\+06",
    ),
    "nan bulge": (
        lambda: with_entity((0, "LWPOLYLINE"), (10, 1), (20, 2), (42, "nan"), (10, 3), (20, 5)),
        "'nan'",
    ),
    "nan in a spline": (
        lambda: with_entity((0, "SPLINE"), (71, 1), (40, 0), (40, 0), (40, 1), (40, "nan"), (10, 0), (20, 0)),
        "'nan'",
    ),
    "nan radius": (lambda: with_entity((0, "CIRCLE"), (10, 0), (20, 0), (40, "nan")), "CIRCLE.*'nan'"),
    "huge flag": (
        lambda: with_entity((0, "LWPOLYLINE"), (70, "1e999"), (10, 1), (20, 2), (10, 3), (20, 5)),
        "'1e999' is no whole number",
    ),
    "nan scale": (
        lambda: raw_dxf([*SQUARE, *insert("B", 0, 0, (41, "nan"))], blocks=block("B", SQUARE)),
        r"line \d+: 'nan'",
    ),
    "scales that multiply": (
        lambda: raw_dxf(
            [*SQUARE, *insert("C", 0, 0, (41, 1e6))],
            blocks=[*block("B", SQUARE), *block("C", insert("B", 0, 0, (41, 1e6)))],
        ),
        r"coordinates reach 1e\+13",
    ),
}  # fmt: skip


def comma_file() -> bytes:
    entities = [*line("0,5", 0, "10,25", 0), *line("10,25", 0, "10,25", "5,5")]
    written = raw_dxf(entities, header=[(9, "$DIMLFAC"), (40, "2,0")])
    return written.replace(b"0.0", b"0,0")


def two_entities_sections() -> bytes:
    parts = [*section("ENTITIES", SQUARE[:16]), *section("ENTITIES", SQUARE[16:]), (0, "EOF")]
    return pairs_text(parts).encode()


def unclosed_section() -> bytes:
    parts = [(0, "SECTION"), (2, "HEADER"), *section("ENTITIES", SQUARE), (0, "EOF")]
    return pairs_text(parts).encode()


def xxyy() -> bytes:
    entities = [(0, "LINE"), (8, "0"), (10, 0), (11, 10), (20, 0), (21, 0)]
    return raw_dxf([*entities, *SQUARE[8:]])


# What is read all the same: maker of the bytes, and the codes of the repairs that are reported.
MENDED: dict[str, tuple[Callable[[], bytes], tuple[str, ...]]] = {
    "as it should be": (lambda: TEXT.encode(), ()),
    "carriage returns": (lambda: TEXT.replace("\n", "\r\n").encode(), ()),
    "carriage returns alone": (lambda: TEXT.replace("\n", "\r").encode(), ()),
    "mixed line ends": (lambda: TEXT.replace("\n", "\r\n", 20).encode(), ()),
    "doubled line ends": (lambda: TEXT.replace("\n", "\r\r\n").encode(), ("doubled-line-ends",)),
    "utf-8 mark": (lambda: b"\xef\xbb\xbf" + TEXT.encode(), ()),
    "utf-16": (lambda: TEXT.encode("utf-16"), ()),
    "utf-16 without mark": (lambda: TEXT.encode("utf-16-le"), ()),
    "utf-16 big": (lambda: TEXT.encode("utf-16-be"), ()),
    "text behind the end": (lambda: (TEXT + "\x1a\nrubbish\nmore").encode(), ()),
    "blank lines before": (lambda: ("\n\n" + TEXT).encode(), ("blank-lines",)),
    "comments": (lambda: ("999\nmade by hand\n" + TEXT).encode(), ()),
    "comment in an entity": (lambda: edit(" 10\n10\n", "999\nhello\n 10\n10\n"), ()),
    "no end mark": (lambda: TEXT.replace("  0\nEOF\n", "").encode(), ("no-eof",)),
    "padding for an end mark": (lambda: TEXT.replace("  0\nEOF\n", "\x1a\x00\x00").encode(), ("no-eof",)),
    "half an end mark": (lambda: TEXT.replace("  0\nEOF\n", "  0\n").encode(), ("no-eof",)),
    "lower case": (lambda: TEXT.lower().encode(), ()),
    "blanks around words": (lambda: TEXT.replace("SECTION", "SECTION ").replace("EOF", " EOF").encode(), ()),
    "decimal commas": (comma_file, ("decimal-comma",)),
    "fortran exponent": (lambda: edit(" 10\n10\n", " 10\n1.0D+01\n"), ("unusual-number",)),
    "blank in an exponent": (lambda: edit(" 10\n10\n", " 10\n1.0E 01\n"), ("unusual-number",)),
    "no header, no tables": (lambda: pairs_text([*section("ENTITIES", SQUARE), (0, "EOF")]).encode(), ()),
    "two entities sections": (two_entities_sections, ()),
    "section not closed": (unclosed_section, ("section-not-closed",)),
    "endsec too many": (lambda: edit("ENDSEC\n", "ENDSEC\n  0\nENDSEC\n"), ("extra-endsec",)),
    "x x y y": (xxyy, ("codes-out-of-order",)),
    "flag with a point": (lambda: edit("  8\n0\n", "  8\n0\n 60\n0.0\n"), ()),
    "odd group codes": (lambda: edit(" 10\n10\n", "-3\nx\n5555\ny\n 10\n10\n"), ()),
    "odd handles": (lambda: raw_dxf([*line(0, 0, 1, 0, handle=""), *line(0, 1, 1, 1, handle="I1")]), ()),
    "one handle": (lambda: raw_dxf([*line(0, 0, 1, 0, handle="A"), *line(0, 1, 1, 1, handle="A")]), ()),
    "unknown version": (lambda: edit("AC1009", "AC9999"), ()),
    "nonsense in the header": (lambda: edit("  9\n$ACADVER", "  9\n$INSUNITS\n 70\nmany\n  9\n$ACADVER"), ()),
}  # fmt: skip
