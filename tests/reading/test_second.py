"""The second reading: a DXF library reads each file too, and a difference is said with both values."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace

import pytest

from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.options import DrawingOptions, ReadLimits
from dxf2turn.reading import convert
from dxf2turn.reading.curves import shape
from dxf2turn.reading.model import Drawing
from dxf2turn.reading.second import load
from tests.reading.builders import (
    block,
    document,
    document_bytes,
    insert,
    line,
    pairs_text,
    raw_dxf,
    read,
    section,
)
from tests.reading.faults import MENDED, SQUARE
from tests.reading.mutants import seeds

OWN = ("reading/second-differs", "reading/second-has-more", "reading/second-lacks", "reading/read-once")


def said(drawing: Drawing) -> list[Finding]:
    """What the second reading reported."""
    return [finding for finding in drawing.findings if finding.code in OWN]


@pytest.mark.parametrize("index", range(7))
def test_both_readings_of_a_sound_drawing_agree(index: int) -> None:
    """Lines, arcs, polylines, ellipses and splines, in blocks and out of them, text and binary: all compared,
    nothing to report."""
    drawing = read(seeds()[index])

    own = [c for c in drawing.curves if c.origin.kind not in ("HATCH", "XLINE")]
    fit_only = sum(c.origin.kind == "SPLINE" for c in own) // 2  # one of two splines has fit points alone
    assert drawing.second.way == "read"
    assert drawing.second.compared == len(own) - fit_only
    assert said(drawing) == []


def everything_in_blocks() -> bytes:
    """Each kind of curve in a block that is nested, scaled unequally, mirrored, turned and in an array."""
    doc = document("R2010")
    inner = doc.blocks.new("INNER", base_point=(1, 2))
    inner.add_line((0, 0), (10, 3))
    inner.add_arc((5, 5), 4, 200, 30)
    inner.add_circle((1, 1), 3, dxfattribs={"extrusion": (0, 0, -1)})
    inner.add_lwpolyline([(0, 0, 0.4), (6, 2, -0.7), (9, 9, 0)], format="xyb", close=True)
    inner.add_polyline2d([(0, 0, 0.4), (6, 2, 0)], format="xyb")
    inner.add_ellipse((3, 3), (5, 1), 0.4, 0.3, 4.0)
    inner.add_open_spline([(0, 0), (3, 4), (8, 2), (9, 9)])
    outer = doc.blocks.new("OUTER")
    outer.add_blockref("INNER", (3, 4), dxfattribs={"xscale": 2, "yscale": -0.5, "rotation": 33})
    grid = {"row_count": 2, "column_count": 3, "row_spacing": 40, "column_spacing": 30, "rotation": 12}
    doc.modelspace().add_blockref("OUTER", (100, 50), dxfattribs={**grid, "xscale": -1.5, "yscale": 1.5})
    doc.modelspace().add_blockref("OUTER", (7, 8), dxfattribs={"extrusion": (0, 0, -1)})
    return document_bytes(doc)


def test_both_readings_agree_on_where_blocks_put_things() -> None:
    """Six places of an array and one mirrored by its extrusion: every curve of every place is compared."""
    drawing = read(everything_in_blocks())

    assert len(drawing.curves) == drawing.second.compared == 7 * 7
    assert said(drawing) == []


def test_drawing_in_paper_space_and_upright_drawing_are_compared() -> None:
    """A paper space is held against a paper space, a drawing that stood upright is laid flat for both."""
    paper = document()
    paper.layout("Layout1").add_line((0, 0), (5, 5))
    upright = document()
    for a, b in (((0, 0, 0), (5, 0, 0)), ((5, 0, 0), (5, 0, 8)), ((5, 0, 8), (0, 0, 0))):
        upright.modelspace().add_line(a, b)

    for doc, curves in ((paper, 1), (upright, 3)):
        drawing = read(document_bytes(doc))
        assert (drawing.second.compared, said(drawing)) == (curves, [])


def shifted(segment: Segment, by: float) -> Segment:
    return replace(segment, end=Point(segment.end.x + by, segment.end.y))


@pytest.mark.parametrize(
    ("kind", "pairs"),
    [
        ("LINE", line(0, 0, 10, 5, handle="2F")),
        ("ARC", [(0, "ARC"), (5, "2F"), (8, "0"), (10, 0), (20, 0), (40, 5), (50, 10), (51, 100)]),
        ("POLYLINE", [
            (0, "POLYLINE"), (5, "2F"), (8, "0"), (66, 1), (70, 0),
            (0, "VERTEX"), (8, "0"), (10, 0), (20, 0), (42, 0.5), (0, "VERTEX"), (8, "0"), (10, 9), (20, 4),
            (0, "SEQEND"),
        ]),
    ],
)  # fmt: skip
def test_difference_is_a_finding_with_handle_and_both_values(
    kind: str, pairs: list, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A reader that moves an end by a tenth is found out: handle, and what one and the other say."""
    draw = convert.SHAPES[kind]

    def wrong(record, pen) -> shape.Shape:  # noqa: ANN001
        right = draw(record, pen)
        return replace(right, segments=(*right.segments[:-1], shifted(right.segments[-1], 0.1)))

    monkeypatch.setitem(convert.SHAPES, kind, wrong)

    (finding,) = said(read(raw_dxf(pairs)))

    assert (finding.code, finding.severity) == ("reading/second-differs", Severity.FIX)
    assert finding.where.handles == ("2F",)
    right = draw(read_record(pairs), shape.Pen()).segments[-1].end
    assert f"{kind} 2F is read as" in finding.text
    assert f"({right.x:.7g}, {right.y:.7g})" in finding.text.split("library says")[1]
    assert f"({right.x + 0.1:.7g}, {right.y:.7g})" in finding.text.split("library says")[0]


