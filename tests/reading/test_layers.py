"""Layers, spaces and visibility: what is not shown is counted, with the reason."""

from __future__ import annotations

import pytest

from dxf2turn.errors import UnreadableDrawing
from dxf2turn.findings import Severity
from dxf2turn.geometry.point import Point
from dxf2turn.reading.model import Drawing
from tests.reading.builders import document, line, raw_dxf, read, read_document


def reasons(drawing: Drawing) -> list[tuple[str, int]]:
    return [(aside.reason, aside.count) for aside in drawing.set_aside]


def test_layers_that_are_off_or_frozen_are_left_out() -> None:
    """Entities on layers off and frozen are set aside by layer; all others are read."""
    doc = document()
    doc.layers.add("OFF").off()
    doc.layers.add("FROZEN").freeze()
    for index, layer in enumerate(("0", "OFF", "FROZEN", "UNDEFINED")):
        doc.modelspace().add_line((0, index), (1, index), dxfattribs={"layer": layer})

    drawing = read_document(doc)

    assert [c.origin.layer for c in drawing.curves] == ["0", "UNDEFINED"]
    assert reasons(drawing) == [
        ("on layer OFF, which is off", 1),
        ("on layer FROZEN, which is frozen", 1),
    ]


def test_layer_names_have_no_case() -> None:
    """A layer is found whatever case its name is written in."""
    doc = document()
    doc.layers.add("Hidden").freeze()
    doc.modelspace().add_line((0, 0), (1, 0))
    doc.modelspace().add_line((0, 1), (1, 1), dxfattribs={"layer": "HIDDEN"})

    assert len(read_document(doc).curves) == 1


def test_frozen_layer_of_an_insert_hides_the_whole_block() -> None:
    """A block on a frozen layer is not shown; one on a layer that is off keeps its own other layers."""
    doc = document()
    doc.layers.add("F").freeze()
    doc.layers.add("O").off()
    content = doc.blocks.new("B")
    content.add_line((0, 0), (1, 0))
    content.add_line((0, 1), (1, 1), dxfattribs={"layer": "OWN"})
    doc.modelspace().add_blockref("B", (0, 0), dxfattribs={"layer": "F"})
    doc.modelspace().add_blockref("B", (0, 9), dxfattribs={"layer": "O"})

    (curve,) = read_document(doc).curves

    assert curve.segments[0].start == Point(0, 10)


def test_invisible_entities_and_measuring_points_are_left_out() -> None:
    """The visibility flag is honoured, and the layer of measuring points is not outline."""
    doc = document()
    doc.modelspace().add_line((0, 0), (1, 0))
    doc.modelspace().add_line((0, 1), (1, 1), dxfattribs={"invisible": 1})
    doc.modelspace().add_line((0, 2), (1, 2), dxfattribs={"layer": "Defpoints"})

    drawing = read_document(doc)

    assert len(drawing.curves) == 1
    assert [r for r, _ in reasons(drawing)] == [
        "marked invisible",
        "on layer Defpoints, which holds measuring points",
    ]


def test_layer_without_plot_is_no_outline() -> None:
    """What is never plotted is no outline while plotted layers hold one, and the outline if none do."""
    doc = document()
    doc.layers.add("HELP").dxf.plot = 0
    doc.modelspace().add_line((0, 1), (1, 1), dxfattribs={"layer": "HELP"})
    assert [c.role.value for c in read_document(doc).curves] == ["outline"]

    doc.modelspace().add_line((0, 0), (1, 0))

    drawing = read_document(doc)
    assert [c.role.value for c in drawing.curves] == ["other", "outline"]
    assert [f.code for f in drawing.findings] == ["reading/not-plotted"]


def test_paper_space_is_read_when_the_model_is_empty() -> None:
    """Geometry only in the paper space is taken from there, with a note."""
    doc = document()
    doc.paperspace().add_line((0, 0), (40, 0))

    drawing = read_document(doc)

    assert len(drawing.curves) == 1
    assert [f.code for f in drawing.findings] == ["reading/paper-space"]


def test_second_paper_space_is_found() -> None:
    """The paper space that holds the drawing need not be the active one."""
    doc = document()
    doc.layouts.new("Sheet 2").add_line((0, 0), (40, 0))

    assert len(read_document(doc).curves) == 1


def test_paper_space_beside_a_model_is_set_aside() -> None:
    """With geometry in the model space, the paper space (frame, title block) is counted, not read."""
    doc = document()
    doc.modelspace().add_line((0, 0), (1, 0))
    doc.paperspace().add_line((0, 0), (40, 0))

    drawing = read_document(doc)

    assert len(drawing.curves) == 1
    assert ("in the paper space", 1) in reasons(drawing)


def test_upright_drawing_is_laid_flat() -> None:
    """Geometry in the XZ plane, as 3D systems export a front view, is read as x, z."""
    doc = document()
    doc.modelspace().add_line((0, 5, 0), (40, 5, 12))
    doc.modelspace().add_arc((1, 2), 3, 0, 90, dxfattribs={"extrusion": (0, -1, 0)})

    drawing = read_document(doc)

    assert (drawing.curves[0].segments[0].start, drawing.curves[0].segments[0].end) == (
        Point(0, 0),
        Point(40, 12),
    )
    # Extrusion (0, -1, 0): own x is world x, own y is world z (arbitrary axis rule, worked by hand).
    assert drawing.curves[1].segments[0].centre.distance(Point(1, 2)) < 1e-12
    assert [f.code for f in drawing.findings] == ["reading/upright"]


