"""Drawings that give no contour: each says what is wrong, where, and what to do."""

from __future__ import annotations

import pytest

from dxf2turn.findings import Severity
from dxf2turn.geometry.point import Point
from dxf2turn.options import DrawingOptions, Tolerances
from tests.contour.sketch import axis, both, chain, codes, contour, corners

SHAFT = [(0, 0), (0, 5), (-12, 5), (-12, 9), (-40, 9), (-40, 0)]
AS_PROFILE = [(0.0, 0.0), (0.0, 5.0), (-12.0, 5.0), (-12.0, 9.0), (-40.0, 9.0), (-40.0, 0.0)]


def _with_gap(width: float):
    return chain([(0, 0), (0, 5), (-12, 5), (-12, 9 - width)]) + chain([(-12, 9), (-40, 9), (-40, 0)])


def test_a_gap_within_the_tolerance_is_closed_and_reported():
    """0.008 mm are joined; the repair names both entities and how far the end moved."""
    found = contour(_with_gap(0.008) + axis(5, -45))
    assert corners(found) == AS_PROFILE


def test_a_gap_above_the_tolerance_names_both_ends_and_the_distance():
    """0.3 mm stop the job: two handles, the place, the width and the limit."""
    found = contour(_with_gap(0.3) + axis(5, -45))
    (stop,) = found.findings
    assert (stop.code, stop.severity) == ("contour/open-gap", Severity.STOP)
    assert stop.measured == pytest.approx(0.3)
    assert stop.limit == 0.01
    assert len(stop.where.handles) == 2
    assert stop.where.drawing_xy in (Point(-12, 8.7), Point(-12, 9))


def test_the_gap_option_allows_a_wider_gap():
    """--gap 0.5 closes 0.3 mm."""
    options = DrawingOptions(tolerances=Tolerances(gap=0.5))
    assert corners(contour(_with_gap(0.3) + axis(5, -45), options)) == AS_PROFILE


def test_a_gap_behind_an_edge_across_is_not_overlooked():
    """A half side view: with the gap the outline would run along the edge across; that is a stop."""
    found = contour(_with_gap(0.3) + chain([(-12, 5), (-12, 0)]) + axis(5, -45))
    assert found.profile is None
    assert set(codes(found)) == {"contour/open-gap"}


def test_an_open_half_gives_way_to_the_closed_one():
    """In a full view with a gap in the upper half the lower one is used; a finding says so."""
    lower = chain([(x, -y) for x, y in SHAFT])
    found = contour(_with_gap(0.3) + lower + chain([(-12, 5), (-12, -5)]) + axis(5, -45))
    assert corners(found) == AS_PROFILE
    assert "contour/open-half" in codes(found)


def test_a_missing_end_face_is_not_overlooked():
    """A full view whose back face is not drawn would end at the last edge across: a finding says so."""
    edges = chain([(0, 5), (0, -5)]) + chain([(-12, 9), (-12, -9)]) + chain([(-39, 9), (-39, -9)])
    found = contour(both([(0, 5), (-12, 5)]) + both([(-12, 9), (-40, 8.5)]) + edges + axis(5, -45))
    assert "contour/running-on" in codes(found) or found.profile is None


def test_an_outline_that_stops_short_of_its_centre_line_is_named():
    """A half profile drawn 0.3 mm above its centre line: both ends with their distance."""
    found = contour(chain([(x, y + 0.3) for x, y in SHAFT]) + axis(5, -45))
    assert codes(found) == ["contour/loose-end", "contour/loose-end"]
    assert [finding.measured for finding in found.findings] == pytest.approx([0.3, 0.3])


def test_an_outline_that_curls_into_itself_stops_at_the_crossing():
    """A loop inside the outline: the place of the crossing is named."""
    knot = [(0, 0), (0, 8), (-20, 4), (-10, 4), (-10, 9), (-40, 9), (-40, 0)]
    found = contour(chain(knot) + axis(5, -45))
    assert found.profile is None
    assert codes(found) == ["contour/self-crossing"]
    assert found.findings[0].where.drawing_xy == Point(-10.0, 6.0)


def test_an_outline_that_crosses_over_stops_at_the_crossing():
    """Two corners in the wrong order: the outline runs like an eight."""
    eight = [(0, 0), (0, 8), (-20, 8), (-10, 2), (-10, 12), (-40, 12), (-40, 0)]
    found = contour(chain(eight) + axis(5, -45))
    assert found.profile is None
    assert "contour/self-crossing" in codes(found)
    assert Point(-10.0, 8.0) in [f.where.drawing_xy for f in found.findings]


def test_a_half_profile_across_its_centre_line_stops():
    """A closed outline that reaches to both sides without being symmetrical."""
    points = [(0, -2), (0, 5), (-12, 5), (-12, 9), (-40, 9), (-40, -2)]
    found = contour(chain(points, close=True) + axis(5, -45))
    assert found.profile is None
    assert set(codes(found)) == {"contour/across-axis"}
    places = sorted(f.where.drawing_xy for f in found.findings if f.where.drawing_xy is not None)
    assert places == [pytest.approx((-40, 0)), pytest.approx((0, 0))]


def test_nothing_to_turn_is_said():
    """A few loose lines are no outline."""
    found = contour(chain([(0, 0), (10, 0)]) + chain([(3, 7), (9, 12)]))
    assert codes(found) == ["contour/no-outline"]


def test_several_parts_are_listed_for_the_user_to_choose():
    """Two shafts on one centre line: a stop with places and sizes; --part takes one of them."""
    second = [(x - 100, y) for x, y in SHAFT]
    strokes = both(SHAFT) + both(second) + axis(5, -150)
    found = contour(strokes)
    assert codes(found) == ["contour/several-parts"]
    assert [(c.number, c.length, c.max_diameter_mm) for c in found.candidates] == [
        (1, 40.0, 18.0),
        (2, 40.0, 18.0),
    ]
    chosen = contour(strokes, DrawingOptions(part=2))
    assert corners(chosen) == AS_PROFILE
    assert chosen.frame is not None and chosen.frame.origin.x in (0.0, -100.0)


def test_a_part_number_that_is_not_there_is_refused_with_the_list():
    """--part 3 of two."""
    found = contour(
        both(SHAFT) + both([(x - 100, y) for x, y in SHAFT]) + axis(5, -150), DrawingOptions(part=3)
    )
    assert codes(found) == ["contour/several-parts"]
    assert "no part 3" in found.findings[0].text


def test_a_layer_chooses_what_the_outline_is_made_of():
    """Two parts drawn into each other on their own layers."""
    inner = chain([(10, 0), (10, 3), (-60, 3), (-60, 0)], "THIN")
    found = contour(both(SHAFT) + inner + axis(15, -65), DrawingOptions(layers=("part",)))
    assert corners(found) == AS_PROFILE


def test_an_absurd_size_stops():
    """A part of 60 m length is no turned part."""
    found = contour(chain([(x * 1500.0, y * 1500.0) for x, y in SHAFT]) + axis(7500, -75000))
    assert "contour/absurd-size" in codes(found)
    assert found.profile is None
