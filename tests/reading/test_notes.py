"""Texts, dimensions, leaders and frames as notes with a place; the codes of the format taken out."""

from __future__ import annotations

import math

import ezdxf
import pytest
from ezdxf.document import Drawing as Document

from dxf2turn.geometry.point import Point
from dxf2turn.reading.model import Dimension, DimensionKind, Note, NoteKind
from dxf2turn.reading.notes.codes import plain_line
from dxf2turn.reading.notes.dimension_text import deviations_in, number_in
from dxf2turn.reading.notes.mtext import plain_mtext
from tests.reading.builders import document, line, raw_dxf, read, read_document


def dimensioned() -> Document:
    """A document with dimension styles, something drawn, and the library's measured blocks."""
    doc = ezdxf.new("R2010", setup=True)
    doc.dimstyles.get("EZDXF").dxf.dimlfac = 1.0
    doc.modelspace().add_line((0, 0), (100, 0))
    return doc


def only(doc: Document) -> Note:
    (note,) = read_document(doc).notes
    return note


def only_dimension(doc: Document) -> tuple[Note, Dimension]:
    note = only(doc)
    assert note.kind is NoteKind.DIMENSION and note.dimension is not None
    return note, note.dimension


@pytest.mark.parametrize(
    ("raw", "plain"),
    [
        ("%%c25 h6", "\u230025 h6"),
        ("%%C 25", "\u2300 25"),
        ("\u00d825", "\u230025"),
        ("\u03a620", "\u230020"),
        ("\u220520", "\u230020"),
        ("Sm\u00f8res", "Sm\u00f8res"),
        ("2 x 45%%d", "2 x 45\u00b0"),
        ("20%%p0.1", "20\u00b10.1"),
        ("%%uTitle%%u", "Title"),
        ("%%065%%066", "AB"),
        ("%%12920 %%1280.1, 45%%127", "\u230020 \u00b10.1, 45\u00b0"),
        ("50%%%", "50%"),
        ("\\U+00d820", "\u230020"),
        ("\\u+221220", "\u221220"),
        ("\\M+18140", "\u3000".strip()),
        ("a^ b", "a^b"),
        ("tab^Iend", "tab end"),
        ("bad \ud800\x07 end", "bad end"),
    ],
)
def test_codes_of_a_text_line(raw: str, plain: str) -> None:
    """Percent, Unicode and caret codes become characters; diameter signs become one."""
    assert plain_line(raw) == plain


@pytest.mark.parametrize(
    ("raw", "plain"),
    [
        ("M20x1.5", "M20x1.5"),
        ("{\\fArial|b0|i0|c0|p34;M20}", "M20"),
        ("\\A1;{\\H0.7x;\\C1;Ra 1.6}", "Ra 1.6"),
        ("one\\Ptwo\\Nthree", "one\ntwo\nthree"),
        ("a\\~b", "a b"),
        ("\\Lunder\\l \\Oover\\o", "under over"),
        ("25\\S+0.1^-0.2;", "25 +0.1/-0.2"),
        ("25\\S+0.1^ -0.2;", "25 +0.1/-0.2"),
        ("25\\S+0.1^0;", "25 +0.1/0"),
        ("25\\S+0.1^ ;", "25 +0.1/0"),
        ("25\\S^-0.2;", "25 0/-0.2"),
        ("1\\S1/2; in", "1 1/2 in"),
        ("\\S3#8;", "3/8"),
        ("25\\SH7^h6;", "25 H7/h6"),
        ("m\\S2^;", "m2"),
        ("x\\S^1;", "x1"),
        ("\\{braces\\} and \\\\", "{braces} and \\"),
        ("{\\Fgdt;n}25", "\u230025"),
        ("{\\famgdt|c0;j}0.05 next", "\u23160.05 next"),
        ("\\pxi-3,l4,t4;item", "item"),
        ("open \\S1^2", "open 1/2"),
        ("M20x1.5{\\H0.7x;\\S6g^;}", "M20x1.5 6g"),
        ("open {\\fArial", "open"),
        ("end\\", "end"),
        ("%%c20 \\U+00B1 0.1", "\u230020 \u00b1 0.1"),
    ],
)
def test_codes_of_an_mtext(raw: str, plain: str) -> None:
    """Formatting goes, line ends stay, a stack reads as upper/lower, a symbol font gives its symbols.

    The stacks are those that another library garbles into other letters.
    """
    assert plain_mtext(raw) == plain


