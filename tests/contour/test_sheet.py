"""What else lies on a sheet: borders, title blocks, boxes, end views, holes in plates."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dxf2turn.cleaning.clean import clean_drawing
from dxf2turn.contour.build import build_contour
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line, circle_arcs
from dxf2turn.options import DrawingOptions
from dxf2turn.reading.model import Note, NoteKind, Origin
from tests.contour.sketch import axis, both, chain, codes, contour, corners
from tests.drawn import drawing_of
from tests.strokes import Place, Stroke, View

SHAFT = [(0, 0), (0, 5), (-12, 5), (-12, 9), (-40, 9), (-40, 0)]
AS_PROFILE = [(float(x), float(y)) for x, y in SHAFT]
FULL = both(SHAFT) + chain([(-12, 5), (-12, -5)])


def _box(x0: float, y0: float, x1: float, y1: float):
    return chain([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], "SHEET", close=True)


def _circle(x: float, y: float, radius: float):
    return [Stroke((arc,)) for arc in circle_arcs(Point(x, y), radius)]


def _with_texts(strokes, *places):
    notes = tuple(
        Note(NoteKind.TEXT, "TARNBECK", Point(*place), Origin("N", "TEXT", "NOTES"), height=2.5)
        for place in places
    )
    drawing = replace(drawing_of(View(tuple(strokes))), notes=notes)
    return build_contour(clean_drawing(drawing, DrawingOptions()), DrawingOptions())


@pytest.mark.parametrize("axis_line", [True, False])
def test_a_border_of_paper_shape_is_left_out(axis_line):
    """A rectangle of A4 shape around the part, without any text."""
    strokes = FULL + _box(-150, -80, 147, 130) + (axis(6, -46) if axis_line else [])
    assert corners(contour(strokes)) == AS_PROFILE


def test_a_border_with_a_title_block_is_left_out():
    """Cells with texts in the corner of a border of any shape."""
    cells = chain([(50, -60), (120, -60)], "SHEET") + chain([(50, -60), (50, -80)], "SHEET")
    strokes = FULL + _box(-150, -80, 120, 60) + cells
    assert corners(_with_texts(strokes, (60, -70), (60, -65))) == AS_PROFILE


def test_a_box_around_a_letter_is_no_part():
    """A datum letter in its box beside a view without centre line."""
    assert corners(_with_texts(FULL + _box(30, 30, 37, 37), (32, 32))) == AS_PROFILE


def test_texts_inside_a_part_do_not_make_it_a_table():
    """Sizes written into the view of a part with level and upright lines only."""
    found = _with_texts(FULL + axis(6, -46), (-8, 1), (-30, 3), (-25, -5))
    assert corners(found) == AS_PROFILE


def test_an_end_view_on_the_same_centre_line_is_left_out():
    """Circles with a cross of centre lines beside the side view."""
    ends = _circle(60, 0, 9) + _circle(60, 0, 5) + chain([(60, -14), (60, 14)], "AXIS")
    assert corners(contour(FULL + ends + axis(80, -46))) == AS_PROFILE


def test_an_end_view_without_centre_lines_is_left_out():
    """Nothing but circles beside a side view that is known by its symmetry."""
    assert corners(contour(FULL + _circle(60, 0, 9) + _circle(60, 0, 5))) == AS_PROFILE


def test_a_ball_on_its_centre_line_is_a_part():
    """A circle is an end view only beside something else."""
    found = contour(_circle(-10, 0, 10) + axis(5, -25))
    assert found.profile is not None
    assert found.profile.length == pytest.approx(20.0)
    assert found.profile.max_radius == pytest.approx(10.0)


def test_a_hole_in_a_plate_is_no_part():
    """A box inside a plate that is not symmetrical: nothing turned."""
    plate = chain([(0, 0), (60, 3), (55, 40), (20, 47), (-4, 30)], close=True)
    found = contour(plate + _box(20, 15, 30, 21))
    assert found.profile is None
    assert codes(found) == ["contour/no-axis"]


SLEEVE = [(0.0, 1.0), (0.0, 2.0), (-5.0, 2.0), (-5.0, 1.0)]


def _placed(strokes, x: float, y: float):
    return list(Place(x=x, y=y).view(View(tuple(strokes))).strokes)


@pytest.mark.parametrize("hatched", [True, False])
def test_a_small_part_is_told_from_a_symbol_by_its_hatch(hatched):
    """A sleeve a hundredth of the shaft's area: hatched it is a second part, bare it may be a symbol."""
    walls = [SLEEVE, [(x, -r) for x, r in SLEEVE]]
    edges = chain([(0, 1), (0, -1)]) + chain([(-5, 1), (-5, -1)])
    sleeve = _placed([s for w in walls for s in chain(w, close=True)] + edges + axis(1, -6), 0, -60)
    hatches = tuple(
        tuple(Line(Point(a[0], a[1] - 60), Point(b[0], b[1] - 60)) for a, b in zip(w, [*w[1:], w[0]]))
        for w in walls
    )
    large = both([(0, 0), (0, 15), (-12, 15), (-12, 29), (-140, 29), (-140, 0)])
    view = View(tuple(large + chain([(-12, 15), (-12, -15)]) + axis(5, -145) + sleeve), hatches * hatched)
    found = build_contour(clean_drawing(drawing_of(view), DrawingOptions()), DrawingOptions())
    assert len(found.candidates) == (2 if hatched else 1)


def test_a_part_without_a_centre_line_beside_one_with_it_is_a_second_part():
    """It lies apart from the first one's centre line, but is no ring about it."""
    other = both([(0, 0), (0, 7), (-20, 7), (-20, 11), (-35, 11), (-35, 0)]) + chain([(-20, 7), (-20, -7)])
    found = contour(FULL + axis(6, -46) + _placed(other, 0, -60))
    assert [(c.length, round(c.max_diameter_mm, 6)) for c in found.candidates] == [(40.0, 18.0), (35.0, 22.0)]
    options = DrawingOptions(part=2)
    assert corners(contour(FULL + axis(6, -46) + _placed(other, 0, -60), options))[2] == (-20.0, 7.0)


def test_centre_lines_through_shoulders_make_no_rings_of_an_end_view():
    """Upright centre lines, as for a pattern of holes, beside which the end view lies apart."""
    ends = _circle(60, 0, 9) + _circle(60, 0, 5) + _circle(60, 7, 1.5)
    uprights = [s for x in (0, -12, 60) for s in chain([(x, 14), (x, -14)], "AXIS")]
    assert corners(contour(FULL + ends + uprights + axis(80, -46))) == AS_PROFILE
