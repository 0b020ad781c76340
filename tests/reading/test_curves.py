"""ELLIPSE, SPLINE and HATCH: exact where they hold arcs, fitted within the tolerance where not."""

from __future__ import annotations

import math

import pytest
from ezdxf.math import ConstructionEllipse

from dxf2turn.geometry.path import is_closed, signed_area
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line
from dxf2turn.options import DrawingOptions, Tolerances
from dxf2turn.reading.accuracy import drawing_fit
from dxf2turn.reading.model import Curve, Drawing, Header
from dxf2turn.units import Unit
from tests.reading.builders import document, line, raw_dxf, read, read_document

TOLERANCE = 0.002


def frame(doc) -> None:  # noqa: ANN001 - a document of the library
    """Something that shows the drawing's size, so that its unit is not in doubt."""
    doc.modelspace().add_line((0, -200), (300, -200), dxfattribs={"linetype": "PHANTOM"})


def curves(drawing: Drawing) -> list[Curve]:
    return [c for c in drawing.curves if c.role.value != "phantom line"]


def distance(curve: Curve, x: float, y: float) -> float:
    return min(s.distance(Point(x, y)) for s in curve.segments)


@pytest.mark.parametrize("extrusion", [(0, 0, 1), (0, 0, -1)])
@pytest.mark.parametrize("part", [(0.0, math.tau), (0.5, 2.0), (4.0, 1.0)])
def test_ellipse_agrees_with_another_library(extrusion: tuple, part: tuple) -> None:
    """Centre, axes and parameters of an ELLIPSE are those of the world, also for extrusion (0, 0, -1)."""
    doc = document()
    frame(doc)
    doc.modelspace().add_ellipse((50, 20), (30, 10), 0.4, *part, dxfattribs={"extrusion": extrusion})
    oracle = ConstructionEllipse((50, 20), (30, 10), extrusion, 0.4, *part)

    (curve,) = curves(read_document(doc))

    assert 0.0 < curve.fitted <= TOLERANCE
    assert all(distance(curve, p.x, p.y) <= TOLERANCE for p in oracle.vertices(oracle.params(100)))
    assert curve.segments[0].start.distance(Point(*oracle.start_point.vec2)) < 1e-9
    assert curve.segments[-1].end.distance(Point(*oracle.end_point.vec2)) < 1e-9


def test_ellipse_that_is_a_circle_is_an_exact_arc() -> None:
    """Equal axes give an arc with the exact centre, no fit."""
    doc = document()
    doc.modelspace().add_ellipse((5, 5), (0, 3), 1.0, 0, math.pi / 2)

    (curve,) = read_document(doc).curves

    (arc,) = curve.segments
    assert isinstance(arc, Arc)
    assert (arc.centre, arc.start, curve.fitted) == (Point(5, 5), Point(5, 8), 0.0)
    assert arc.end.distance(Point(2, 5)) < 1e-12


def test_ratio_above_one_is_taken_as_it_stands() -> None:
    """A ratio of 2.5 (some libraries turn it into a sliver) draws the longer second axis."""
    pairs = [
        *[(0, "ELLIPSE"), (8, "0"), (100, "AcDbEllipse"), (10, 0), (20, 0), (30, 0)],
        *[(11, 10), (21, 0), (31, 0), (40, 2.5), (41, 0), (42, math.tau)],
    ]

    (curve,) = read(raw_dxf(pairs)).curves

    assert distance(curve, 0, 25) < 1e-9
    assert distance(curve, 10, 0) < 1e-9


@pytest.mark.parametrize("ratio", [0.0, 1e-9])
def test_ellipse_without_width_is_named(ratio: float) -> None:
    """An ellipse squeezed to a line is set aside with a finding."""
    pairs = [
        *[(0, "ELLIPSE"), (8, "0"), (10, 0), (20, 0), (30, 0)],
        *[(11, 10), (21, 0), (31, 0), (40, ratio), (41, 0), (42, 6.0)],
    ]

    drawing = read(raw_dxf([*line(0, 0, 1, 1), *pairs]))

    assert len(drawing.curves) == 1
    assert "axis without length" in drawing.findings[0].text


@pytest.mark.parametrize("rational", [False, True])
def test_spline_by_control_points_agrees_with_another_library(rational: bool) -> None:
    """A SPLINE with control points, weighted or not, is met within the tolerance."""
    doc = document()
    frame(doc)
    points = [(0, 0), (10, 30), (40, 30), (60, -20), (90, 10)]
    if rational:
        entity = doc.modelspace().add_rational_spline(points, [1, 2, 1, 0.5, 1], degree=3)
    else:
        entity = doc.modelspace().add_open_spline(points)

    (curve,) = curves(read_document(doc))

    oracle = entity.construction_tool()
    assert curve.fitted <= TOLERANCE
    assert all(distance(curve, p.x, p.y) <= TOLERANCE for p in oracle.approximate(300))
    assert curve.segments[0].start == Point(0, 0)
    assert curve.segments[-1].end.distance(Point(90, 10)) < 1e-12