def test_mtext_longer_than_one_tag_is_joined() -> None:
    """A text stored in chunks reads as one."""
    doc = document()
    doc.modelspace().add_line((0, 0), (1, 0))
    text = "all edges broken 0.2 x 45 degrees unless shown, " * 12
    doc.modelspace().add_mtext(text, dxfattribs={"insert": (3, 4), "char_height": 3.5})

    note = only(doc)

    assert note.text == text.strip()
    assert (note.at, note.height, note.kind) == (Point(3, 4), 3.5, NoteKind.TEXT)


def test_text_is_placed_where_it_is_aligned() -> None:
    """A TEXT that is not left aligned stands at its alignment point."""
    doc = document()
    doc.modelspace().add_line((0, 0), (1, 0))
    doc.modelspace().add_text("A", height=2).set_placement((5, 6))
    doc.modelspace().add_text("B", height=2).set_placement(
        (7, 8), align=ezdxf.enums.TextEntityAlignment.MIDDLE_CENTER
    )

    assert [n.at for n in read_document(doc).notes] == [Point(5, 6), Point(7, 8)]


@pytest.mark.parametrize("encoding", ["utf-8", "cp1252"])
def test_letters_of_any_encoding(encoding: str) -> None:
    """Umlauts and the diameter letter are read from UTF-8 and from the declared code page."""
    pairs = [*line(0, 0, 1, 0), (0, "TEXT"), (8, "0"), (10, 0), (20, 0), (40, 1), (1, "Stück \u00d812")]
    head = [(9, "$ACADVER"), (1, "AC1009"), (9, "$DWGCODEPAGE"), (3, "ANSI_1252")]
    data = raw_dxf(pairs, header=head).decode().encode(encoding)

    assert read(data).notes[0].text == "Stück \u230012"


@pytest.mark.parametrize(
    ("name", "codec", "text"),
    [
        ("ANSI_932", "cp932", "材質"),
        ("ansi_936", "gbk", "材料"),
        ("ANSI_949", "cp949", "재질"),
        ("ANSI_950", "big5", "材質"),
        ("BIG5", "big5", "材質"),
        ("ANSI_1250", "cp1250", "hřídel"),
        ("ANSI_1251", "cp1251", "вал"),
        ("ANSI_1253", "cp1253", "άξονας"),
        ("DOS850", "cp850", "Stückzahl"),
        ("dos437", "cp437", "Stück"),
        ("ISO8859-2", "iso8859-2", "hřídel"),
        ("MACINTOSH", "mac-roman", "Stück"),
        ("UTF-8", "utf-8", "材質"),
        ("ANSI_932", "utf-8", "材質"),
        ("ANSI_1252", "cp1252", "Stück"),
        ("no such page", "cp1252", "Stück"),
    ],
)
def test_code_page_that_the_header_names(name: str, codec: str, text: str) -> None:
    """UTF-8 where the bytes are that, else the page of the header, else Windows Latin 1."""
    pairs = [*line(0, 0, 1, 0), (0, "TEXT"), (8, "0"), (10, 0), (20, 0), (40, 1), (1, text)]
    head = [(9, "$DWGCODEPAGE"), (3, name)]
    data = raw_dxf(pairs, header=head).decode().encode(codec)

    assert read(data).notes[0].text == text


