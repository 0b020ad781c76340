"""Where the axis lies: centre lines, symmetry, a half profile's own edge, options; and where the front is."""

from __future__ import annotations

import pytest

from dxf2turn.errors import BadOptions
from dxf2turn.options import DrawingOptions
from tests.contour.sketch import axis, both, chain, codes, contour, corners
from tests.strokes import Place, View

STEPPED = [(0, 0), (0, 5), (-10, 5), (-10, 9), (-30, 9), (-30, 0)]
AS_PROFILE = [(0.0, 0.0), (0.0, 5.0), (-10.0, 5.0), (-10.0, 9.0), (-30.0, 9.0), (-30.0, 0.0)]
RING = [(0, 5), (0, 9), (-30, 9), (-30, 7), (-12, 7), (-12, 5)]


def test_a_centre_line_gives_the_axis_of_a_half_profile_with_a_bore():
    """The outline lies apart from its centre line: the space between is the bore."""
    found = contour(chain(RING, close=True) + axis(5, -35))
    assert corners(found) == [(0, 5), (0, 9), (-30, 9), (-30, 7), (-12, 7), (-12, 5)]
    assert found.profile is not None and not found.profile.is_solid
    assert codes(found) == []


@pytest.mark.parametrize("ends", [(-12, -18), (60, -90), (2, -1)])
def test_a_centre_line_may_be_shorter_or_longer_than_the_part(ends):
    """A piece of a centre line on the part is enough."""
    strokes = chain(STEPPED) + axis(*(ends if ends != (2, -1) else (3, -12)))
    assert corners(contour(strokes)) == AS_PROFILE


def test_an_open_half_profile_without_centre_line_turns_about_its_open_ends():
    """The line through both ends is the axis, and a finding says so."""
    found = contour(chain(STEPPED))
    assert corners(found) == AS_PROFILE
    assert codes(found) == ["contour/axis-open-ends"]


def test_edges_drawn_down_to_a_missing_centre_line_mark_the_axis():
    """Half a side view: the free ends of its edges all lie on the axis."""
    edges = chain([(-10, 5), (-10, 0)])
    assert corners(contour(chain(STEPPED) + edges)) == AS_PROFILE


def test_a_closed_half_profile_without_centre_line_turns_about_its_own_edge():
    """The straight edge along the whole length is the axis; the finding asks to check."""
    found = contour(chain(STEPPED, close=True))
    assert corners(found) == AS_PROFILE
    assert codes(found) == ["contour/axis-edge"]


def test_an_upright_half_profile_turns_about_its_left_edge():
    """The edge on the drawing's y axis; the top is the front."""
    points = [(y, x) for x, y in STEPPED]
    assert corners(contour(chain(points, close=True))) == AS_PROFILE


def test_a_bore_without_centre_line_is_taken_from_the_drawings_own_axis():
    """A closed outline with its face at x = 0 above the x axis: assumed, with a finding."""
    chamfered = [(0, 5.5), (0, 9), (-30, 9), (-30, 5.5), (-29.5, 5), (-0.5, 5)]
    found = contour(chain(chamfered, close=True))
    assert codes(found) == ["contour/axis-origin"]
    assert corners(found)[0] == (0.0, 5.5)


def test_a_bore_without_any_sign_of_an_axis_stops():
    """Nothing says where the axis lies: asked for, not guessed."""
    chamfered = [(50, 75.5), (50, 79), (40, 79), (40, 84), (20, 84), (20, 75.5), (20.5, 75), (49.5, 75)]
    found = contour(chain(chamfered, close=True))
    assert found.profile is None
    assert codes(found) == ["contour/no-axis"]


def test_the_axis_that_is_asked_for_wins():
    """--axis with two points, also where a centre line lies elsewhere."""
    strokes = chain([(x, y + 20) for x, y in RING], close=True) + axis(5, -35, y=10)
    found = contour(strokes, DrawingOptions(axis=(0.0, 20.0, 1.0, 20.0)))
    assert corners(found)[0] == (0.0, 5.0)


def test_two_equal_axis_points_are_refused():
    """--axis needs two different points."""
    with pytest.raises(BadOptions, match="--axis"):
        contour(chain(RING, close=True), DrawingOptions(axis=(1.0, 2.0, 1.0, 2.0)))