def test_spline_by_fit_points_only_agrees_with_another_library() -> None:
    """A SPLINE that has only fit points is the cubic that CAD systems draw through them."""
    doc = document()
    frame(doc)
    entity = doc.modelspace().add_spline([(0, 0), (20, 15), (45, 5), (60, 30)])

    (curve,) = curves(read_document(doc))

    from ezdxf.math import fit_points_to_cad_cv

    oracle = fit_points_to_cad_cv(entity.fit_points)
    assert all(distance(curve, p.x, p.y) <= TOLERANCE for p in oracle.approximate(300))


def test_closed_spline_is_closed_to_the_last_bit() -> None:
    """A closed spline ends in the very point where it starts."""
    doc = document()
    doc.modelspace().add_spline().set_closed([(0, 0, 0), (20, 0, 0), (30, 20, 0), (5, 25, 0)])

    (curve,) = read_document(doc).curves

    assert curve.closed
    assert is_closed(curve.segments, 0.0)


def test_repeated_fit_points_are_left_out() -> None:
    """Fit points that repeat the one before (a division by zero elsewhere) draw the same curve."""
    points = [(0, 0), (0, 0), (20, 15), (45, 5), (45, 5)]
    pairs = [(0, "SPLINE"), (8, "0"), (100, "AcDbSpline"), (70, 8), (71, 3), (74, len(points))]
    for x, y in points:
        pairs += [(11, x), (21, y), (31, 0)]

    (curve,) = read(raw_dxf(pairs)).curves

    assert distance(curve, 20, 15) < TOLERANCE / 25.4


def test_falling_knots_are_named_or_rebuilt() -> None:
    """A spline with falling knots is set aside; with fit points it is rebuilt and that is said."""
    head = [(0, "SPLINE"), (8, "0"), (5, "AA"), (100, "AcDbSpline"), (70, 8), (71, 3)]
    knots = [(40, k) for k in (0, 0, 0, 0, 5, 1, 1, 1, 1)]
    control = [pair for x in range(5) for pair in ((10, x), (20, x % 2), (30, 0))]
    fit = [pair for x in range(3) for pair in ((11, x), (21, x % 2), (31, 0))]

    named = read(raw_dxf([*line(0, 0, 1, 1), *head, *knots, *control]))
    rebuilt = read(raw_dxf([*head, *knots, *control, *fit]))

    assert "the knots fall" in named.findings[0].text and "AA" in named.findings[0].text
    assert [r.code for r in rebuilt.repairs] == ["reading/spline-rebuilt"]


def test_spline_that_is_a_line_is_a_line() -> None:
    """A straight spline gives one exact line."""
    doc = document()
    doc.modelspace().add_open_spline([(0, 0), (10, 5), (20, 10), (30, 15)])

    (curve,) = read_document(doc).curves

    assert curve.segments == (Line(Point(0, 0), Point(30, 15)),)


def test_spline_without_markers_is_read_with_a_repair() -> None:
    """A SPLINE in an R10 file without subclass markers, which no library opens, is read and reported."""
    head = [(0, "SPLINE"), (8, "0"), (70, 8), (71, 2)]
    knots = [(40, k) for k in (0, 0, 0, 1, 1, 1)]
    control = [pair for x in range(3) for pair in ((10, 10 * x), (20, x % 2), (30, 0))]

    drawing = read(raw_dxf([*head, *knots, *control], header=[(9, "$ACADVER"), (1, "AC1006")]))

    assert len(drawing.curves) == 1
    assert [r.code for r in drawing.repairs] == ["reading/no-subclass"]


def test_fit_option_is_the_largest_deviation() -> None:
    """`--fit` decides how near the arcs come: a hundred times coarser needs a few times fewer arcs."""
    doc = document()
    frame(doc)
    doc.modelspace().add_ellipse((50, 20), (30, 10), 0.4)

    coarse = curves(read_document(doc, DrawingOptions(tolerances=Tolerances(fit=0.2))))[0]
    fine = curves(read_document(doc))[0]

    assert TOLERANCE < coarse.fitted <= 0.2
    assert len(coarse.segments) < len(fine.segments) / 2


@pytest.mark.parametrize(
    ("insunits", "size", "units", "expected"),
    [
        (4, 100.0, None, 0.002),  # millimetres, plainly
        (4, 20.0, None, 0.002 / 25.4),  # may be inches under a wrong header
        (None, 100.0, None, 0.002 / 25.4),
        (1, 100.0, None, 0.002 / 25.4),
        (6, 0.3, None, 0.002 / 1000.0),  # metres, plainly
        (6, 100.0, None, 0.002 / 25.4),  # the usual wrong default
        (1, 20.0, Unit.MM, 0.002),  # the user's word wins
        (4, 100.0, Unit.INCH, 0.002 / 25.4),
    ],
)
def test_fit_holds_in_every_unit_the_drawing_may_have(
    insunits: int | None, size: float, units: Unit | None, expected: float
) -> None:
    """The tolerance is given in mm; in doubt about the unit the arcs are fine enough for inches."""
    from dxf2turn.options import ReadLimits
    from dxf2turn.reading.file.structure import build_structure
    from dxf2turn.reading.file.text_tags import read_text_tags

    tags = read_text_tags(raw_dxf([*line(0, 0, 1, 0), *line(size, 0, 1, 0)]), "x")
    records = build_structure(tags, "x", ReadLimits()).entities

    fit = drawing_fit(Header("AC1015", insunits), records, DrawingOptions(units=units))

    assert fit == pytest.approx(expected)


