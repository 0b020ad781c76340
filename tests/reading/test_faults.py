"""Damaged files end in a clear error with the place, or are read and the repair is named."""

from __future__ import annotations

import re

import pytest

from dxf2turn.errors import UnreadableDrawing
from dxf2turn.geometry.point import Point
from tests.reading.builders import document, document_bytes, line, pairs_text, raw_dxf, read, section
from tests.reading.faults import MENDED, REFUSED, SQUARE, TEXT, with_entity

READ_ONCE = {"reading/read-once", "reading/second-lacks"}  # the library that reads again gives up sooner


@pytest.mark.parametrize("fault", REFUSED)
def test_refused_with_the_reason(fault: str) -> None:
    """The message names the file, says what is wrong and where, in a few printable lines."""
    make, words = REFUSED[fault]

    with pytest.raises(UnreadableDrawing) as caught:
        read(make())

    message = str(caught.value)
    assert re.search(words, message), message
    assert message.startswith("part.dxf")
    assert len(message) < 500 and message.isprintable()


@pytest.mark.parametrize("fault", MENDED)
def test_read_with_the_repair_named(fault: str) -> None:
    """Lesser faults are read; exactly the repairs that were needed are reported."""
    make, repairs = MENDED[fault]

    drawing = read(make())

    assert tuple(r.code for r in drawing.repairs) == tuple(f"reading/{code}" for code in repairs)
    assert len(drawing.curves) in (2, 4)
    assert drawing.census.total == drawing.census.used == len(drawing.curves)
    assert {f.code for f in drawing.findings} <= READ_ONCE


def test_decimal_commas_have_their_values() -> None:
    """A file in which every number has a comma is read with these values, header included."""
    drawing = read(MENDED["decimal commas"][0]())

    assert drawing.curves[1].segments[0].end == Point(10.25, 5.5)
    assert drawing.header.dimlfac == 2.0


def test_fortran_exponent_has_its_value() -> None:
    """1.0D+01 is ten, not one."""
    drawing = read(MENDED["fortran exponent"][0]())

    assert Point(10, 0) in [c.segments[0].start for c in drawing.curves]


@pytest.mark.parametrize("share", [k / 40 for k in range(1, 40)])
@pytest.mark.parametrize("binary", [False, True])
def test_a_file_cut_anywhere_before_the_end_of_its_entities_is_refused(share: float, binary: bool) -> None:
    """However a file is cut, it is never read as a drawing with fewer entities."""
    doc = document("R2000")
    for a in range(40):
        doc.modelspace().add_line((a, 0), (a, 1))
    data = document_bytes(doc, binary)
    end = data.rindex(b"AcDbLine")

    with pytest.raises(UnreadableDrawing):
        read(data[: int(end * share)])


def test_broken_geometry_names_the_handle() -> None:
    """An error about an entity carries its handle, its layer and the line of the bad value."""
    data = raw_dxf([*SQUARE, *line(0, "nan", 1, 1, handle="2F", layer="OUTLINE")])
    where = data.decode().split("\n").index("nan") + 1

    with pytest.raises(UnreadableDrawing, match=rf"line {where}: LINE 2F on layer OUTLINE"):
        read(data)


def test_broken_geometry_of_a_binary_file_names_the_byte() -> None:
    """In a binary file the place is an offset."""
    doc = document("R2000")
    doc.modelspace().add_line((0, 0), (float("inf"), 1))

    with pytest.raises(UnreadableDrawing, match=r"byte \d+: LINE \w+"):
        read(document_bytes(doc, binary=True))


def test_nan_where_nothing_is_drawn_is_no_matter() -> None:
    """A bad number in an entity that is not used does not refuse the drawing."""
    drawing = read(with_entity((0, "POINT"), (8, "0"), (10, "nan"), (20, 0)))

    assert len(drawing.curves) == 4


@pytest.mark.parametrize(
    ("entity", "reason"),
    [
        ([(0, "CIRCLE"), (10, 0), (20, 0), (40, 0)], "radius of 0"),
        ([(0, "ARC"), (10, 0), (20, 0), (40, -1), (50, 0), (51, 90)], "radius of -1"),
        (line(3, 3, 3, 3), "has no length"),
        ([(0, "CIRCLE"), (8, "0"), (10, 3), (20, 3), (40, "1e-320")], "has no length"),
        ([(0, "ARC"), (8, "0"), (10, 3), (20, 3), (40, "1e-20"), (50, 0), (51, 90)], "has no length"),
        ([(0, "LWPOLYLINE"), (8, "0"), (100, "x"), (10, 1), (20, 1)], "has 1 vertices"),
        ([(0, "LWPOLYLINE"), (8, "0"), (100, "x")], "has 0 vertices"),
        ([(0, "VERTEX"), (8, "0"), (10, 1), (20, 1)], "vertex outside a polyline"),
        ([(0, "3DSOLID"), (8, "0"), (1, "opaque")], "solid body"),
        ([(0, "ACAD_PROXY_ENTITY"), (8, "0")], "another program"),
        ([(0, "SPLINE"), (8, "0"), (100, "x"), (71, 3)], "no control points"),
    ],
)
def test_entities_without_sense_are_set_aside_with_the_reason(entity: list, reason: str) -> None:
    """What draws nothing or can't be drawn is counted with its reason, the rest is read."""
    drawing = read(raw_dxf([*SQUARE, *entity]))

    assert len(drawing.curves) == 4
    (aside,) = drawing.set_aside
    assert reason in aside.reason
    assert aside.count == 1


