"""Unit and scale of a drawing: option, header, dimensions, threads, flag, size. Never 25 times too big."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dxf2turn.cleaning.units import decide_unit
from dxf2turn.findings import Severity
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line
from dxf2turn.options import DrawingOptions
from dxf2turn.reading.model import Dimension, DimensionKind, Drawing, Note, NoteKind, Origin
from dxf2turn.units import Unit
from tests.builders import drawing_of
from tests.strokes import Stroke, View

AS_DRAWN = DrawingOptions()


def drawing(
    size: float, insunits: int | None = None, measurement: int | None = None, *notes: Note
) -> Drawing:
    outline = Stroke((Line(Point(0, 0), Point(size, 0)),))
    return replace(drawing_of(View((outline,)), insunits, measurement), notes=notes)


def dimension(measured: float, text: str, shown: float | None = None, factor: float = 1.0) -> Note:
    points = (Point(0, 0), Point(measured, 0))
    made = Dimension(DimensionKind.LINEAR, points, measured, shown=shown, factor=factor)
    return Note(
        NoteKind.DIMENSION, text, Point(0, 5), Origin("D", "DIMENSION", "NOTES"), points, dimension=made
    )


def decided(*given, options: DrawingOptions = AS_DRAWN):
    unit, findings = decide_unit(drawing(*given), options)
    return (unit.unit, unit.source, round(unit.mm_per_unit, 6)), [f.code.split("/")[1] for f in findings]


@pytest.mark.parametrize(
    ("code", "unit", "mm", "said"),
    [
        (4, Unit.MM, 1.0, []),
        (1, Unit.INCH, 25.4, []),
        (5, Unit.MM, 10.0, ["unit-rare"]),
        (9, Unit.INCH, 0.0254, ["unit-rare"]),
        (2, Unit.INCH, 304.8, ["unit-rare"]),
    ],
)
def test_a_believable_header_unit_holds(code, unit, mm, said):
    """$INSUNITS of the DXF reference: 4 mm, 1 inch, 5 cm, 9 mil, 2 foot; a unit seldom meant is noted."""
    (found, source, mm_per_unit), codes = decided(80.0 / mm, code, 1 if unit is Unit.MM else 0)
    assert (found, source, mm_per_unit, codes) == (unit, "header", mm, said)


def test_metres_with_millimetre_numbers_are_doubted():
    """$INSUNITS 6 is a library default: 118 m long makes no sense, mm are taken and it is said."""
    assert decided(118.0, 6) == ((Unit.MM, "assumed", 1.0), ["unit-doubted"])


def test_real_metres_are_believed():
    """0.118 m is a sensible part."""
    assert decided(0.118, 6) == ((Unit.MM, "header", 1000.0), ["unit-rare"])


def test_inch_with_a_metric_flag_and_a_large_part_is_doubted():
    """118 inches (3 m) in a file that also says metric: mm."""
    assert decided(118.0, 1, 1) == ((Unit.MM, "assumed", 1.0), ["unit-doubted"])


def test_inch_with_a_metric_flag_and_a_small_part_is_inch_with_a_warning():
    """Both are possible; the header's unit holds and somebody should look."""
    found, codes = decided(3.0, 1, 1)
    assert found == (Unit.INCH, "header", 25.4)
    assert codes == ["unit-flag"]


def test_without_any_unit_mm_are_taken_with_a_finding():
    """Severity fix: the part can be planned, but somebody should look."""
    unit, findings = decide_unit(drawing(80.0), AS_DRAWN)
    assert (unit.unit, unit.source) == (Unit.MM, "assumed")
    assert [f.severity for f in findings] == [Severity.FIX]


def test_the_measurement_flag_decides_where_it_gives_a_sensible_size():
    """$MEASUREMENT 0 means inch for a part of 3 units, but not for one of 118."""
    assert decided(3.0, 0, 0)[0] == (Unit.INCH, "assumed", 25.4)
    assert decided(118.0, 0, 0)[0] == (Unit.MM, "assumed", 1.0)


def test_a_thread_that_is_also_measured_decides():
    """M12 on 12 units is mm; 1/2-13 UNC on 0.5 units is inch, whatever the header says."""
    assert decided(34.0, 0, 0, dimension(12.0, "M12"))[0] == (Unit.MM, "assumed", 1.0)
    assert decided(3.0, 4, 1, dimension(0.5, "1/2-13 UNC-2A"))[0] == (Unit.INCH, "assumed", 25.4)


def test_dimensions_in_mm_on_an_inch_drawing_are_noticed():
    """Drawn 1, 2 and 3 units long, dimensioned 25.4, 50.8 and 76.2."""
    notes = [dimension(k, str(25.4 * k), 25.4 * k) for k in (1.0, 2.0, 3.0)]
    found, codes = decided(3.0, 4, 1, *notes)
    assert found == (Unit.MM, "assumed", 25.4)
    assert codes == ["unit-by-dimensions"]


