"""Block references: placed, scaled, mirrored, nested, in arrays; bounded when a drawing grows without end."""

from __future__ import annotations

import math
import random

import pytest
from ezdxf.document import Drawing as Document

from dxf2turn.errors import UnreadableDrawing
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.options import DrawingOptions, ReadLimits
from tests.reading.builders import (
    block,
    document,
    insert,
    line,
    raw_dxf,
    read,
    read_document,
)

LINE_PAIRS = line(0, 0, 10, 0)


def profile_block(doc: Document, name: str = "PROFILE") -> None:
    """A line, an arc, a circle and a polyline with a bulge."""
    content = doc.blocks.new(name, base_point=(2, 1))
    content.add_line((0, 0), (10, 4))
    content.add_arc((5, 5), 3, 20, 200)
    content.add_circle((-4, 2), 1.5)
    content.add_lwpolyline([(0, 0, 0.5), (4, 0, -0.25), (4, 3, 0)], format="xyb", close=True)


def oracle_places(doc: Document) -> list[Point]:
    """Points along everything that the model space shows, by the library's own expansion of blocks."""
    places = []
    waiting = list(doc.modelspace())
    while waiting:
        entity = waiting.pop()
        if entity.dxftype() == "INSERT":
            inserts = entity.multi_insert() if entity.mcount > 1 else [entity]
            for one in inserts:
                waiting.extend(one.virtual_entities())
        elif entity.dxftype() == "LWPOLYLINE":
            waiting.extend(entity.virtual_entities())
        elif entity.dxftype() == "LINE":
            places.extend(Point(p.x, p.y) for p in (entity.dxf.start, entity.dxf.end))
        else:
            places.extend(Point(p.x, p.y) for p in entity.flattening(1e-3))
    return places


def largest_gap(places: list[Point], segments: list[Segment]) -> float:
    return max(min(segment.distance(place) for segment in segments) for place in places)


@pytest.mark.parametrize("seed", range(12))
def test_placed_blocks_agree_with_another_library(seed: int) -> None:
    """Nested blocks with random scale, mirror, turn and extrusion lie where ezdxf puts them."""
    rng = random.Random(seed)
    doc = document()
    profile_block(doc)
    outer = doc.blocks.new("OUTER", base_point=(1, 1))
    size = rng.choice([0.5, 1.0, 3.0])
    unequal = seed % 2 == 1
    attributes = {
        "xscale": size * rng.choice([1, -1]),
        "yscale": size * rng.choice([1, -1]),
        # The library can't shear, so a turned block goes only into one that is scaled evenly.
        "rotation": rng.choice([0, 90, 180] if unequal else [0, 30, 90, 211.3]),
    }
    outer.add_blockref("PROFILE", (7, -3), dxfattribs=attributes)
    outer.add_line((0, 0), (1, 8))
    doc.modelspace().add_blockref(
        "OUTER",
        (20, 5),
        dxfattribs={
            "rotation": rng.uniform(0, 360),
            "xscale": rng.choice([1, -1]) * (1 if unequal else 2),
            "yscale": 2,
            "extrusion": rng.choice([(0, 0, 1), (0, 0, -1)]),
        },
    )

    drawing = read_document(doc)

    segments = [s for c in drawing.curves for s in c.segments]
    assert len(drawing.curves) == 5
    assert largest_gap(oracle_places(doc), segments) < (0.0021 if unequal else 1e-9)
    box, expected = path_bounds(segments), oracle_places(doc)
    assert box.min_x == pytest.approx(min(p.x for p in expected), abs=0.003)
    assert box.max_y == pytest.approx(max(p.y for p in expected), abs=0.003)


