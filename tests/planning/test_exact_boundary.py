"""From rings of polygons back to exact pieces."""

from __future__ import annotations

import math

import numpy as np

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import flatten_segment
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.planning.tool_space.exact_boundary import trace
from dxf2turn.planning.work import SAGITTA

CENTRE = Point(0.0, 0.0)


def on(angle: float, radius: float) -> Point:
    """A place on a circle about the origin; the angle in degrees."""
    return Point(radius * math.cos(math.radians(angle)), radius * math.sin(math.radians(angle)))


def arc(first: float, last: float, radius: float) -> Arc:
    """A counter-clockwise arc about the origin."""
    return Arc(on(first, radius), on(last, radius), CENTRE, False)


def ring_of(*segments: Segment) -> np.ndarray:
    """The corners of a closed run of segments, arcs as chords."""
    return np.asarray([p for s in segments for p in flatten_segment(s, SAGITTA)[:-1]])


def test_a_straight_side_between_two_places_of_an_arc_stays_straight() -> None:
    """An edge of a tool that bridges 0.005 mm of a hollow is no piece of the hollow's arc."""
    radius, chord = 17.8, Line(on(90.0, 17.8), on(92.8, 17.8))
    assert 0.005 < radius * (1.0 - math.cos(math.radians(1.4))) < 0.006
    curve = arc(60.0, 130.0, radius)
    back = Line(curve.end, curve.start)
    pieces = trace(
        ring_of(curve.part(0.0, 3.0 / 7.0), chord, arc(92.8, 130.0, radius), back), [curve, chord, back]
    )
    assert [p.curve for p in pieces] == [0, 1, 0, 2]
    assert math.dist(pieces[1].path.end, chord.end) < 1e-6


def test_an_arc_that_goes_on_past_the_end_of_its_curve_is_kept() -> None:
    """A piece that is some degrees longer than its curve is no whole circle turned round by rounding."""
    curve = arc(0.0, 90.0, 0.7)
    longer = arc(0.0, 95.2, 0.7)
    back = Line(longer.end, longer.start)
    pieces = trace(ring_of(longer, back), [curve, back])
    assert [type(p.path) for p in pieces] == [Arc, Line]
    assert abs(pieces[0].path.length - longer.length) < 1e-6