def test_line_out_of_the_plane_is_named() -> None:
    """A line that climbs out of the plane is set aside with a finding, a slight slope is laid flat."""
    doc = document()
    doc.modelspace().add_line((0, 0), (40, 3))
    doc.modelspace().add_line((0, 0, 0), (40, 1, 12))
    doc.modelspace().add_line((0, 0, 0), (40, 0, 1e-4))
    doc.modelspace().add_circle((0, 0), 1)

    drawing = read_document(doc)

    assert len(drawing.curves) == 3
    assert [r.code for r in drawing.repairs] == ["reading/flattened"]
    assert "aslant out of the drawing plane" in drawing.findings[0].text


def test_a_wire_model_in_space_is_refused() -> None:
    """Two pyramids of lines: what lies in the plane is no outline of a part."""
    doc = document()
    base = [(0, 0), (40, 0), (40, 40), (0, 40), (0, 0)]
    for start, end in zip(base, base[1:]):
        doc.modelspace().add_line(start, end)
        doc.modelspace().add_line((*start, 0), (20, 20, 30))

    with pytest.raises(UnreadableDrawing, match="wire model in space: 4 of its 8"):
        read_document(doc)


def test_every_kind_that_is_not_read_is_counted_with_a_reason() -> None:
    """The census balances and names kinds that can't be an outline, known and unknown ones."""
    doc = document()
    msp = doc.modelspace()
    msp.add_line((0, 0), (1, 0))
    msp.add_point((1, 1))
    msp.add_solid([(0, 0), (1, 0), (0, 1)])
    msp.add_3dface([(0, 0), (1, 0), (0, 1)])
    msp.add_xline((0, 0), (1, 1))
    msp.add_wipeout([(0, 0), (1, 1)])
    data_kinds = {aside.kind: aside.reason for aside in read_document(doc).set_aside}
    unknown = read(raw_dxf([*line(0, 0, 1, 0), (0, "ACME_GEAR"), (8, "0"), (10, "nan")]))

    assert {"POINT", "SOLID", "3DFACE", "XLINE", "WIPEOUT"} <= data_kinds.keys()
    assert all(data_kinds.values())
    assert [(a.kind, a.count) for a in unknown.set_aside] == [("ACME_GEAR", 1)]
    assert unknown.findings[0].code == "reading/not-read"


def test_endless_line_in_a_centre_linetype_is_the_axis() -> None:
    """An XLINE drawn as a centre line becomes an axis as long as the drawing and a little more."""
    doc = document()
    doc.modelspace().add_line((0, 10), (100, 10))
    doc.modelspace().add_xline((5, 0), (1, 0), dxfattribs={"linetype": "CENTER"})

    axis = read_document(doc).curves[1]

    assert axis.role.value == "centre line"
    assert axis.segments[0].start.y == axis.segments[0].end.y == 0.0
    assert axis.segments[0].start.x < 0.0 < 100.0 < axis.segments[0].end.x


def test_what_is_hidden_is_said_in_one_note() -> None:
    """Layers off and frozen, invisible entities and a paper space are named with their counts in one note."""
    doc = document()
    doc.layers.add("OFF").off()
    doc.layers.add("ICE").freeze()
    msp = doc.modelspace()
    msp.add_line((0, 0), (1, 0))
    msp.add_point((0, 0))
    msp.add_line((0, 0), (0, 0))
    hidden = [msp.add_line((0, y), (5, y), dxfattribs={"layer": "OFF"}) for y in range(3)]
    msp.add_circle((0, 0), 1, dxfattribs={"layer": "ICE"})
    msp.add_circle((0, 0), 2, dxfattribs={"invisible": 1})
    doc.layout("Layout1").add_lwpolyline([(0, 0), (1, 1)])

    (note,) = [f for f in read_document(doc).findings if f.code == "reading/set-aside"]

    assert note.severity is Severity.NOTE
    assert "3 LINE (on layer OFF, which is off)" in note.text
    assert "1 CIRCLE (on layer ICE, which is frozen)" in note.text
    assert "1 CIRCLE (marked invisible)" in note.text
    assert "1 LWPOLYLINE (in the paper space)" in note.text
    assert "1 LINE (has no length)" in note.text and "POINT" not in note.text
    assert hidden[0].dxf.handle in note.where.handles


def test_sound_drawing_has_no_such_note() -> None:
    """Dimensions, their pictures, texts and points are no reason for a note."""
    doc = document()
    msp = doc.modelspace()
    msp.add_line((0, 0), (30, 0))
    msp.add_point((0, 0))
    msp.add_text(" ")
    msp.add_linear_dim((0, 9), (0, 0), (30, 0), dimstyle="Standard").render()

    assert read_document(doc).findings == ()