def read_record(pairs: list):  # noqa: ANN201
    """The record of a single entity."""
    from dxf2turn.reading.file.source import read_tags
    from dxf2turn.reading.file.structure import build_structure

    limits = ReadLimits()
    return build_structure(read_tags(raw_dxf(pairs), "part.dxf", limits), "part.dxf", limits).entities[0]


def test_wrong_bow_of_an_arc_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """An arc read as its chord has both ends right; the point between tells."""
    draw = convert.SHAPES["ARC"]

    def chord(record, pen) -> shape.Shape:  # noqa: ANN001
        arc = draw(record, pen).segments[0]
        return shape.Shape((Line(arc.start, arc.end, arc.origin),))

    monkeypatch.setitem(convert.SHAPES, "ARC", chord)
    doc = document()
    doc.modelspace().add_arc((0, 0), 10, 0, 90)

    (finding,) = said(read(document_bytes(doc)))

    assert "through (5, 5)" in finding.text and "through (7.071068, 7.071068)" in finding.text


def test_wrong_place_of_a_block_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """A block put beside its place shows in its lines; many differences are named up to five and counted."""
    from dxf2turn.reading import walk

    put = walk._placements

    def beside(*arguments):  # noqa: ANN002, ANN202
        for placement in put(*arguments):
            yield placement._replace(origin=(placement.origin[0] + 1.0, *placement.origin[1:]))

    monkeypatch.setattr(walk, "_placements", beside)
    lines = [pair for y in range(8) for pair in line(0, y, 5, y)]

    findings = said(read(raw_dxf(insert("B", 3, 4), blocks=block("B", lines))))

    assert [f.code for f in findings] == ["reading/second-differs"] * 6
    assert findings[-1].text.startswith("3 more curves differ")


def test_entities_that_only_the_library_has_are_a_finding() -> None:
    """Two blocks of one name: the first is drawn here, the library takes the second, which holds more."""
    first, second = block("B", line(0, 0, 5, 0)), block("B", [*line(0, 0, 5, 0), *line(5, 0, 5, 5)])

    (finding,) = said(read(raw_dxf(insert("B"), blocks=[*first, *second])))

    assert (finding.code, finding.severity) == ("reading/second-has-more", Severity.FIX)


