"""Lines, arcs and polylines: exact, in every version of the format, text and binary."""

from __future__ import annotations

import math

import pytest

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line
from tests.reading.builders import TEXT_VERSIONS, document, line, raw_dxf, read, read_document

BINARY_VERSIONS = TEXT_VERSIONS
STEP = [(0.0, 0.0), (0.0, 10.0), (30.1, 10.0), (30.1, 7.35), (1.0 / 3.0, 2.0 / 7.0)]


@pytest.mark.parametrize("version", TEXT_VERSIONS)
@pytest.mark.parametrize("binary", [False, True])
def test_coordinates_survive_to_the_last_bit(version: str, binary: bool) -> None:
    """A line's coordinates are those that were written, in every version, text and binary."""
    doc = document(version)
    for a, b in zip(STEP, STEP[1:]):
        doc.modelspace().add_line(a, b)

    drawing = read_document(doc, binary=binary)

    found = [(c.segments[0].start, c.segments[0].end) for c in drawing.curves]
    assert found == [(Point(*a), Point(*b)) for a, b in zip(STEP, STEP[1:])]
    assert drawing.header.dxf_version == doc.dxfversion


@pytest.mark.parametrize("version", TEXT_VERSIONS)
def test_arc_and_circle_keep_centre_and_radius(version: str) -> None:
    """An arc runs counter-clockwise between its angles; a circle is two half circles."""
    doc = document(version)
    doc.modelspace().add_arc((10.0, 5.0), 2.5, 350.0, 90.0)
    doc.modelspace().add_circle((1.0, 2.0), 4.0)

    arc_curve, circle_curve = read_document(doc).curves

    (arc,) = arc_curve.segments
    assert isinstance(arc, Arc)
    assert (arc.centre, arc.clockwise) == (Point(10.0, 5.0), False)
    assert arc.end == Point(10.0, 7.5)
    assert math.degrees(arc.sweep) == pytest.approx(100.0, abs=1e-12)
    assert circle_curve.closed
    assert [s.start for s in circle_curve.segments] == [Point(5.0, 2.0), Point(-3.0, 2.0)]
    assert [s.end for s in circle_curve.segments] == [Point(-3.0, 2.0), Point(5.0, 2.0)]


@pytest.mark.parametrize("kind", ["LWPOLYLINE", "POLYLINE"])
def test_bulges_are_exact_arcs(kind: str) -> None:
    """A half circle by bulge 1 has its centre in the middle; vertices are shared to the last bit."""
    doc = document()
    points = [(0.0, 0.0, 0.0), (10.0, 0.0, 1.0), (10.0, 4.0, -math.tan(math.pi / 8)), (6.0, 8.0, 0.0)]
    if kind == "LWPOLYLINE":
        doc.modelspace().add_lwpolyline(points, format="xyb", close=True)
    else:
        doc.modelspace().add_polyline2d(points, format="xyb", close=True)

    (curve,) = read_document(doc).curves

    first, half, quarter, last = curve.segments
    assert curve.closed
    assert isinstance(half, Arc) and (half.centre, half.clockwise) == (Point(10.0, 2.0), False)
    assert isinstance(quarter, Arc) and quarter.clockwise
    assert quarter.centre.distance(Point(10.0, 8.0)) < 1e-14
    assert isinstance(first, Line) and isinstance(last, Line)
    assert all(a.end == b.start for a, b in zip(curve.segments, (*curve.segments[1:], first)))


def test_closing_vertex_that_repeats_the_first_draws_nothing() -> None:
    """A closed polyline that also repeats its first vertex has no piece without length."""
    doc = document()
    doc.modelspace().add_lwpolyline([(0, 0), (5, 0), (5, 3), (0, 0)], close=True)

    drawing = read_document(doc)

    assert len(drawing.curves[0].segments) == 3
    assert drawing.curves[0].closed
    assert drawing.repairs == ()


def test_vertex_repeated_inside_is_a_repair_with_its_handle() -> None:
    """A vertex drawn twice inside a polyline is left out and reported."""
    doc = document()
    entity = doc.modelspace().add_lwpolyline([(0, 0), (5, 0), (5, 0), (5, 3)])

    drawing = read_document(doc)

    assert [type(s) for s in drawing.curves[0].segments] == [Line, Line]
    (repair,) = drawing.repairs
    assert (repair.code, repair.handles) == ("reading/repeated-vertex", (entity.dxf.handle,))


