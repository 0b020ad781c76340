"""Outlines that nothing on the sheet shows to be turned parts are not guessed at; honest ones pass."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from dxf2turn.cleaning.clean import clean_drawing
from dxf2turn.contour.build import build_contour
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import circle_arcs
from dxf2turn.options import DrawingOptions
from dxf2turn.reading.model import Dimension, DimensionKind, Note, NoteKind, Origin
from tests.contour.sketch import axis, both, chain, codes, contour, corners
from tests.drawn import drawing_of
from tests.strokes import Stroke, View

ASLANT = [(335.7, 383.1), (533.2, 304.2), (595.8, 439.7), (338.7, 436.1)]
TRIANGLE = [(5.5, 7.5), (6.5, 8.5), (7.5, 7.5)]
PROFILE = [(3, 2), (3, 7), (-9, 7), (-9, 11), (-37, 11), (-37, 2)]  # off the drawing's own axes
AS_PROFILE = [(0.0, 0.0), (0.0, 5.0), (-12.0, 5.0), (-12.0, 9.0), (-40.0, 9.0), (-40.0, 0.0)]
BOX = [(0, 0), (165, 0), (165, 340), (0, 340)]


def _circle(x: float, y: float, radius: float):
    return [Stroke((arc,)) for arc in circle_arcs(Point(x, y), radius)]


def _noted(strokes, *notes: Note, options: DrawingOptions | None = None):
    options = options or DrawingOptions()
    drawing = replace(drawing_of(View(tuple(strokes))), notes=notes)
    return build_contour(clean_drawing(drawing, options), options)


def _linear(a, b) -> Note:
    points = (Point(*a), Point(*b))
    along = points[1] - points[0]
    dimension = Dimension(DimensionKind.LINEAR, points, along.length, along.angle)
    origin = Origin("D", "DIMENSION", "NOTES")
    return Note(
        NoteKind.DIMENSION, f"{along.length:.3f}", points[0], origin, tips=points, dimension=dimension
    )


OTHERS = [*_circle(-20, 3, 4), *chain([(2, 3), (3, 4), (9, -8), (-4, -9), (2, 3)])]
WINDOW = chain([(71, 78), (88, 78), (88, 154), (71, 154)], close=True)
DOUBTFUL = {
    "only slanted lines": chain(ASLANT),
    "a kite": chain([(0.1, 0.1), (2.5, 0), (2.5, 2.5), (0, 2.5)], close=True),
    "a triangle among larger shapes": chain(TRIANGLE, close=True) + OTHERS,
    "a plate with a window": chain(BOX, close=True) + WINDOW,
}


@pytest.mark.parametrize("name", DOUBTFUL)
def test_an_outline_that_nothing_speaks_for_stops(name):
    """The finding says where it lies and how it is taken all the same."""
    found = contour(DOUBTFUL[name])
    assert codes(found) == ["contour/unclear-part"]
    (finding,) = found.findings
    assert len(found.candidates) == 1
    assert all(word in finding.hint for word in ("--part 1", "--layer", "--axis"))


@pytest.mark.parametrize("name", DOUBTFUL)
def test_whoever_names_the_part_gets_it(name):
    """`--part 1` is an answer to the question."""
    assert contour(DOUBTFUL[name], DrawingOptions(part=1)).profile is not None


def test_a_dimension_across_the_part_speaks_for_it():
    """A plate-like box with a length on it is a pin with a cross hole."""
    strokes = chain(BOX, close=True) + _circle(80, 170, 20)
    assert codes(_noted(strokes)) == ["contour/unclear-part"]
    assert _noted(strokes, _linear((0, 0), (0, 340))).profile is not None


def test_a_dimension_aslant_speaks_for_nothing():
    """Only what runs along or across the axis is a length or a diameter of a turned part."""
    strokes = chain(TRIANGLE, close=True) + OTHERS
    found = _noted(strokes, _linear((6.5, 8.5), (7.5, 7.5)))
    assert codes(found) == ["contour/unclear-part"]


@pytest.mark.parametrize("text", ["M8", "⌀2 h6", "G 1/4"])
def test_a_callout_beside_an_outline_speaks_for_it(text):
    """A thread or a diameter is written at turned parts."""
    note = Note(NoteKind.TEXT, text, Point(7.0, 8.4), Origin("T", "TEXT", "NOTES"), height=0.5)
    assert _noted(chain(TRIANGLE, close=True) + OTHERS, note).profile is not None


def test_a_bare_half_profile_beside_smaller_things_passes():
    """Open and closed, without centre line or dimension: the largest outline on the sheet."""
    logo = [s for i in range(12) for s in chain([(60 + i, 0), (61 + i, 1), (60 + i, 2)], close=True)]
    for strokes in (chain(PROFILE), chain(PROFILE, close=True)):
        assert corners(contour(strokes + logo)) == AS_PROFILE


def test_a_bare_half_profile_beside_its_larger_end_view_passes():
    """The circles of the end view are larger than a short part, but lie on its axis."""
    disc = [(0, 2), (0, 22), (-5, 22), (-5, 2)]
    found = contour(chain(disc) + _circle(60, 2, 20) + _circle(60, 2, 4))
    assert found.profile is not None
    assert found.profile.max_radius == pytest.approx(20.0)


def test_a_drawn_axis_needs_no_more():
    """A plumb bob of nothing but slanted lines with its centre line."""
    bob = [(0, 0), (-20, 12), (-60, 0)]
    found = contour(both(bob) + axis(5, -65))
    assert found.profile is not None
    assert found.profile.length == pytest.approx(60.0)
    assert math.isclose(found.profile.max_radius, 12.0)
