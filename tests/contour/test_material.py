"""Which faces are material: hatch, hidden lines, edges across, inner lines; slots, keyways, thread roots."""

from __future__ import annotations

import pytest

from dxf2turn.cleaning.clean import clean_drawing
from dxf2turn.contour.build import build_contour
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line, arc_through
from dxf2turn.options import DrawingOptions
from tests.builders import drawing_of
from tests.contour.sketch import axis, both, chain, codes, contour, corners
from tests.strokes import Stroke, View

BUSH = [(0.0, 4.0), (0.0, 10.0), (-30.0, 10.0), (-30.0, 6.0), (-12.0, 6.0), (-12.0, 4.0)]
SHELL = [(0, 4), (0, 10), (-30, 10), (-30, 6)]
BORE = [(-30, 6), (-12, 6), (-12, 4), (0, 4)]
SHAFT = [(0, 0), (0, 5), (-12, 5), (-12, 9), (-40, 9), (-40, 0)]


def _hatched(strokes, *hatches):
    outlines = tuple(
        tuple(Line(Point(*a), Point(*b)) for a, b in zip(run, (*run[1:], run[0]))) for run in hatches
    )
    options = DrawingOptions()
    return build_contour(clean_drawing(drawing_of(View(tuple(strokes), outlines)), options), options)


def _mirror(points):
    return [(x, -y) for x, y in points]


def _section() -> list:
    """Both halves of the bush cut open, with the edges of its bore across."""
    across = chain([(0, 4), (0, -4)]) + chain([(-12, 6), (-12, -6)]) + chain([(-30, 6), (-30, -6)])
    return chain(BUSH, close=True) + chain(_mirror(BUSH), close=True) + across + axis(5, -35)


def test_hatched_faces_are_the_material_of_a_section():
    """The faces between the bore's edges are not hatched: the bore."""
    found = _hatched(_section(), BUSH, _mirror(BUSH))
    assert corners(found) == BUSH
    assert found.view == "section"


def test_a_section_without_hatch_is_told_by_its_inner_lines():
    """No edge runs through the wall, so the part is cut open and the inner lines are its bore."""
    found = contour(_section())
    assert corners(found) == BUSH
    assert found.view == "section"


def test_a_thin_wall_is_hatched_although_it_covers_little():
    """A tube of 1 mm wall: its hatches cover a tenth of the view and still decide."""
    tube = [(0.0, 9.0), (0.0, 10.0), (-60.0, 10.0), (-60.0, 9.0)]
    across = chain([(0, 9), (0, -9)]) + chain([(-60, 9), (-60, -9)])
    strokes = chain(tube, close=True) + chain(_mirror(tube), close=True) + across + axis(5, -65)
    assert corners(_hatched(strokes, tube, _mirror(tube))) == tube


def test_hatching_drawn_as_single_lines_counts_as_hatch():
    """Slanted parallels at even distances: taken out of the outline, and they mark the wall."""
    lines = []
    for step in range(-30, 12):
        x = step * 1.5
        low, high = 6.0 if x - 0.5 < -12 else 4.0, 10.0
        a, b = max(x, -30.0), min(x + (high - low), 0.0)
        if b - a > 1.0 and a - x < 2.0 and b <= 0.0 and not (a < -12.0 < b):
            lines += chain([(a, low + (a - x)), (b, low + (b - x))], "SECTION")
    found = contour(_section() + lines)
    assert corners(found) == BUSH


def test_hidden_lines_are_a_hole_in_a_view_from_outside():
    """Edges across run over the whole view; the dashed lines between them are the bore."""
    strokes = both(SHELL[1:3]) + chain([(0, 10), (0, -10)]) + chain([(-30, 10), (-30, -10)]) + axis(5, -35)
    strokes += chain([(-5, 10), (-5, -10)])
    strokes += chain(BORE, "HIDDEN") + chain(_mirror(BORE), "HIDDEN")
    found = contour(strokes)
    assert corners(found) == BUSH
    assert found.view == "full"