def test_polyline_without_seqend_is_closed_by_the_next_entity() -> None:
    """The whole file is lost elsewhere; here the polyline ends where its vertices end."""
    vertices = [pair for x in (0, 5, 9) for pair in ((0, "VERTEX"), (8, "0"), (10, x), (20, x % 2))]
    pairs = [(0, "POLYLINE"), (8, "0"), (66, 1), (70, 0), *vertices, *SQUARE]

    drawing = read(raw_dxf(pairs))

    assert len(drawing.curves) == 5
    assert len(drawing.curves[0].segments) == 2
    assert [r.code for r in drawing.repairs] == ["reading/no-seqend"]


def test_entities_between_blocks_and_second_blocks_are_counted() -> None:
    """Entities outside any block, and those of a second block of the same name, are set aside by name."""
    stray = [*line(0, 0, 1, 0)]
    first = [(0, "BLOCK"), (2, "B"), *line(0, 0, 1, 0), (0, "ENDBLK")]

    drawing = read(raw_dxf(SQUARE, blocks=[*stray, *first, *first]))

    assert sorted(a.reason for a in drawing.set_aside) == [
        "in a block that is not shown",
        "in the BLOCKS section but in no block",
        "in the second block named B",
    ]
    assert drawing.census.total == 7


def test_entities_stored_in_the_block_of_the_model_space_are_read() -> None:
    """Some writers leave ENTITIES empty and fill the block of the model space."""
    model = [(0, "BLOCK"), (2, "*Model_Space"), (70, 0), (10, 0), (20, 0), *SQUARE, (0, "ENDBLK")]

    drawing = read(raw_dxf([], blocks=model))

    assert len(drawing.curves) == 4
    assert [r.code for r in drawing.repairs] == ["reading/model-block"]


def test_binary_file_that_lost_its_carriage_return_is_read() -> None:
    """A binary DXF whose first line went through a text transfer is still recognised."""
    doc = document("R2000")
    doc.modelspace().add_line((0, 0), (1, 1))
    data = document_bytes(doc, binary=True).replace(b"\r\n\x1a", b"\n\x1a", 1)

    assert len(read(data).curves) == 1


def test_old_binary_layout_with_one_byte_codes() -> None:
    """The layout before R13 has one-byte group codes."""
    import struct

    def number(code: int, value: float) -> bytes:
        return bytes([code]) + struct.pack("<d", value)

    def word(code: int, value: bytes) -> bytes:
        return bytes([code]) + value + b"\x00"

    body = b"".join(
        [
            word(0, b"SECTION"), word(2, b"ENTITIES"), word(0, b"LINE"), word(8, b"0"),
            number(10, 1.5), number(20, 2.5), number(11, 3.5), number(21, 4.5),
            b"\xff" + struct.pack("<h", 1070) + struct.pack("<h", 7),
            word(0, b"ENDSEC"), word(0, b"EOF"),
        ]
    )  # fmt: skip

    drawing = read(b"AutoCAD Binary DXF\r\n\x1a\x00" + body)

    assert drawing.curves[0].segments[0].start == Point(1.5, 2.5)
    assert drawing.curves[0].segments[0].end == Point(3.5, 4.5)


def test_what_the_file_is_called_comes_first_and_is_safe() -> None:
    """Control characters of a bad value never reach the message."""
    data = pairs_text([*section("ENTITIES", line("\x1b[31m1\u202e", 0, 1, 0)), (0, "EOF")]).encode()

    with pytest.raises(UnreadableDrawing) as caught:
        read(data)

    assert str(caught.value).isprintable()


def test_same_bytes_same_drawing() -> None:
    """Reading is a function of the bytes; the drawing keeps them and their SHA-256."""
    first, second = read(TEXT.encode()), read(TEXT.encode())

    assert first == second
    assert first.data == TEXT.encode()
    import hashlib

    assert first.sha256 == hashlib.sha256(TEXT.encode()).hexdigest()
