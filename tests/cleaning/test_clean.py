"""Dirt in drawings: what is cut, joined, dropped, and what is said about it."""

from __future__ import annotations

import math
import random
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.cleaning.clean import clean_drawing
from dxf2turn.cleaning.model import CleanDrawing
from dxf2turn.findings import Severity
from dxf2turn.geometry.crossing import crossings
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.options import DrawingOptions, Tolerances
from dxf2turn.reading.model import Role
from tests import strokes as draw
from tests.builders import drawing_of
from tests.random_parts import random_profile
from tests.strokes import Stroke, View

AS_DRAWN = DrawingOptions()


def line(x0: float, y0: float, x1: float, y1: float, layer: str = "PART") -> Stroke:
    return Stroke((Line(Point(x0, y0), Point(x1, y1)),), layer)


def clean(*strokes: Stroke, options: DrawingOptions = AS_DRAWN) -> CleanDrawing:
    return clean_drawing(drawing_of(View(strokes)), options)


def ends(found: CleanDrawing) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Both ends of each piece, rounded, in a stable order."""
    return sorted(
        tuple(
            sorted(
                (round(p.x, 6) + 0.0, round(p.y, 6) + 0.0) for p in (piece.segment.start, piece.segment.end)
            )
        )
        for piece in found.pieces
    )  # type: ignore[return-value]


def test_crossing_lines_are_cut_at_the_crossing():
    """Each of two crossing lines becomes two pieces with one common end."""
    found = clean(line(0, 0, 4, 4), line(0, 4, 4, 0))
    assert Counter(end for piece in ends(found) for end in piece)[(2.0, 2.0)] == 4
    assert not found.repairs


def test_a_line_that_ends_on_another_cuts_it():
    """A T-junction: the crossed line has a vertex there, equal to the last bit."""
    found = clean(line(0, 0, 10, 0), line(4, 0, 4, 5))
    assert ends(found) == [((0, 0), (4, 0)), ((4, 0), (4, 5)), ((4, 0), (10, 0))]


def test_a_gap_at_a_corner_is_closed_where_the_lines_would_cross():
    """Both lines stop short: both are lengthened to the true corner, and the repair says how far."""
    found = clean(line(0, 0, 9.996, 0), line(10, 0.003, 10, 5))
    assert ends(found) == [((0, 0), (10, 0)), ((10, 0), (10, 5))]
    (repair,) = found.repairs
    assert repair.code == "cleaning/joined-gap"
    assert repair.moved == pytest.approx(0.004)
    assert set(repair.handles) == {"20", "21"}
    assert repair.at == Point(10.0, 0.0)


def test_an_overshoot_is_cut_off():
    """What runs past the corner by less than the gap goes, with its length."""
    found = clean(line(0, 0, 10.004, 0), line(10, 0, 10, 5))
    assert ends(found) == [((0, 0), (10, 0)), ((10, 0), (10, 5))]
    assert [(r.code, round(r.moved, 6)) for r in found.repairs] == [("cleaning/overshoot", 0.004)]


def test_an_arc_meets_the_line_it_runs_out_of_at_the_touch():
    """A fillet that ends 0.003 mm away from its line: both end at the tangent point."""
    arc = Arc(Point(10.0, 0.003), Point(12.0, 2.0), Point(10.0, 2.0), False)
    found = clean(line(0, 0, 9.998, 0), Stroke((arc,)))
    joint = Counter(p for piece in found.pieces for p in (piece.segment.start, piece.segment.end))
    place = next(p for p, count in joint.items() if count == 2)
    assert place.distance(Point(10.0, 0.0)) < 0.004
    straight = next(piece.segment for piece in found.pieces if isinstance(piece.segment, Line))
    assert straight.start.y == pytest.approx(0.0, abs=1e-9)
    assert straight.end.y == pytest.approx(0.0, abs=1e-9)


def test_a_gap_wider_than_the_tolerance_stays_open():
    """Nothing is ever moved further than the gap tolerance."""
    found = clean(line(0, 0, 9.9, 0), line(10, 0, 10, 5))
    assert not found.repairs
    assert ends(found) == [((0, 0), (9.9, 0)), ((10, 0), (10, 5))]


def test_very_short_pieces_are_not_collapsed():
    """A closed outline of pieces far shorter than the gap keeps its shape: only free ends are moved."""
    ring = [(0.02 * math.cos(k * math.pi / 8), 0.02 * math.sin(k * math.pi / 8)) for k in range(16)]
    strokes = [line(*a, *b) for a, b in zip(ring, ring[1:] + ring[:1])]
    assert len(clean(*strokes).pieces) == 16


def test_doubles_are_dropped_with_both_handles():
    """The same line drawn twice, once the other way round."""
    found = clean(line(0, 0, 10, 0), line(10, 0, 0, 0))
    assert len(found.pieces) == 1
    (repair,) = found.repairs
    assert repair.code == "cleaning/double"
    assert set(repair.handles) == {"20", "21"}


def test_a_near_double_is_dropped_with_its_distance():
    """A copy 0.0001 mm beside a line."""
    found = clean(line(0, 0, 10, 0), line(0, 0.0001, 10, 0.0001))
    assert len(found.pieces) == 1
    assert found.repairs[0].moved == pytest.approx(0.0001)


def test_overlapping_lines_become_one_without_double_stretch():
    """0..10 and 8..20 on one line: no stretch is there twice."""
    found = clean(line(0, 0, 10, 0), line(20, 0, 8, 0))
    assert ends(found) == [((0, 0), (8, 0)), ((8, 0), (10, 0)), ((10, 0), (20, 0))]


def test_an_outline_stays_before_a_hidden_line_on_it():
    """Of an outline and a dashed line at the same place the outline is kept."""
    found = clean(line(0, 0, 10, 0, "HIDDEN"), line(0, 0, 10, 0))
    assert [piece.role for piece in found.pieces] == [Role.OUTLINE]


def test_pieces_without_length_are_dropped():
    """A line of 0.00005 mm is dirt."""
    found = clean(line(0, 0, 10, 0), line(10, 0, 10.00005, 0))
    assert len(found.pieces) == 1
    assert found.repairs[0].code == "cleaning/tiny-piece"


def test_an_edge_that_ends_just_beside_a_corner_does_not_move_it():
    """The corner where two outlines end stays exact; the edge across comes to it."""
    found = clean(line(0, 0, 10, 1), line(10, 1, 12, -3), line(9.997, 0.9997, 9.997, -5))
    assert Point(10.0, 1.0) in {piece.segment.end for piece in found.pieces} | {
        piece.segment.start for piece in found.pieces
    }


def test_strict_makes_every_repair_a_stop():
    """--strict: the repair's place and text as a finding that ends the job."""
    found = clean(line(0, 0, 9.996, 0), line(10, 0, 10, 5), options=DrawingOptions(strict=True))
    assert [f.severity for f in found.findings] == [Severity.STOP]
    assert found.findings[0].where.drawing_xy == Point(10.0, 0.0)