def test_a_break_out_shows_a_hole_in_one_place():
    """A shaft from outside with a blind hole broken out and hatched around it."""
    hole = chain([(0, 2), (-9, 2), (-9, 0)])
    border = chain([(0, 2), (0, 3.5), (-10.5, 3.5), (-10.5, 0)])
    strokes = both(SHAFT) + chain([(-12, 5), (-12, -5)]) + axis(5, -45) + hole + border
    wall = [(0, 2), (0, 3.5), (-10.5, 3.5), (-10.5, 0), (-9, 0), (-9, 2)]
    found = _hatched(strokes, wall)
    assert corners(found)[-3:] == [(-40.0, 0.0), (-9.0, 0.0), (-9.0, 2.0)]


def test_a_notch_in_a_face_seen_from_outside_is_a_slot():
    """A screwdriver slot is left out of the contour and reported as work beyond turning."""
    slot = [(-40, 9), (-40, 1.25), (-37, 1.25), (-37, 0)]
    outline = [*SHAFT[:4], *slot]
    found = contour(both(outline) + chain([(-12, 5), (-12, -5)]) + axis(5, -45))
    assert corners(found) == [(float(x), float(y)) for x, y in SHAFT]
    assert "contour/slot" in codes(found)


def test_a_keyway_on_one_side_is_left_out():
    """The half with the keyway has less wall; the other one is used, and the difference is a finding."""
    ring = [(0.0, 10.0), (0.0, 20.0), (-30.0, 20.0), (-30.0, 10.0)]
    keyed = [(0, 13), (0, 20), (-30, 20), (-30, 13)]
    across = chain([(0, 13), (0, -10)]) + chain([(-30, 13), (-30, -10)])
    strokes = chain(keyed, close=True) + chain(_mirror(ring), close=True) + across + axis(5, -35)
    found = _hatched(strokes, keyed, _mirror(ring))
    assert corners(found) == ring
    finding = found.findings[0]
    assert finding.code == "contour/halves-differ"
    assert finding.measured == pytest.approx(3.0)


def test_thread_root_lines_outside_are_thin_lines():
    """Two lines inside the outline, parallel to the crest, from a face to an edge across (ISO 6410)."""
    strokes = both(SHAFT) + chain([(-12, 5), (-12, -5)]) + chain([(-10, 5), (-10, -5)]) + axis(5, -45)
    strokes += both([(0, 4.2), (-10, 4.2)])
    found = contour(strokes)
    assert corners(found) == [(float(x), float(y)) for x, y in SHAFT]
    (thin,) = found.thin_lines
    assert (thin.segment.start, thin.segment.end) == (Point(0.0, 4.2), Point(-10.0, 4.2))
    assert codes(found) == []


def test_a_thread_in_a_bore_is_drawn_further_out_than_its_wall():
    """The wall bounds the hole, the thin line beyond it is the thread's root; no hatch is needed."""
    ring = [(0.0, 8.5), (0.0, 20.0), (-30.0, 20.0), (-30.0, 8.5)]
    across = chain([(0, 8.5), (0, -8.5)]) + chain([(-30, 8.5), (-30, -8.5)])
    strokes = chain(ring, close=True) + chain(_mirror(ring), close=True) + across + axis(5, -35)
    strokes += both([(0, 10), (-30, 10)])
    found = contour(strokes)
    assert corners(found) == ring
    assert [round(line.segment.start.y, 6) for line in found.thin_lines] == [10.0]


def test_a_hexagon_is_kept_as_its_round_blank():
    """Four level lines at half and whole corner radius with curves at their ends: reported, not turned."""
    head = both([(0, 0), (0, 9), (-1, 10), (-8, 10), (-8, 4), (-30, 4), (-30, 0)])
    edges = both([(-1, 5), (-8, 5)]) + chain([(-8, 10), (-8, -10)])
    curve = Stroke((arc_through(Point(-1, -5), Point(-1, 5), -0.2),))
    found = contour(head + edges + [curve] + axis(5, -35))
    assert corners(found)[:4] == [(0.0, 0.0), (0.0, 9.0), (-1.0, 10.0), (-8.0, 10.0)]
    assert codes(found) == ["contour/hexagon"]