def test_a_scale_that_all_dimensions_tell_is_taken():
    """Drawn at 1:2: dimensions show twice what is drawn."""
    notes = [dimension(k, str(2 * k), 2 * k) for k in (10.0, 20.0, 45.0)]
    unit, findings = decide_unit(drawing(45.0, 4, 1, *notes), AS_DRAWN)
    assert (unit.mm_per_unit, unit.scale) == (2.0, 0.5)
    assert [f.code for f in findings] == ["cleaning/scale"]


def test_the_dimension_styles_factor_tells_the_scale_too():
    """A linear scale factor of 0.2 on all dimensions: drawn at 5:1."""
    notes = [dimension(k, "<>", None, 0.2) for k in (100.0, 200.0)]
    unit, _ = decide_unit(drawing(200.0, 4, 1, *notes), AS_DRAWN)
    assert unit.scale == pytest.approx(5.0)
    assert unit.mm_per_unit == pytest.approx(0.2)


def test_single_overridden_dimensions_do_not_change_the_scale():
    """One of four texts is wrong: not to scale, but no other unit."""
    notes = [dimension(10.0, "10"), dimension(20.0, "20"), dimension(30.0, "30"), dimension(40.0, "90", 90.0)]
    assert decided(40.0, 4, 1, *notes) == ((Unit.MM, "header", 1.0), [])


def test_a_diameter_that_measures_a_radius_is_no_scale():
    """⌀20 on 10 units, three times: half dimensions, not a drawing at 1:2."""
    notes = [dimension(k, f"\u2300{2 * k:g}", 2 * k) for k in (10.0, 12.0, 14.0)]
    assert decided(40.0, 4, 1, *notes)[0] == (Unit.MM, "header", 1.0)


def test_options_always_win():
    """--units and --scale against header and dimensions."""
    notes = [dimension(k, str(2 * k), 2 * k) for k in (10.0, 20.0)]
    options = DrawingOptions(units=Unit.INCH, scale=1.0)
    assert decided(20.0, 4, 1, *notes, options=options) == ((Unit.INCH, "option", 25.4), [])


@pytest.mark.parametrize("size", [0.01, 50_000.0])
def test_an_absurd_size_stops(size):
    """A part of 0.01 mm or of 50 m: the unit can't be right, the user is asked."""
    unit, findings = decide_unit(drawing(size, 4, 1), AS_DRAWN)
    assert findings[-1].severity is Severity.STOP
    assert "--units" in findings[-1].hint


def shaft(diameter: float, length: float, *notes: Note, insunits: int | None = 1) -> Drawing:
    """Half of a cylinder above its centre line."""
    corners = [Point(0, 0), Point(0, diameter / 2), Point(length, diameter / 2), Point(length, 0)]
    half = Stroke(tuple(Line(a, b) for a, b in zip(corners, corners[1:])))
    axis = Stroke((Line(Point(-2, 0), Point(length + 2, 0)),), "AXIS")
    return replace(drawing_of(View((half, axis)), insunits, 0), notes=notes)


def text(words: str) -> Note:
    return Note(NoteKind.TEXT, words, Point(0, 0), Origin("T", "TEXT", "NOTES"))


@pytest.mark.parametrize(
    ("diameter", "words", "insunits", "unit"),
    [
        (20.0, "M20x1.5", 1, Unit.MM),
        (19.85, "M20x1.5-6g", 1, Unit.MM),
        (0.75, "3/4-16 UNF-2A", 4, Unit.INCH),
        (0.75, "3/4-16 UNF-2A", None, Unit.INCH),
    ],
)
def test_a_thread_and_the_diameter_drawn_for_it_decide(diameter, words, insunits, unit):
    """M20 beside a diameter of 20 units is mm, 3/4-16 UNF beside one of 0.75 is inch, whatever the header."""
    decision, findings = decide_unit(
        shaft(diameter, 1.5 * diameter, text(words), insunits=insunits), AS_DRAWN
    )

    assert (decision.unit, decision.mm_per_unit) == (unit, unit.mm)
    assert [f.code for f in findings] == ["cleaning/unit-by-dimensions"]


def test_a_thread_drawn_in_the_unit_of_the_header_changes_nothing():
    """M20 at 20/25.4 units in a file that says inch."""
    decision, findings = decide_unit(shaft(20 / 25.4, 1.5, text("M20x1.5")), AS_DRAWN)

    assert (decision.mm_per_unit, findings) == (25.4, ())


def test_a_header_that_says_inch_for_a_part_of_two_metres_is_doubted():
    """90 units with both header variables at inch, as templates leave them: mm; 20 units: inch, said."""
    assert decided(90.0, 1, 0) == ((Unit.MM, "assumed", 1.0), ["unit-doubted"])
    assert decided(20.0, 1, 0) == ((Unit.INCH, "header", 25.4), ["unit-large"])


def test_numbers_written_as_inches_are_inches():
    """`.750` without its zero, in a file that says mm."""
    assert decided(2.5, 4, 1, dimension(0.75, ".750"))[0] == (Unit.INCH, "assumed", 25.4)
    assert decided(2.5, 4, 1, dimension(0.75, "0.75"))[0] == (Unit.MM, "header", 1.0)