def test_turned_block_in_an_unequally_scaled_one_is_sheared() -> None:
    """A point goes through both placements in turn: (4, 0) turned by 30 degrees, then y doubled."""
    doc = document()
    doc.blocks.new("P").add_line((0, 0), (4, 0))
    doc.blocks.new("OUTER").add_blockref("P", (0, 0), dxfattribs={"rotation": 30})
    doc.modelspace().add_blockref("OUTER", (0, 0), dxfattribs={"yscale": 2})

    (line,) = read_document(doc).curves[0].segments

    assert line.end.distance(Point(4 * math.cos(math.radians(30)), 4.0)) < 1e-14


def test_equal_scale_keeps_arcs_exact() -> None:
    """Mirrored, turned and enlarged evenly, an arc stays an arc with the exact radius."""
    doc = document()
    doc.blocks.new("B").add_arc((5, 0), 2.5, 0, 90)
    doc.modelspace().add_blockref("B", (10, 0), dxfattribs={"xscale": -2, "yscale": 2, "rotation": 90})

    (curve,) = read_document(doc).curves

    (arc,) = curve.segments
    assert isinstance(arc, Arc)
    assert (arc.centre, arc.start, arc.end) == (Point(10, -10), Point(10, -15), Point(5, -10))
    assert arc.clockwise
    assert curve.fitted == 0.0


def test_extrusion_down_mirrors_the_entity() -> None:
    """Extrusion (0, 0, -1) mirrors an arc's x: DXF reference, arbitrary axis rule; worked by hand."""
    doc = document()
    doc.modelspace().add_arc((10, 0), 5, 0, 90, dxfattribs={"extrusion": (0, 0, -1)})

    (arc,) = read_document(doc).curves[0].segments

    assert (arc.start, arc.end, arc.centre) == (Point(-15, 0), Point(-10, 5), Point(-10, 0))
    assert arc.clockwise


def test_ends_that_meet_in_the_block_meet_when_placed() -> None:
    """Two entities that share an end in a turned block share it to the last bit in the drawing."""
    doc = document()
    content = doc.blocks.new("B")
    content.add_line((0.1, 0.2), (3.3, 7.7))
    content.add_lwpolyline([(3.3, 7.7), (9.1, 2.3)])
    doc.modelspace().add_blockref(
        "B", (1.7, 2.9), dxfattribs={"rotation": 17.3, "xscale": 1.1, "yscale": 1.1}
    )

    first, second = read_document(doc).curves

    assert first.segments[-1].end == second.segments[0].start


def test_array_of_inserts() -> None:
    """Columns and rows follow the turned axes of the INSERT."""
    doc = document()
    doc.blocks.new("B").add_line((0, 0), (1, 0))
    doc.modelspace().add_blockref(
        "B",
        (0, 0),
        dxfattribs={
            "row_count": 2,
            "column_count": 3,
            "row_spacing": 10,
            "column_spacing": 20,
            "rotation": 90,
        },
    )

    drawing = read_document(doc)

    starts = {c.segments[0].start for c in drawing.curves}
    assert starts == {Point(-10.0 * row, 20.0 * column) for row in range(2) for column in range(3)}


def test_zscale_zero_lays_flat_and_changes_nothing_else() -> None:
    """A block inserted with z scale 0 keeps its exact lines and arcs."""
    doc = document()
    profile_block(doc)
    doc.modelspace().add_blockref("PROFILE", (2, 1), dxfattribs={"zscale": 0})

    drawing = read_document(doc)

    assert drawing.curves[0].segments == (Line(Point(0, 0), Point(10, 4)),)
    assert all(c.fitted == 0.0 for c in drawing.curves)


def test_unequal_scale_gives_arcs_within_the_tolerance() -> None:
    """A circle squashed to an ellipse is drawn by touching arcs within the fit tolerance, said as a note."""
    doc = document()
    doc.blocks.new("B").add_circle((0, 0), 10)
    doc.modelspace().add_blockref("B", (0, 0), dxfattribs={"xscale": 2})
    doc.modelspace().add_line((0, 0), (100, 0))

    drawing = read_document(doc)

    curve = drawing.curves[0]
    assert curve.closed and 0.0 < curve.fitted <= 0.002
    assert all(isinstance(s, Arc) for s in curve.segments)
    for degree in range(360):
        t = math.radians(degree)
        place = Point(20 * math.cos(t), 10 * math.sin(t))
        assert min(s.distance(place) for s in curve.segments) <= 0.002
    assert [f.code for f in drawing.findings] == ["reading/fitted"]


