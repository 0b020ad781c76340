"""What must not matter to a contour, and what its volume and area are by other libraries."""

from __future__ import annotations

import math
import random

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from dxf2turn.cleaning.clean import clean_drawing
from dxf2turn.contour.build import build_contour
from dxf2turn.contour.frame import to_drawing, to_part
from dxf2turn.geometry.path import signed_area
from dxf2turn.geometry.region import flatten
from dxf2turn.geometry.segment import Line
from dxf2turn.options import DrawingOptions
from tests import strokes as draw
from tests.builders import assert_same_profile, drawing_of
from tests.random_parts import random_profile
from tests.strokes import Place, View

AS_DRAWN = DrawingOptions()


def _contour(view: View):
    return build_contour(clean_drawing(drawing_of(view), AS_DRAWN), AS_DRAWN)


def _with_axis(view: View, profile) -> View:
    return View((*view.strokes, draw.centre_line(profile)), view.hatches)


@settings(derandomize=True, max_examples=25, deadline=None)
@given(st.integers(0, 10**6))
def test_order_direction_splits_and_place_do_not_matter(seed):
    """Shuffled, reversed, split and moved entities give the contour of the drawn profile."""
    rng = random.Random(seed)
    profile = random_profile(rng)
    view = _with_axis(draw.split(draw.shuffled(draw.half_lines(profile), rng), rng), profile)
    place = Place(x=rng.uniform(-500, 500), y=rng.uniform(-500, 500), mirrored=rng.random() < 0.5)

    found = _contour(place.view(view))

    assert_same_profile(found.profile, profile)


@settings(derandomize=True, max_examples=15, deadline=None)
@given(st.integers(0, 10**6))
def test_a_half_and_a_full_view_give_one_contour(seed):
    """The half profile and the full view with edges across, hole as hidden lines, agree."""
    rng = random.Random(seed)
    profile = random_profile(rng)

    found = _contour(_with_axis(draw.shuffled(draw.full_view(profile), rng), profile))

    assert_same_profile(found.profile, profile)
    assert found.view == "full"


@settings(derandomize=True, max_examples=10, deadline=None)
@given(st.integers(0, 10**6))
def test_volume_and_area_agree_with_scipy_and_shapely(seed):
    """Volume by SciPy's quadrature of pi r^2 dz, area by shapely's polygon of a fine chain, both to 1e-6."""
    profile = random_profile(random.Random(seed))

    found = _contour(_with_axis(draw.half_lines(profile), profile)).profile

    assert found is not None
    volume = abs(math.fsum(_slice(segment) for segment in found.segments))
    assert found.volume == pytest.approx(volume, rel=1e-6)
    polygon = shapely.Polygon(flatten(profile.segments, 1e-7))
    assert signed_area(found.segments) == pytest.approx(polygon.area, rel=1e-6)


def _slice(segment) -> float:
    """Integral of pi r^2 dz along one segment."""
    if isinstance(segment, Line):
        (z0, r0), (z1, r1) = segment.start, segment.end
        return quad(lambda t: math.pi * (r0 + (r1 - r0) * t) ** 2 * (z1 - z0), 0.0, 1.0)[0]

    def at(u: float) -> float:
        z_rate = -segment.radius * math.sin(u)
        return math.pi * (segment.centre.y + segment.radius * math.sin(u)) ** 2 * z_rate

    return quad(at, segment.start_angle, segment.start_angle + segment.sweep)[0]


@settings(derandomize=True, max_examples=15, deadline=None)
@given(st.integers(0, 10**6))
def test_the_frame_leads_back_to_the_drawing(seed):
    """Every corner of the profile, sent through the frame, is a drawn point."""
    rng = random.Random(seed)
    profile = random_profile(rng)
    place = Place(0.6, 0.8, x=rng.uniform(-50, 50), y=rng.uniform(-50, 50), scale=1.0)
    view = place.view(_with_axis(draw.half_lines(profile), profile))
    drawn = [end for s in view.strokes for piece in s.segments for end in (piece.start, piece.end)]

    found = _contour(view)

    assert found.frame is not None and found.profile is not None
    for segment in found.profile.segments:
        there = to_drawing(found.frame, segment.start)
        back = to_part(found.frame, there)
        assert back.distance(segment.start) < 1e-9
        if segment.start.y > 0.0:
            assert min(there.distance(end) for end in drawn) < 1e-6