def test_the_size_of_the_sheet_tells_the_unit():
    """297 x 420 (A3, ISO 216, from memory) is mm, 11 x 17 (ANSI B, from memory) inches."""
    for size, unit in (((420.0, 297.0), Unit.MM), ((17.0, 11.0), Unit.INCH)):
        corners = [Point(0, 0), Point(size[0], 0), Point(*size), Point(0, size[1]), Point(0, 0)]
        frame = View((Stroke(tuple(Line(a, b) for a, b in zip(corners, corners[1:]))),))

        assert decide_unit(drawing_of(frame, None, None), AS_DRAWN)[0].unit is unit


def test_dimensions_in_millimetres_overrule_a_header_in_centimetres():
    """Nobody writes dimensions in cm: 30 and 90 on 30 and 90 units are mm."""
    notes = [dimension(30.0, "30", 30.0), dimension(90.0, "90", 90.0)]
    assert decided(90.0, 5, 1, *notes) == ((Unit.MM, "assumed", 1.0), ["unit-by-dimensions"])


def test_a_scale_that_only_a_note_states_is_said():
    """Plotted at 2:1 or drawn at 2:1? A thread drawn at twice its size tells; without one it is asked."""
    drawn, said = decide_unit(shaft(40.0, 90.0, text("SCALE 2:1"), insunits=4), AS_DRAWN)
    threaded, _ = decide_unit(shaft(40.0, 90.0, text("SCALE 2:1"), text("M20x1.5"), insunits=4), AS_DRAWN)

    assert (drawn.scale, [f.code for f in said]) == (1.0, ["cleaning/scale"])
    assert (threaded.scale, threaded.mm_per_unit) == (2.0, 0.5)


def test_one_dimension_with_a_factor_is_enough():
    """DIMLFAC 0.5 is set on purpose."""
    assert decided(180.0, 4, 1, dimension(180.0, "90", None, 0.5))[0] == (Unit.MM, "header", 0.5)


def test_the_real_size_is_judged_and_not_the_drawn_one() -> None:
    """Drawn at 1:2 in a file that says inch: 27 units are dimensioned 54, and 54 inches are doubted."""
    (unit, _, factor), codes = decided(
        27.0, 1, 0, dimension(27.0, "54", None, 2.0), dimension(12.0, "24", None, 2.0)
    )

    assert (unit, factor) == (Unit.MM, 2.0)
    assert codes == ["unit-doubted", "scale"]


@pytest.mark.parametrize(("ratio", "scale"), [(2.0, "0.5"), (0.5, "2"), (0.2, "5"), (10.0, "0.1")])
def test_one_overridden_dimension_proposes_a_scale(ratio, scale):
    """Drawn at 1:2, 2:1, 5:1, 1:10 (ISO 5455, from memory) with one size written: said, not decided."""
    unit, findings = decide_unit(drawing(60.0, 4, 1, dimension(60.0, "x", shown=60.0 * ratio)), AS_DRAWN)
    assert unit.scale == 1.0
    (finding,) = findings
    assert (finding.code, finding.severity) == ("cleaning/scale", Severity.FIX)
    assert f"--scale {scale} " in finding.hint


def test_two_overridden_dimensions_that_agree_decide_the_scale():
    """Both show twice what is drawn: the drawing is at 1:2, and it is said."""
    notes = dimension(60.0, "120", shown=120.0), dimension(15.0, "30", shown=30.0)
    unit, findings = decide_unit(drawing(60.0, 4, 1, *notes), AS_DRAWN)
    assert (unit.scale, unit.mm_per_unit) == (0.5, 2.0)
    assert [f.code for f in findings] == ["cleaning/scale"]


def test_one_dimension_and_a_scale_in_the_title_block_decide_it_together():
    """Neither would do alone."""
    title = Note(NoteKind.TEXT, "SCALE 1:2", Point(0, 0), Origin("T", "TEXT", "NOTES"))
    sized = dimension(60.0, "120", shown=120.0)
    unit, findings = decide_unit(drawing(60.0, 4, 1, title, sized), AS_DRAWN)
    assert (unit.scale, [f.code for f in findings]) == (0.5, ["cleaning/scale"])


@pytest.mark.parametrize("shown", [60.0, 63.7])
def test_one_dimension_that_fits_no_scale_says_nothing_about_it(shown):
    """What is drawn, or simply another number: `features` tells that text and geometry disagree."""
    unit, findings = decide_unit(drawing(60.0, 4, 1, dimension(60.0, "x", shown=shown)), AS_DRAWN)
    assert (unit.scale, findings) == (1.0, ())


def test_one_dimension_at_the_ratio_of_two_units_asks_for_the_unit():
    """50.8 written where 2 is drawn."""
    unit, findings = decide_unit(drawing(8.0, 4, 1, dimension(2.0, "50.8", shown=50.8)), AS_DRAWN)
    assert unit.mm_per_unit == 1.0
    assert [f.code for f in findings] == ["cleaning/unit-by-dimensions"]