@pytest.mark.parametrize("name", ["hex", "rot13", "idna", "undefined", "utf-16", "unicode_escape", "", "%s"])
def test_code_page_that_is_none_is_windows_latin(name: str) -> None:
    """Names that mean something else to Python than a page of letters do not end the reading."""
    pairs = [*line(0, 0, 1, 0), (0, "TEXT"), (8, "0"), (10, 0), (20, 0), (40, 1), (1, "Stück")]
    data = raw_dxf(pairs, header=[(9, "$DWGCODEPAGE"), (3, name)]).decode().encode("cp1252")

    assert read(data).notes[0].text == "Stück"


def test_linear_dimension_measures_along_its_direction() -> None:
    """A rotated dimension between two skew points measures along its own direction."""
    doc = dimensioned()
    doc.modelspace().add_linear_dim(base=(0, 30), p1=(3, 0), p2=(28, 7), angle=0, dimstyle="EZDXF").render()

    note, dimension = only_dimension(doc)

    assert dimension.kind is DimensionKind.LINEAR
    assert dimension.points == (Point(3, 0), Point(28, 7))
    assert (dimension.measured, dimension.direction) == (25.0, 0.0)
    assert dimension.shown is None
    assert note.tips == dimension.points
    assert note.text.startswith("25")


def test_aligned_dimension_measures_the_distance() -> None:
    """An aligned dimension measures between its points: 3, 4, 5."""
    doc = dimensioned()
    doc.modelspace().add_aligned_dim(p1=(0, 0), p2=(30, 40), distance=5).render()

    _, dimension = only_dimension(doc)

    assert dimension.measured == 50.0
    assert dimension.direction == pytest.approx(math.atan2(4, 3))


def test_diameter_and_radius_dimensions() -> None:
    """A diameter has its two ends and the diameter sign, a radius its centre and the letter R."""
    doc = dimensioned()
    doc.modelspace().add_diameter_dim(center=(10, 10), radius=6, angle=30).render()
    doc.modelspace().add_radius_dim(center=(50, 10), radius=2.5, angle=45).render()

    diameter, radius = read_document(doc).notes

    assert diameter.dimension is not None and radius.dimension is not None
    assert (diameter.dimension.kind, radius.dimension.kind) == (DimensionKind.DIAMETER, DimensionKind.RADIUS)
    assert diameter.dimension.measured == pytest.approx(12.0)
    assert radius.dimension.measured == pytest.approx(2.5)
    assert radius.dimension.points[0] == Point(50, 10)
    assert diameter.text[0] == "\u2300" and radius.text[0] == "R"


@pytest.mark.parametrize(("base", "expected"), [((20, 8), 30.0), ((-20, 8), 150.0), ((-20, -8), 30.0)])
def test_angle_between_lines_is_that_of_the_arcs_side(base: tuple[float, float], expected: float) -> None:
    """Two lines make several angles; the dimension's arc tells which is meant."""
    doc = dimensioned()
    end = (10 * math.cos(math.radians(30)), 10 * math.sin(math.radians(30)))
    doc.modelspace().add_angular_dim_2l(base=base, line1=((0, 0), (10, 0)), line2=((0, 0), end)).render()

    _, dimension = only_dimension(doc)

    assert dimension.kind is DimensionKind.ANGULAR
    assert dimension.measured == pytest.approx(expected)
    assert len(dimension.points) == 4


def test_angle_at_three_points_agrees_with_another_library() -> None:
    """An angle by vertex and two points is measured on the side of its arc."""
    doc = dimensioned()
    dim = doc.modelspace().add_angular_dim_3p(base=(0, 20), center=(0, 0), p1=(10, 0), p2=(-10, 2))
    dim.render()

    note, dimension = only_dimension(doc)

    assert dimension.measured == pytest.approx(dim.dimension.get_measurement())
    assert note.text.endswith("\u00b0")