def hatch_area(drawing: Drawing) -> list[float]:
    hatches = [c for c in drawing.curves if c.role.value == "hatch"]
    assert all(c.closed and is_closed(c.segments, 1e-9) for c in hatches)
    return [abs(signed_area(c.segments)) for c in hatches]


def test_hatch_by_polyline_with_bulges() -> None:
    """A boundary of two half circles encloses a circle's area."""
    doc = document()
    hatch = doc.modelspace().add_hatch()
    hatch.paths.add_polyline_path([(0, 0, 1), (10, 0, 1)], is_closed=True)

    assert hatch_area(read_document(doc)) == [pytest.approx(math.pi * 25)]


@pytest.mark.parametrize("ccw", [True, False])
def test_hatch_by_edges(ccw: bool) -> None:
    """Lines and an arc, drawn either way round, enclose a rectangle with a half circle at its end."""
    doc = document()
    hatch = doc.modelspace().add_hatch()
    path = hatch.paths.add_edge_path()
    if ccw:
        path.add_line((0, 0), (10, 0))
        path.add_arc((10, 3), 3, -90, 90, ccw=True)
        path.add_line((10, 6), (0, 6))
        path.add_line((0, 6), (0, 0))
    else:
        path.add_line((0, 0), (0, 6))
        path.add_line((0, 6), (10, 6))
        path.add_arc((10, 3), 3, -90, 90, ccw=False)
        path.add_line((10, 0), (0, 0))

    assert hatch_area(read_document(doc)) == [pytest.approx(60 + math.pi * 4.5)]


@pytest.mark.parametrize("ccw", [True, False])
def test_hatch_by_part_of_an_ellipse(ccw: bool) -> None:
    """Half an ellipse and its chord enclose half its area."""
    doc = document()
    hatch = doc.modelspace().add_hatch()
    path = hatch.paths.add_edge_path()
    path.add_ellipse((0, 0), (10, 0), 0.5, 0, 180, ccw=ccw)
    ends = ((-10, 0), (10, 0)) if ccw else ((10, 0), (-10, 0))
    path.add_line(*ends)

    assert hatch_area(read_document(doc)) == [pytest.approx(math.pi * 50 / 2, abs=0.05)]


def test_hatch_by_a_spline_edge_and_an_island() -> None:
    """A boundary with a spline edge, and a second boundary inside, are two curves."""
    doc = document()
    hatch = doc.modelspace().add_hatch()
    path = hatch.paths.add_edge_path()
    path.add_line((0, 0), (30, 0))
    path.add_spline(
        control_points=[(30, 0), (25, 20), (5, 20), (0, 0)], degree=3, knot_values=[0, 0, 0, 0, 1, 1, 1, 1]
    )
    hatch.paths.add_polyline_path([(10, 2), (12, 2), (12, 4), (10, 4)], flags=16)

    first, island = hatch_area(read_document(doc))

    # Area under the cubic: by the formula for its control polygon, worked with another library.
    from ezdxf.math import BSpline, area

    oracle = BSpline([(30, 0), (25, 20), (5, 20), (0, 0)], order=4)
    assert first == pytest.approx(area(oracle.approximate(2000)), abs=0.05)
    assert island == pytest.approx(4.0)


def test_hatch_in_a_mirrored_block() -> None:
    """A hatch keeps its area in a mirrored and enlarged block."""
    doc = document()
    hatch = doc.blocks.new("B").add_hatch()
    hatch.paths.add_polyline_path([(0, 0, 1), (10, 0, 1)], is_closed=True)
    doc.modelspace().add_blockref("B", (0, 0), dxfattribs={"xscale": -2, "yscale": 2})

    assert hatch_area(read_document(doc)) == [pytest.approx(math.pi * 100)]


def test_broken_hatch_is_named_and_the_rest_is_read() -> None:
    """A hatch whose boundary data break off is a finding, not the end of the drawing."""
    broken = [(0, "HATCH"), (8, "0"), (10, 0), (20, 0), (30, 0), (91, 1), (92, 1), (93, 4), (72, 1), (10, 1)]

    drawing = read(raw_dxf([*line(0, 0, 1, 1), *broken]))

    assert len(drawing.curves) == 1
    assert "boundary lacks a value" in drawing.findings[0].text
