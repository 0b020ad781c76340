"""Half-sections: one half cut open, the other seen from outside, with and without hatch."""

from __future__ import annotations

import random

import pytest

from dxf2turn.cleaning.clean import clean_drawing
from dxf2turn.contour.build import build_contour
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line
from dxf2turn.options import DrawingOptions
from tests import strokes as draw
from tests.contour.sketch import axis, chain, codes, contour, corners
from tests.drawn import assert_same_profile, drawing_of
from tests.random_parts import HOLES, random_profile
from tests.strokes import BELOW, Place, Stroke, View

RING = [(0.0, 4.0), (0.0, 10.0), (-30.0, 10.0), (-30.0, 4.0)]
PLAIN_HALF = [(0, 0), (0, -10), (-30, -10), (-30, 0)]
ELSEWHERE = Place(x=33.0, y=71.0)


def _half_section(profile, hatched: bool, hidden: bool) -> View:
    """The cut half with face lines that stop at the hole and no edges in it; the other half from outside."""
    upper = draw.loose(draw.drawn(profile))
    lower = draw.loose(draw.drawn(profile, "front", "outside", "back"))
    if hidden:
        lower += draw.loose(draw.drawn(profile, "inside"), "HIDDEN")
    places = [p for p in draw.corners(profile, inside=False) if p.y > 0.0] + draw.mouths_of(profile)
    edges = [Stroke((Line(Point(p.x, 0.0), Point(p.x, -p.y)),)) for p in places]
    strokes = (*upper, *draw.other_half(lower), *edges, draw.centre_line(profile))
    return View(strokes, (profile.segments,) if hatched else ())


@pytest.mark.parametrize("hole", [hole for hole in HOLES if hole != "solid"])
@pytest.mark.parametrize("hatched", [True, False])
@pytest.mark.parametrize("hidden", [True, False])
@pytest.mark.parametrize("below", [True, False])
def test_the_cut_half_gives_the_hole(hole, hatched, hidden, below):
    """With or without hatch, cut above or below: the half with the hole is used, and nothing is said about
    the difference that a half-section shows by design."""
    profile = random_profile(random.Random(HOLES.index(hole) + 70), hole)
    view = _half_section(profile, hatched, hidden)
    options = DrawingOptions()
    clean = clean_drawing(drawing_of(BELOW.view(view) if below else view), options)
    found = build_contour(clean, options)
    assert_same_profile(found.profile, profile)
    assert found.view == "half-section"
    assert "contour/halves-differ" not in codes(found)


def test_halves_that_differ_outside_are_still_told():
    """A half-section whose outside view has another diameter than its cut half."""
    lower = chain([(0, 0), (0, -11), (-30, -11), (-30, 0)])
    found = contour(chain(RING, close=True) + lower + axis(5, -35))
    assert corners(found) == RING
    (finding,) = [f for f in found.findings if f.code == "contour/halves-differ"]
    assert finding.measured == pytest.approx(1.0)


def test_two_cut_halves_with_unlike_holes_are_told():
    """A section shows its hole twice; both must agree."""
    other = [(0.0, -5.0), (0.0, -10.0), (-30.0, -10.0), (-30.0, -5.0)]
    found = contour(chain(RING, close=True) + chain(other, close=True) + axis(5, -35))
    assert found.view == "section"
    assert codes(found) == ["contour/halves-differ"]


@pytest.mark.parametrize("place", [Place(), ELSEWHERE, Place(0.0, 1.0, x=33.0, y=71.0)])
@pytest.mark.parametrize("line", [axis(5, -35), chain([(5, 0), (-35, 0)]), []])
def test_a_plain_tube_in_section_is_two_rectangles(place, line):
    """No hatch, no edges; with a centre line, an ordinary one or none."""
    halves = chain(RING, close=True) + chain([(x, -r) for x, r in RING], close=True)
    found = contour(place.view(View(tuple(halves + line))).strokes)
    assert corners(found) == RING
    assert found.view == "section"


def test_an_ordinary_line_through_a_half_section_is_its_axis():
    """It ends free past both faces, and both sides are of one length and one diameter."""
    strokes = chain(RING, close=True) + chain(PLAIN_HALF) + chain([(2, 0), (-32, 0)])
    found = contour(ELSEWHERE.view(View(tuple(strokes))).strokes)
    assert corners(found) == RING
    assert codes(found) == ["contour/axis-through-line"]