def test_ordinate_dimension_measures_from_its_origin() -> None:
    """X and y ordinates measure along their own axis from the dimension's origin."""
    doc = dimensioned()
    msp = doc.modelspace()
    msp.add_ordinate_x_dim((17, 5), offset=(0, 10), origin=(2, 1)).render()
    msp.add_ordinate_y_dim((17, 5), offset=(10, 0), origin=(2, 1)).render()

    along_x, along_y = (n.dimension for n in read_document(doc).notes)

    assert along_x is not None and along_y is not None
    assert along_x.kind is DimensionKind.ORDINATE
    assert (along_x.measured, along_y.measured) == (pytest.approx(15.0), pytest.approx(4.0))
    assert along_x.points[0].distance(Point(2, 1)) < 1e-12
    assert along_x.points[1].distance(Point(17, 5)) < 1e-12


@pytest.mark.parametrize(
    ("text", "shown", "plain", "upper", "lower"),
    [
        ("<>", None, "25", None, None),
        ("", None, "25", None, None),
        ("%%c<> h6", None, "\u230025 h6", None, None),
        ("<>{\\H0.7x;\\S+0.1^-0.2;}", None, "25 +0.1/-0.2", 0.1, -0.2),
        ("<>%%p0.05", None, "25\u00b10.05", 0.05, -0.05),
        ("\\A1;25,4\\S0^-0,2;", 25.4, "25,4 0/-0,2", 0.0, -0.2),
        ("M24x1.5 LH", 24.0, "M24x1.5 LH", None, None),
        ("4 x %%c6", 6.0, "4 x \u23006", None, None),
        ("2x45%%d", 2.0, "2x45\u00b0", None, None),
        ("1 3/8", 1.375, "1 3/8", None, None),
        ("H7/h6", None, "H7/h6", None, None),
        ("SEE NOTE", None, "SEE NOTE", None, None),
        (" ", None, "", None, None),
    ],
)
def test_text_of_a_dimension(
    text: str, shown: float | None, plain: str, upper: float | None, lower: float | None
) -> None:
    """What the drafter wrote, the number in it, and the deviations, signed."""
    doc = dimensioned()
    doc.dimstyles.get("EZDXF").dxf.dimdec = 2
    doc.modelspace().add_linear_dim(
        base=(0, 30), p1=(0, 0), p2=(25, 0), dimstyle="EZDXF", text=text or "<>"
    ).render()

    note, dimension = only_dimension(doc)

    assert (note.text, dimension.shown, dimension.upper, dimension.lower) == (plain, shown, upper, lower)
    assert dimension.measured == 25.0


@pytest.mark.parametrize(
    ("override", "text", "upper", "lower"),
    [
        ({"dimtol": 1, "dimtp": 0.1, "dimtm": 0.1, "dimtdec": 2}, "25 \u00b10.1", 0.1, -0.1),
        ({"dimtol": 1, "dimtp": 0.2, "dimtm": 0.0, "dimtdec": 1}, "25 +0.2/0", 0.2, 0.0),
        ({"dimtol": 1, "dimtp": -0.02, "dimtm": 0.05, "dimtdec": 2}, "25 -0.02/-0.05", -0.02, -0.05),
        ({"dimlim": 1, "dimtp": 0.1, "dimtm": 0.2, "dimtdec": 1}, "25.1/24.8", 0.1, -0.2),
        ({"dimpost": "%%c<> H7"}, "\u230025 H7", None, None),
        ({"dimlfac": 2.0}, "50", None, None),
        ({"dimrnd": 10.0}, "20", None, None),
        ({"dimdec": 3, "dimzin": 0}, "25.000", None, None),
        ({"dimlunit": 5, "dimdec": 4, "dimlfac": 0.05}, "1 1/4", None, None),
    ],
)
def test_style_overrides_decide_the_text(
    override: dict, text: str, upper: float | None, lower: float | None
) -> None:
    """Tolerance, limits, prefix, factor, rounding and decimals come from the dimension's own overrides."""
    doc = dimensioned()
    doc.dimstyles.get("EZDXF").dxf.dimzin = 8
    doc.modelspace().add_linear_dim(
        base=(0, 30), p1=(0, 0), p2=(25, 0), dimstyle="EZDXF", override=override
    ).render()

    note, dimension = only_dimension(doc)

    assert (note.text, dimension.upper, dimension.lower) == (text, upper, lower)
    assert dimension.factor == override.get("dimlfac", 1.0)