def test_layer_zero_takes_the_layer_and_linetype_of_the_insert() -> None:
    """Entities on layer 0 of a block belong to the INSERT's layer; BYBLOCK follows the INSERT."""
    doc = document()
    doc.layers.add("AXIS", linetype="CENTER")
    content = doc.blocks.new("B")
    content.add_line((0, 0), (1, 0))
    content.add_line((0, 1), (1, 1), dxfattribs={"linetype": "BYBLOCK"})
    content.add_line((0, 2), (1, 2), dxfattribs={"layer": "OWN"})
    doc.modelspace().add_blockref("B", (0, 0), dxfattribs={"layer": "AXIS", "linetype": "DASHED"})

    by_layer, by_block, own = (c.origin for c in read_document(doc).curves)

    assert (by_layer.layer, by_layer.linetype) == ("AXIS", "CENTER")
    assert (by_block.layer, by_block.linetype) == ("AXIS", "DASHED")
    assert (own.layer, own.linetype) == ("OWN", "CONTINUOUS")
    assert own.block == ("B",)


def test_attributes_are_notes_at_their_place() -> None:
    """The attributes of an INSERT are notes; they stand in the coordinates of the space, not of the block."""
    doc = document()
    doc.blocks.new("FRAME").add_line((0, 0), (1, 0))
    reference = doc.modelspace().add_blockref("FRAME", (100, 100), dxfattribs={"xscale": 3})
    reference.add_attrib("MATERIAL", "Steel C45", (105, 103))

    (note,) = read_document(doc).notes

    assert (note.kind.value, note.text, note.at) == ("attribute", "Steel C45", Point(105, 103))


def test_block_that_inserts_itself_is_read_once_and_named() -> None:
    """A loop of blocks is cut where it closes; the finding names the way round."""
    blocks = [
        *block("A", [*LINE_PAIRS, *insert("B", 1, 0)]),
        *block("B", [*LINE_PAIRS, *insert("A", 1, 0)]),
    ]

    drawing = read(raw_dxf(insert("A"), blocks=blocks))

    assert len(drawing.curves) == 1
    assert any("A > B" in f.text for f in drawing.findings)


def many(name: str, child: list, times: int) -> list:
    return block(name, [pair for _ in range(times) for pair in child])


def test_block_bomb_is_refused_before_it_is_expanded() -> None:
    """Ten levels of ten inserts, 10^9 lines from a few kB, are refused by the limit, naming a block."""
    blocks = many("L0", LINE_PAIRS, 10)
    for level in range(1, 10):
        blocks += many(f"L{level}", insert(f"L{level - 1}"), 10)

    with pytest.raises(UnreadableDrawing, match=r"block L\d .*1,000,000"):
        read(raw_dxf(insert("L9"), blocks=blocks))


def test_huge_array_is_refused() -> None:
    """An INSERT of 30,000 by 30,000 places is refused by the limit."""
    array = insert("B", 0, 0, (70, 30000), (71, 30000), (44, 1), (45, 1))

    with pytest.raises(UnreadableDrawing, match="would draw more than"):
        read(raw_dxf(array, blocks=block("B", LINE_PAIRS)))


def test_deep_nesting_is_refused() -> None:
    """A chain of 3,000 blocks is refused by the limit of depth."""
    blocks = block("N0", LINE_PAIRS)
    for level in range(1, 3000):
        blocks += block(f"N{level}", insert(f"N{level - 1}"))

    with pytest.raises(UnreadableDrawing, match="nested more than 32 deep"):
        read(raw_dxf(insert("N2999"), blocks=blocks))