def test_the_library_s_recovery_is_asked_when_its_reading_disagrees() -> None:
    """Of two ENTITIES sections the library reads one and its recovery reads both."""
    half, rest = SQUARE[: len(SQUARE) // 2], SQUARE[len(SQUARE) // 2 :]
    data = pairs_text([*section("ENTITIES", half), *section("ENTITIES", rest), (0, "EOF")]).encode()

    drawing = read(data)

    assert (drawing.second.way, drawing.second.compared) == ("mended", 4)
    assert said(drawing) == []


def test_what_the_library_loses_is_a_note() -> None:
    """Section names in lower case make the library's drawing empty; it is read here, and the note says so."""
    drawing = read(MENDED["lower case"][0]())

    (note,) = said(drawing)
    assert (note.code, note.severity) == ("reading/second-lacks", Severity.NOTE)
    assert "4 that are read here could not be compared" in note.text
    assert drawing.second.compared == 0


@pytest.mark.parametrize(
    ("fault", "words"),
    [
        ("nonsense in the header", "the DXF library refuses it"),
        ("decimal commas", "decimal commas"),
        ("fortran exponent", "Fortran exponent"),
    ],
)
def test_file_that_the_library_can_t_read_or_would_misread_is_a_note(fault: str, words: str) -> None:
    """The reason is named, and that all numbers stand on one reading."""
    drawing = read(MENDED[fault][0]())

    (note,) = said(drawing)
    assert (note.code, note.severity) == ("reading/read-once", Severity.NOTE)
    assert words in note.text and words in drawing.second.reason
    assert "this program's own reading" in note.hint


def test_library_s_words_are_the_same_in_every_run() -> None:
    """The library quotes addresses in memory; equal input must give equal output."""
    spline = [(0, "SPLINE"), (8, "0"), (71, 3), (10, 0), (20, 0)]
    data = raw_dxf([*SQUARE, *spline], header=((9, "$ACADVER"), (1, "AC1015")))

    reasons = {read(data).second.reason for _ in range(3)}

    assert len(reasons) == 1
    assert "#" not in reasons.pop()


def test_large_file_is_read_once_and_said_so() -> None:
    """Beyond the limit of tags the library is not asked: it costs as much time again and more."""
    drawing = read(raw_dxf(SQUARE), DrawingOptions(limits=ReadLimits(second_reading_tags=20)))

    (note,) = said(drawing)
    assert "more than the limit of 20" in note.text
    assert len(drawing.curves) == 4


def test_library_that_fails_in_any_way_costs_a_note(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever the library raises, the drawing is read."""

    def fail(data: bytes) -> None:
        raise RecursionError("maximum recursion depth exceeded")

    monkeypatch.setattr(load, "_read", fail)
    monkeypatch.setattr(load, "_mended", fail)

    drawing = read(raw_dxf(SQUARE))

    assert len(drawing.curves) == 4
    assert "maximum recursion depth" in drawing.second.reason


def test_the_library_is_loaded_only_when_a_drawing_is_read() -> None:
    """Help and the list of the shop do not wait for it."""
    code = "import sys, dxf2turn.reading.read; sys.exit('ezdxf' in sys.modules)"

    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_array_that_draws_too_much_is_read_once() -> None:
    """A small file whose blocks draw many entities would cost as much time as a large one."""
    data = raw_dxf(
        insert("B", 0, 0, (70, 30), (71, 30), (44, 5), (45, 5)), blocks=block("B", line(0, 0, 1, 1))
    )

    drawing = read(data, DrawingOptions(limits=ReadLimits(second_reading_tags=2000)))

    assert len(drawing.curves) == 900
    assert "its blocks draw 901 entities, more than the limit of 200" in drawing.second.reason