def test_sign_that_is_there_already_is_not_doubled() -> None:
    """`%%c<>` on a diameter dimension shows one sign."""
    doc = dimensioned()
    doc.modelspace().add_diameter_dim(center=(10, 10), radius=6, angle=30, text="%%c<> h6").render()

    assert only(doc).text.startswith("\u230012")


def test_dimension_in_a_scaled_block_measures_what_is_drawn() -> None:
    """Measured points go through the block's placement."""
    doc = dimensioned()
    content = doc.blocks.new("B")
    content.add_linear_dim(base=(0, 30), p1=(0, 0), p2=(25, 0)).render()
    doc.modelspace().add_blockref("B", (10, 0), dxfattribs={"xscale": 2, "yscale": 2})

    _, dimension = only_dimension(doc)

    assert dimension.points == (Point(10, 0), Point(60, 0))
    assert dimension.measured == 50.0


def test_picture_of_a_dimension_is_no_outline() -> None:
    """The lines and arrow heads that draw a dimension are counted apart and never curves."""
    doc = dimensioned()
    doc.modelspace().add_linear_dim(base=(0, 30), p1=(0, 0), p2=(25, 0)).render()

    drawing = read_document(doc)

    assert len(drawing.curves) == 1
    assert "in the picture of a dimension" in {a.reason for a in drawing.set_aside}


def test_old_dimension_without_style_table() -> None:
    """An R12 dimension is read from its measured points alone."""
    pairs = [
        *line(0, 0, 1, 0),
        *[(0, "DIMENSION"), (8, "0"), (2, "*D1"), (70, 0), (10, 0), (20, 9), (11, 5), (21, 9)],
        *[(13, 0), (23, 0), (14, 12.5), (24, 3), (50, 0)],
    ]

    (note,) = read(raw_dxf(pairs)).notes

    assert note.text == "12.5"
    assert note.at == Point(5, 9)


def test_damaged_dimension_is_a_finding() -> None:
    """A dimension without its second point is named; the drawing is still read."""
    pairs = [*line(0, 0, 1, 0), (0, "DIMENSION"), (8, "0"), (70, 0), (13, 0), (23, 0), (14, 12.5)]

    drawing = read(raw_dxf(pairs))

    assert drawing.notes == ()
    assert "DIMENSION" in drawing.findings[0].text and "group code 24" in drawing.findings[0].text


def test_leader_gives_its_tip_to_the_text_that_it_names() -> None:
    """A leader linked to an MTEXT makes that text a leader note with the arrow's tip."""
    pairs = [
        *line(0, 0, 1, 0),
        *[(0, "LEADER"), (5, "B1"), (8, "0"), (100, "AcDbLeader"), (76, 2)],
        *[(10, 1), (20, 2), (30, 0), (10, 30), (20, 40), (30, 0), (340, "B2")],
        *[(0, "MTEXT"), (5, "B2"), (8, "0"), (10, 90), (20, 90), (30, 0), (40, 3), (1, "M12x1")],
    ]

    (note,) = read(raw_dxf(pairs)).notes

    assert (note.kind, note.text, note.at) == (NoteKind.LEADER, "M12x1", Point(90, 90))
    assert note.tips == (Point(1, 2),)