def test_deep_nesting_is_found_from_the_bottom_too() -> None:
    """A chain that is also inserted at every level, shallow first, is still measured in full."""
    blocks = block("N0", LINE_PAIRS)
    for level in range(1, 40):
        blocks += block(f"N{level}", insert(f"N{level - 1}"))
    entities = [pair for level in range(40) for pair in insert(f"N{level}")]

    with pytest.raises(UnreadableDrawing, match="nested more than 32 deep"):
        read(raw_dxf(entities, blocks=blocks))


def test_limits_are_options() -> None:
    """The number of entities a drawing may have is an option."""
    tight = DrawingOptions(limits=ReadLimits(max_entities=3))

    with pytest.raises(UnreadableDrawing, match="limit of 3"):
        read(raw_dxf(LINE_PAIRS * 4), tight)


def test_missing_block_and_other_drawing_are_named() -> None:
    """An INSERT of a block that is missing or that stands for another file is a finding."""
    xref = block("SHEET", [], flags=4)
    xref.insert(3, (1, "sheet.dxf"))
    entities = [*LINE_PAIRS, *insert("NOWHERE"), *insert("SHEET")]

    drawing = read(raw_dxf(entities, blocks=xref))

    texts = " ".join(f.text for f in drawing.findings)
    assert "the block NOWHERE, which the file does not hold" in texts
    assert "another drawing, sheet.dxf" in texts


def test_scale_of_zero_is_named() -> None:
    """A block squeezed to nothing is set aside and a finding says so."""
    entities = [*LINE_PAIRS, *insert("B", 0, 0, (42, 0.0))]

    drawing = read(raw_dxf(entities, blocks=block("B", LINE_PAIRS)))

    assert len(drawing.curves) == 1
    assert "scale of 0" in drawing.findings[0].text


@pytest.mark.parametrize("name", ["*X1", "*D7", "*T2"])
def test_lines_of_hatches_dimensions_and_tables_are_no_outline(name: str) -> None:
    """Blocks that programs make for hatches (R12), dimensions and tables are drawn but not outline."""
    entities = [*LINE_PAIRS, *insert(name)]

    drawing = read(raw_dxf(entities, blocks=block(name, LINE_PAIRS)))

    assert [c.role.value for c in drawing.curves] == ["outline", "other"]


def test_extrusion_without_length_is_straight_up_and_said() -> None:
    """(0, 0, 0) is no direction; the entity and the block are read as if it were not there, with a repair."""
    nowhere = [(210, 0), (220, 0), (230, 0)]
    circle = [(0, "CIRCLE"), (5, "2F"), (8, "0"), (10, 3), (20, 4), (40, 5), *nowhere]

    drawing = read(raw_dxf([*circle, *insert("B", 1, 1, *nowhere)], blocks=block("B", line(0, 0, 1, 1))))

    assert drawing.curves[0].segments[0].start == Point(8, 4)
    assert drawing.curves[1].segments[0].start == Point(1, 1)
    (repair,) = drawing.repairs
    assert repair.code == "reading/zero-extrusion" and "2F" in repair.handles


def test_block_that_is_defined_twice_is_a_finding() -> None:
    """The first definition is drawn and the finding says so; a double that nothing shows is no matter."""
    blocks = [*block("B", line(0, 0, 5, 0)), *block("B", line(0, 0, 9, 0, handle="2F"))]

    shown = read(raw_dxf(insert("B"), blocks=blocks))
    unused = read(raw_dxf(line(0, 0, 1, 0), blocks=blocks))

    (finding,) = [f for f in shown.findings if f.code == "reading/double-block"]
    assert "block B twice" in finding.text and finding.where.handles == ("2F",)
    assert shown.curves[0].segments[0].end == Point(5, 0)
    assert unused.findings == ()