def test_symmetry_gives_the_axis_of_a_full_view():
    """Both halves with edges across and no centre line."""
    found = contour(both(STEPPED) + chain([(-10, 5), (-10, -5)]))
    assert corners(found) == AS_PROFILE
    assert found.view == "full"


def test_a_short_wide_part_is_told_by_its_edges_across():
    """A stepped disc: its many unlike edges stand across the axis, although it is wider than long."""
    disc = [(0, 0), (0, 8), (-4, 8), (-4, 20), (-9, 20), (-9, 12), (-12, 12), (-12, 0)]
    strokes = both(disc) + chain([(-4, 8), (-4, -8)]) + chain([(-9, 12), (-9, -12)])
    assert corners(contour(strokes))[1:3] == [(0.0, 8.0), (-4.0, 8.0)]


def test_vertical_asks_for_the_other_axis_of_a_doubly_symmetrical_view():
    """A plain rectangle is symmetrical both ways; the option decides."""
    rectangle = chain([(5, 3), (45, 3), (45, 23), (5, 23)], close=True)
    level = contour(rectangle, DrawingOptions(axis="horizontal")).profile
    upright = contour(rectangle, DrawingOptions(axis="vertical")).profile
    assert level is not None and upright is not None
    assert (level.length, level.max_radius) == (40.0, 10.0)
    assert (upright.length, upright.max_radius) == (20.0, 20.0)


def test_an_ordinary_line_along_the_symmetry_is_the_axis():
    """A continuous line on the axis, drawn on the outline's own layer."""
    found = contour(both(STEPPED) + chain([(8, 0), (-40, 0)]))
    assert corners(found) == AS_PROFILE


def test_an_ordinary_line_beside_a_half_profile_is_its_axis():
    """A bush whose axis is a continuous line apart from the outline."""
    moved = [(x + 100, y + 50) for x, y in RING]
    found = contour(chain(moved, close=True) + chain([(110, 50), (60, 50)]))
    assert corners(found)[0] == (0.0, 5.0)
    assert codes(found) == ["contour/axis-line"]


def test_a_centre_line_beside_the_symmetry_gives_way_to_it():
    """A centre line 0.2 mm off the middle of a full view: the symmetry is the axis, with a finding."""
    found = contour(both(STEPPED) + chain([(-10, 5), (-10, -5)]) + axis(5, -35, y=0.2))
    assert corners(found) == AS_PROFILE
    assert codes(found) == ["contour/axis-off-centre"]


def test_a_slanted_centre_line_is_followed():
    """The 3-4-5 direction: coordinates come out as drawn along the axis."""
    view = Place(0.8, 0.6, x=17.0, y=-4.0).view(View(tuple(chain(STEPPED) + axis(5, -35))))
    assert corners(contour(view.strokes)) == AS_PROFILE


def test_the_front_may_be_at_the_left():
    """--front left turns the part end for end, without mirroring its steps."""
    found = contour(chain(STEPPED) + axis(5, -35), DrawingOptions(front="left"))
    assert corners(found) == [(0, 0), (0, 9), (-20, 9), (-20, 5), (-30, 5), (-30, 0)]


def test_a_front_square_to_the_axis_is_refused():
    """--front top makes no sense for a level axis."""
    with pytest.raises(BadOptions, match="--front top"):
        contour(chain(STEPPED) + axis(5, -35), DrawingOptions(front="top"))


def test_of_two_centre_lines_the_one_about_which_the_inside_is_alike_is_the_axis():
    """A short part with the longer centre line of a cross hole; a blind hole tells them apart."""
    outline = both([(0, 0), (0, 20), (-16, 20), (-16, 0)])
    hole = chain([(0, 6), (-9, 6), (-9, -6), (0, -6)], "HIDDEN")
    found = contour(outline + hole + axis(4, -20) + chain([(-8, 26), (-8, -26)], "AXIS"))
    assert found.profile is not None
    assert (found.profile.length, found.profile.max_radius) == (pytest.approx(16.0), pytest.approx(20.0))
    assert not found.profile.is_solid or "inside" in found.profile.roles