def test_leader_without_a_named_text_takes_the_one_at_its_end() -> None:
    """An old leader belongs to the text that stands at its other end, not to one far away."""
    leader = [(0, "LEADER"), (8, "0"), (10, 1), (20, 2), (30, 0), (10, 30), (20, 40), (30, 0)]

    def text(x: float, y: float, words: str) -> list:
        return [(0, "TEXT"), (8, "0"), (10, x), (20, y), (30, 0), (40, 3), (1, words)]

    near = read(raw_dxf([*line(0, 0, 1, 0), *leader, *text(32, 39, "near"), *text(0, 90, "far")]))
    alone = read(raw_dxf([*line(0, 0, 1, 0), *leader, *text(0, 90, "far")]))

    assert [(n.kind, n.text, n.tips) for n in near.notes] == [
        (NoteKind.LEADER, "near", (Point(1, 2),)),
        (NoteKind.TEXT, "far", ()),
    ]
    assert [(n.kind, n.text) for n in alone.notes] == [(NoteKind.LEADER, ""), (NoteKind.TEXT, "far")]


def test_multileader_has_text_and_all_tips() -> None:
    """A multileader with two arrows is one note with two tips."""
    from ezdxf.math import Vec2
    from ezdxf.render import mleader

    doc = dimensioned()
    builder = doc.modelspace().add_multileader_mtext("Standard")
    builder.set_content("2 x 45%%d", char_height=3)
    builder.add_leader_line(mleader.ConnectionSide.left, [Vec2(-20, 15)])
    builder.add_leader_line(mleader.ConnectionSide.left, [Vec2(-20, -15)])
    builder.build(insert=Vec2(5, 0))

    note = only(doc)

    assert (note.kind, note.text) == (NoteKind.LEADER, "2 x 45\u00b0")
    assert set(note.tips) == {Point(-20, 15), Point(-20, -15)}


def test_feature_control_frame() -> None:
    """A tolerance frame reads as its compartments with bars between, symbols as characters."""
    frame = "{\\Fgdt;j}%%v{\\Fgdt;n}0.05{\\Fgdt;m}%%vA%%vB%%v%%v"
    pairs = [*line(0, 0, 1, 0), (0, "TOLERANCE"), (8, "0"), (10, 7), (20, 8), (30, 0), (1, frame)]

    (note,) = read(raw_dxf(pairs)).notes

    assert (note.kind, note.text) == (NoteKind.TOLERANCE, "\u2316|\u23000.05\u24c2|A|B")


def test_text_without_end_is_named_not_taken_apart() -> None:
    """A text of megabytes is set aside by its length."""
    pairs = [*line(0, 0, 1, 0), (0, "TEXT"), (8, "0"), (10, 0), (20, 0), (40, 1), (1, "x" * 3_000_000)]

    drawing = read(raw_dxf(pairs))

    assert drawing.notes == ()
    assert "3,000,000 characters" in drawing.findings[0].text


def test_blank_texts_are_set_aside() -> None:
    """A text of blanks is no note, but is counted."""
    pairs = [*line(0, 0, 1, 0), (0, "TEXT"), (8, "0"), (10, 0), (20, 0), (40, 1), (1, "  ")]

    drawing = read(raw_dxf(pairs))

    assert drawing.notes == ()
    assert [(a.kind, a.reason) for a in drawing.set_aside] == [("TEXT", "holds no text")]


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("R.5", 0.5),
        ("1-1/2", 1.5),
        ('3/4"', 0.75),
        ("1/0", 1.0),
        ("20.5/19.5", 20.5),
        ("+0.1/-0.2", None),
        ("\u00b10.1", None),
        ("\u230012,5 H7", 12.5),
    ],
)
def test_first_number_of_a_text(text: str, number: float | None) -> None:
    """The size that a text states, decimal commas and fractions of an inch included; a deviation is none."""
    assert number_in(text) == number


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("20 +0,021/0", (0.021, 0.0)),
        ("20 -0.02/-0.041", (-0.02, -0.041)),
        ("20 \u2212 0.02/\u22120.041", (-0.02, -0.041)),
        ("20 0/-0.2", (0.0, -0.2)),
        ("1/2", (None, None)),
        ("20 \u00b1 .1", (0.1, -0.1)),
    ],
)
def test_deviations_in_a_text(text: str, expected: tuple) -> None:
    """Deviations need a sign; the larger one is the upper."""
    assert deviations_in(text) == expected
