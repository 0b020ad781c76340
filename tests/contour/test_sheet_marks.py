"""What a view shows besides the turned outline: keyways, flats, circles, helper lines, break-outs, breaks."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from dxf2turn.cleaning.clean import clean_drawing
from dxf2turn.contour.build import build_contour
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line, circle_arcs
from dxf2turn.options import DrawingOptions
from dxf2turn.reading.model import Dimension, DimensionKind, Note, NoteKind, Origin
from tests.contour.sketch import axis, both, chain, codes, contour, corners
from tests.drawn import drawing_of
from tests.strokes import Place, Stroke, View

SHAFT = [(0, 0), (0, 5), (-12, 5), (-12, 9), (-40, 9), (-40, 0)]
AS_PROFILE = [(float(x), float(y)) for x, y in SHAFT]
FULL = both(SHAFT) + chain([(-12, 5), (-12, -5)]) + axis(5, -45)
PIN = [(0, 0), (0, 9), (-40, 9), (-40, 0)]
PLAIN_PIN = both(PIN) + axis(5, -45)
PIN_PROFILE = [(float(x), float(y)) for x, y in PIN]


def _circle(x: float, y: float, radius: float, layer: str = "THIN"):
    return [Stroke(tuple(circle_arcs(Point(x, y), radius)), layer)]


def _linear(a, b, shown: float) -> Note:
    points = (Point(*a), Point(*b))
    dimension = Dimension(DimensionKind.LINEAR, points, points[0].distance(points[1]), shown=shown)
    origin = Origin("D", "DIMENSION", "NOTES")
    return Note(NoteKind.DIMENSION, f"{shown:g}", points[0], origin, tips=points, dimension=dimension)


def test_a_keyway_in_a_pin_without_edges_is_no_cavity():
    """A closed loop on the axis that opens to neither end: nothing turned is hollow there."""
    keyway = chain([(-10, 2), (-30, 2), (-30, -2), (-10, -2)], close=True)
    found = contour(PLAIN_PIN + keyway)
    assert corners(found) == PIN_PROFILE
    assert codes(found) == ["contour/inner-detail"]


def test_a_flat_marked_by_diagonals_is_no_hole():
    """A rectangle up to the back face with its diagonals (ISO 128 marks flats so, from memory)."""
    flat = chain([(-40, 5), (-25, 5), (-25, -5), (-40, -5)])
    diagonals = chain([(-40, 5), (-25, -5)], "THIN") + chain([(-40, -5), (-25, 5)], "THIN")
    assert corners(contour(PLAIN_PIN + flat + diagonals)) == PIN_PROFILE


@pytest.mark.parametrize("line", [True, False])
@pytest.mark.parametrize("place", [(-12, 9), (0, 5), (-40, 9)])
def test_a_circle_around_a_detail_bounds_nothing(place, line):
    """It crosses the outline, with a centre line or without one."""
    strokes = FULL if line else both(SHAFT) + chain([(-12, 5), (-12, -5)])
    assert corners(contour(strokes + _circle(*place, 2.5))) == AS_PROFILE


def test_a_ball_drawn_as_a_circle_stays():
    """Its middle lies on the axis: a ball handle with its neck up to the circle."""
    ball = math.sqrt(10.0**2 - 4.0**2)
    neck = both([(-10 - ball, 4), (-60, 4), (-60, 0)])
    found = contour(_circle(-10, 0, 10, "PART") + neck + axis(5, -65))
    assert found.profile is not None
    assert (found.profile.length, found.profile.max_radius) == (pytest.approx(60.0), pytest.approx(10.0))


def test_construction_lines_through_the_shoulders_are_no_gap():
    """Square lines of another layer that stick out of the outline on both sides."""
    lines = [s for z in (0, -12, -40) for s in chain([(z, 25), (z, -25)], "NOTES")]
    found = contour(FULL + lines)
    assert corners(found) == AS_PROFILE
    assert codes(found) == []


def test_a_long_break_out_leaves_the_outside_alone():
    """A blind hole broken out over most of the length: hatched around it, but not up to the outline."""
    hole = [(0, 2), (-30, 2), (-30, 0)]
    border = [(0, 3.5), (-8, 3.3), (-20, 3.6), (-31, 3), (-32.5, 1.5), (-32, 0)]
    edge = chain([(-12, 3.4), (-12, 5)]) + chain([(-12, -3.4), (-12, -5)])
    strokes = both(SHAFT) + edge + axis(5, -45) + both(hole) + both(border)
    wall = [(0.0, 2.0), *border, (-30.0, 0.0), (-30.0, 2.0)]
    hatches = tuple(
        tuple(
            Line(Point(a[0], sign * a[1]), Point(b[0], sign * b[1]))
            for a, b in zip(wall, [*wall[1:], wall[0]])
        )
        for sign in (1.0, -1.0)
    )
    options = DrawingOptions()
    clean = clean_drawing(drawing_of(View(tuple(strokes), hatches)), options)
    found = build_contour(clean, options)
    assert corners(found) == [*AS_PROFILE, (-30.0, 0.0), (-30.0, 2.0), (0.0, 2.0)] or corners(found) == [
        (0.0, 2.0),
        *AS_PROFILE[1:],
        (-30.0, 0.0),
        (-30.0, 2.0),
    ]


WAVE = [(0.4, 9), (-0.6, 5), (0.5, 0), (-0.4, -5), (0.3, -9)]
ZIGZAG = [(0, 12), (0, 1.5), (1.5, 1), (-1.5, -1), (0, -1.5), (0, -12)]


@pytest.mark.parametrize("line", [WAVE, ZIGZAG])
def test_a_shortened_view_stops_with_its_place(line):
    """Two break lines facing each other: the finding names both ends and the length that is written."""
    ends = [[(z + x, r) for x, r in line] for z in (-24, -29)]
    strokes = both([(0, 0), (0, 5), (-12, 5), (-12, 9), (ends[0][0][0], 9)])
    strokes += both([(ends[1][0][0], 9), (-60, 9), (-60, 0)]) + chain([(-12, 5), (-12, -5)])
    strokes += [s for end in ends for s in chain(end, "THIN")] + axis(5, -65)
    lower = chain([(-12, -9), (ends[0][-1][0], -9)]) + chain([(ends[1][-1][0], -9), (-60, -9)])
    drawing = replace(drawing_of(View(tuple(strokes + lower))), notes=(_linear((0, 12), (-60, 12), 640.0),))
    found = build_contour(clean_drawing(drawing, DrawingOptions()), DrawingOptions())
    assert found.profile is None
    assert codes(found) == ["contour/shortened"]
    assert "a dimension says 640 where 60 is drawn" in found.findings[0].text


def test_two_parts_on_one_axis_are_not_a_shortened_view():
    """Plain faces that look at each other bound two parts."""
    other = both([(-60, 0), (-60, 9), (-90, 9), (-90, 0)])
    found = contour(both(SHAFT) + chain([(-12, 5), (-12, -5)]) + other + axis(5, -95))
    assert codes(found) == ["contour/several-parts"]


def test_open_linework_past_the_end_is_not_left_out_in_silence():
    """The outline goes on behind its last closed face and is open there."""
    strokes = both([(0, 0), (0, 5), (-12, 5)]) + chain([(-12, 9), (-12, -9)])
    strokes += both([(-12, 9), (-40, 9)]) + axis(5, -45)
    found = contour(strokes)
    assert found.profile is None
    assert "contour/cut-short" in codes(found) or "contour/open-gap" in codes(found)


def test_edges_across_a_slanted_view_are_no_hatching():
    """Slanted parallels on the sheet, but square to the centre line; some end a hair beside their corners."""
    steps = [p for i in range(8) for p in [(-5.0 * i, 10.0 - i), (-5.0 * (i + 1), 10.0 - i)]]
    edges = [s for i in range(1, 8) for s in chain([(-5.0 * i, 11.0 - i - 0.004), (-5.0 * i, -11.0 + i)])]
    strokes = both([(0, 0), *steps, (-40, 0)]) + edges + axis(5, -45)
    c, s = math.cos(0.3), math.sin(0.3)
    found = contour(Place(c, s, x=7.0, y=9.0).view(View(tuple(strokes))).strokes)
    assert found.view == "full"
    assert found.profile is not None
    assert found.profile.length == pytest.approx(40.0)


def test_a_knurl_in_crossing_lines_cuts_nothing_open():
    """Crossed parallels over most of the length, between edges: a surface, not a section."""
    grip = [(0, 0), (0, 9), (-40, 9), (-40, 14), (-50, 14), (-50, 0)]
    lines = [
        stroke
        for sign in (1, -1)
        for i in range(24)
        for stroke in chain([(-1 - 1.5 * i, -8.9 * sign), (-1 - 1.5 * i - 2.8, 8.9 * sign)], "THIN")
    ]
    found = contour(both(grip) + chain([(-40, 9), (-40, -9)]) + lines + axis(5, -55))
    assert corners(found) == [(float(x), float(y)) for x, y in grip]
    assert found.view == "full"


def test_a_piece_of_a_shortened_part_is_no_choice():
    """`--part N` of one of its two ends stops all the same, and `bulk` has no parts to plan."""
    ends = [[(z + x, r) for x, r in ZIGZAG] for z in (-24, -29)]
    strokes = both([(0, 0), (0, 9), (-24, 9)]) + both([(-29, 9), (-60, 9), (-60, 0)])
    strokes += [s for end in ends for s in chain(end, "THIN")] + axis(5, -65)
    for part in (None, 1, 2):
        found = contour(strokes, DrawingOptions(part=part))
        assert codes(found) == ["contour/shortened"]
        assert found.candidates == ()
