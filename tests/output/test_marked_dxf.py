"""The marked drawing, read back with ezdxf."""

from __future__ import annotations

import io
from dataclasses import replace

import ezdxf
import pytest
from ezdxf import recover

from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.geometry.point import Point
from dxf2turn.job import Job
from dxf2turn.output import marked_dxf
from dxf2turn.output.model import OutputOptions
from tests.output import jobs

LAYERS = {"FINDING_STOP", "FINDING_FIX", "FINDING_NOTE", "FOUND_CONTOUR"}


def source(version: str = "R2010", binary: bool = False, layer: str = "OUTLINE") -> bytes:
    """A drawing with two lines and a text."""
    document = ezdxf.new(version)
    document.layers.add(layer)
    space = document.modelspace()
    space.add_line((100, 50), (100, 58.5), dxfattribs={"layer": layer})
    space.add_line((100, 58.5), (50, 65), dxfattribs={"layer": layer})
    space.add_text("\u00d825 h6", height=3)
    if binary:
        out = io.BytesIO()
        document.write(out, fmt="bin")
        return out.getvalue()
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode(document.output_encoding)


def read(data: bytes) -> ezdxf.document.Drawing:
    document, auditor = recover.read(io.BytesIO(data))
    assert not auditor.errors
    return document


@pytest.mark.parametrize(
    ("version", "binary"), [("R12", False), ("R2000", False), ("R2018", False), ("R2010", True)]
)
def test_source_is_kept_and_findings_lie_on_layers_of_their_own(version: str, binary: bool) -> None:
    """Entities of the source are all there, unchanged; every new one is on a new layer."""
    data = source(version, binary)
    job = jobs.job(source=jobs.drawing(data=data))
    before = list(read(source(version)).modelspace())
    after = list(read(marked_dxf.render(job, OutputOptions())).modelspace())

    kept = [e for e in after if e.dxf.layer not in LAYERS]
    assert [(e.dxftype(), e.dxf.layer) for e in kept] == [(e.dxftype(), e.dxf.layer) for e in before]
    assert kept[0].dxf.start == before[0].dxf.start
    assert {e.dxf.layer for e in after if e.dxf.layer in LAYERS} == LAYERS - {"FINDING_STOP"}


def test_marker_stands_at_the_finding() -> None:
    """The circle of the one placed finding is about its drawing coordinates, its text names it."""
    job = jobs.job(source=jobs.drawing(data=source()))
    space = read(marked_dxf.render(job, OutputOptions())).modelspace()
    circle = next(e for e in space.query("CIRCLE") if e.dxf.layer == "FINDING_FIX")
    text = next(e for e in space.query("TEXT") if e.dxf.layer == "FINDING_FIX")

    assert (circle.dxf.center.x, circle.dxf.center.y) == (100.0, 58.5)
    assert text.dxf.text.startswith("1 fix: the chamfer at the thread's start is small")


def test_found_contour_lies_over_the_drawn_one() -> None:
    """(z 0, r 8.5) is drawn at (100, 58.5): the frame's origin is (100, 50), one unit a mm."""
    job = jobs.job(source=jobs.drawing(data=source()))
    space = read(marked_dxf.render(job, OutputOptions())).modelspace()
    found = [e for e in space if e.dxf.layer == "FOUND_CONTOUR"]

    assert len(found) == len(jobs.SEGMENTS)
    assert (found[0].dxf.end.x, found[0].dxf.end.y) == (100.0, 58.5)
    arc = next(e for e in found if e.dxftype() == "ARC")
    assert (round(arc.start_point.x, 9), round(arc.start_point.y, 9)) == (65.0, 62.0) or (
        round(arc.end_point.x, 9),
        round(arc.end_point.y, 9),
    ) == (65.0, 62.0)


def test_layer_names_of_the_source_are_not_used_again() -> None:
    """A drawing that has a layer of that name keeps it to itself."""
    job = jobs.job(source=jobs.drawing(data=source(layer="FINDING_FIX")))
    document = read(marked_dxf.render(job, OutputOptions()))

    assert "FINDING_FIX_2" in document.layers
    assert all(e.dxftype() == "LINE" for e in document.modelspace() if e.dxf.layer == "FINDING_FIX")


def test_a_source_that_the_library_can_not_read_gives_a_new_drawing() -> None:
    """Contour and findings are still delivered."""
    job = jobs.job(source=jobs.drawing(data=b"this is no drawing"))
    space = read(marked_dxf.render(job, OutputOptions())).modelspace()
    assert len([e for e in space if e.dxf.layer == "FOUND_CONTOUR"]) == len(jobs.SEGMENTS)


def test_equal_input_gives_equal_bytes() -> None:
    """No time stamp, no random id."""
    job = jobs.job(source=jobs.drawing(data=source()))
    assert marked_dxf.render(job, OutputOptions()) == marked_dxf.render(job, OutputOptions())


def test_strange_characters_survive() -> None:
    """A text beyond the file's code page is written in DXF's own way, never an error."""
    strange = Finding(
        "x/y", Severity.STOP, "\u4e2d\u56fd \u2300 \U0001f600\n0", where=Location(Point(1.0, 2.0))
    )
    job = Job(jobs.drawing(data=source("R12")))
    job = replace(job, checks=(strange,))
    texts = [e.dxf.text for e in read(marked_dxf.render(job, OutputOptions())).modelspace().query("TEXT")]
    assert any("\u4e2d" in text for text in texts)


def test_a_source_that_the_library_reads_with_other_numbers_gives_a_new_drawing() -> None:
    """Decimal commas: the library cuts the numbers off without a word; our own contour is drawn instead."""
    from dxf2turn import read
    from tests.pin import dxf

    commas = dxf(points=(("0", "0"), ("0,5", "9,25"), ("-30,75", "10,5"), ("-30,75", "0")))
    data = commas.replace(b"\n9\n$ACADVER\n1\nAC1009", b"")
    job = replace(jobs.job(), drawing=read(data, name="commas.dxf"))
    layers = {e.dxf.layer for e in read_back(job)}

    assert job.drawing.curves
    assert layers == LAYERS - {"FINDING_STOP"}


def read_back(job: Job) -> list[ezdxf.entities.DXFEntity]:
    """All entities of the marked drawing."""
    return list(read(marked_dxf.render(job, OutputOptions())).modelspace())


@pytest.mark.parametrize("code", sorted(marked_dxf.MISREAD))
def test_a_source_that_reading_had_doubts_about_gives_a_new_drawing(code: str) -> None:
    """Where the two readings differ, or the library is known to change the numbers, it hands nothing on."""
    drawing = replace(jobs.drawing(data=source()), findings=(Finding(code, Severity.FIX, "doubt"),))

    document = read(marked_dxf.render(jobs.job(source=drawing), OutputOptions()))

    assert {entity.dxf.layer for entity in document.modelspace()} <= LAYERS


def test_a_source_that_the_library_writes_out_of_step_gives_a_new_drawing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A group code that no reader takes, as some binary files leave it behind, never gets into the output."""
    written = marked_dxf._written
    monkeypatch.setattr(
        marked_dxf,
        "_written",
        lambda document: (
            written(document).replace(b"  0\nEOF", b"25409\nx\n  0\nEOF")
            if "OUTLINE" in document.layers
            else written(document)
        ),
    )

    document = read(marked_dxf.render(jobs.job(source=jobs.drawing(data=source())), OutputOptions()))

    assert {entity.dxf.layer for entity in document.modelspace()} <= LAYERS