def test_inch_drawings_are_brought_to_mm():
    """Coordinates times 25.4, repairs back in drawing coordinates."""
    drawing = drawing_of(View((line(0, 0, 2, 0),)), insunits=1, measurement=0)
    (piece,) = clean_drawing(drawing, AS_DRAWN).pieces
    assert piece.segment.end == Point(50.8, 0.0)


@settings(derandomize=True, max_examples=20, deadline=None)
@given(st.integers(0, 10**6))
def test_pieces_meet_at_their_ends_only(seed):
    """After cleaning a dirty full view no two pieces cross or touch away from their ends."""
    rng = random.Random(seed)
    view = draw.dirty(draw.full_view(random_profile(rng)), rng)
    found = clean_drawing(drawing_of(view), AS_DRAWN)
    segments: list[Segment] = [piece.segment for piece in found.pieces]
    for i, a in enumerate(segments):
        for b in segments[:i]:
            for point in crossings(a, b, 1e-9):
                near = [e for e in (a.start, a.end, b.start, b.end) if e.distance(point) < 1e-4]
                tangent = abs(a.tangent_at(0.5).cross(b.tangent_at(0.5))) < 0.2
                assert near or tangent, (a, b, point)


def test_gap_option_is_the_limit_of_all_moves():
    """With a gap of 0.1 mm an end moves 0.09 mm, not 0.11 mm."""
    options = DrawingOptions(tolerances=Tolerances(gap=0.1))
    assert clean(line(0, 0, 9.91, 0), line(10, 0, 10, 5), options=options).repairs
    assert not clean(line(0, 0, 9.89, 0), line(10, 0, 10, 5), options=options).repairs