def test_last_bulge_of_an_open_polyline_is_ignored() -> None:
    """The bulge of the last vertex counts only when the polyline is closed."""
    doc = document()
    points = [(0, 0, 0), (5, 0, 0), (5, 3, 1)]
    doc.modelspace().add_lwpolyline(points, format="xyb")
    doc.modelspace().add_lwpolyline(points, format="xyb", close=True)

    opened, closed = read_document(doc).curves

    assert [type(s) for s in opened.segments] == [Line, Line]
    assert [type(s) for s in closed.segments] == [Line, Line, Arc]


def test_bulge_above_one_is_more_than_a_half_circle() -> None:
    """A bulge of 1 + sqrt 2 is a sweep of 270 degrees (tan of a quarter of it, DXF reference)."""
    doc = document()
    doc.modelspace().add_lwpolyline([(0, 0, 1 + math.sqrt(2)), (4, 0, 0)], format="xyb")

    (arc,) = read_document(doc).curves[0].segments

    assert math.degrees(arc.sweep) == pytest.approx(270.0, abs=1e-12)


def test_hair_thin_bulge_is_a_line() -> None:
    """A bulge that bows less than the drawing can show is a straight line, not an arc of endless radius."""
    doc = document()
    doc.modelspace().add_lwpolyline([(0, 0, 1e-16), (400, 0, 0)], format="xyb")

    (segment,) = read_document(doc).curves[0].segments

    assert segment == Line(Point(0, 0), Point(400, 0))


def test_arc_with_equal_angles_is_a_whole_circle_and_said_so() -> None:
    """An ARC from 30 to 30 degrees is read as a circle, with a repair that names it."""
    doc = document()
    doc.modelspace().add_arc((0, 0), 5, 30, 30)

    drawing = read_document(doc)

    assert drawing.curves[0].closed
    assert [r.code for r in drawing.repairs] == ["reading/full-arc"]


def test_handles_and_line_numbers_name_the_origin() -> None:
    """A piece carries its entity's handle, or the line of the file where the entity has none."""
    drawing = read(raw_dxf([*line(0, 0, 1, 0, handle="2F"), *line(1, 0, 1, 1)]))

    assert [c.segments[0].origin for c in drawing.curves] == [("2F",), ("line 46",)]
    assert [c.origin.handle for c in drawing.curves] == ["2F", "line 46"]


def test_curve_fit_polyline_keeps_its_arcs() -> None:
    """An old POLYLINE with curve fit (flag 2, extra vertices flag 1) gives the arcs of its bulges."""
    vertices = [(0, 0, 0.2, 0), (5, 2, -0.3, 1), (10, 0, 0.0, 0)]
    pairs = [(0, "POLYLINE"), (8, "0"), (66, 1), (70, 2), (10, 0), (20, 0), (30, 0)]
    for x, y, bulge, flag in vertices:
        pairs += [(0, "VERTEX"), (8, "0"), (10, x), (20, y), (42, bulge), (70, flag)]

    (curve,) = read(raw_dxf([*pairs, (0, "SEQEND")])).curves

    assert [type(s) for s in curve.segments] == [Arc, Arc]
    assert [s.clockwise for s in curve.segments] == [False, True]


def test_spline_fit_polyline_is_drawn_from_its_frame() -> None:
    """A spline-fit POLYLINE follows the B-spline of its frame vertices and leaves the frame out."""
    from ezdxf.math import BSpline, open_uniform_knot_vector

    frame = [(0.0, 0.0), (5.0, 8.0), (12.0, 8.0), (20.0, 0.0)]
    oracle = BSpline(frame, order=3, knots=open_uniform_knot_vector(4, 3))
    drawn = [(p.x, p.y) for p in oracle.approximate(16)]
    pairs = [(0, "POLYLINE"), (8, "0"), (66, 1), (70, 4), (75, 5), (10, 0), (20, 0), (30, 0)]
    for flag, points in ((16, frame), (8, drawn)):
        for x, y in points:
            pairs += [(0, "VERTEX"), (8, "0"), (10, x), (20, y), (70, flag)]

    drawing = read(raw_dxf([*pairs, (0, "SEQEND")]))

    (curve,) = drawing.curves
    assert [r.code for r in drawing.repairs] == ["reading/frame-rebuilt"]
    assert any(isinstance(s, Arc) for s in curve.segments)
    for point in oracle.approximate(200):
        assert min(s.distance(Point(point.x, point.y)) for s in curve.segments) < 0.002


def test_mesh_is_no_curve() -> None:
    """A polygon mesh is set aside by name, vertices included in the count."""
    doc = document()
    doc.modelspace().add_line((0, 0), (1, 0))
    doc.modelspace().add_polymesh((2, 2))

    drawing = read_document(doc)

    assert {(s.kind, s.count) for s in drawing.set_aside} == {("POLYLINE", 1), ("VERTEX", 4)}
    assert drawing.census.total == drawing.census.used + drawing.census.aside
