"""Views from drawing offices: no centre line, no hatch, hatching in lines, axis in pieces, stray lines."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

import pytest
import shapely

from dxf2turn.cleaning.clean import clean_drawing
from dxf2turn.contour.build import build_contour
from dxf2turn.contour.model import Profile
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import polygon
from dxf2turn.geometry.segment import Line
from dxf2turn.options import DrawingOptions
from tests import strokes as draw
from tests.drawn import EXACT, assert_same_profile, drawing_of
from tests.random_parts import HOLES, random_profile
from tests.strokes import Place, Stroke, View

DIRT = 0.015  # mm, of dirty() and what joining makes of it


def _line(x0: float, y0: float, x1: float, y1: float, layer: str = "PART") -> Stroke:
    return Stroke((Line(Point(x0, y0), Point(x1, y1)),), layer)


def _with_axis(view: View, profile: Profile) -> View:
    return View((*view.strokes, draw.centre_line(profile)), view.hatches)


def section_without_hatch(profile: Profile, rng: random.Random) -> View:
    return _with_axis(View(draw.section(profile).strokes), profile)


def section_without_hatch_or_axis(profile: Profile, rng: random.Random) -> View:
    return View(draw.section(profile).strokes)


def half_section_off_the_origin_without_axis(profile: Profile, rng: random.Random) -> View:
    return Place(x=33.0, y=-60.0).view(draw.half_section(profile))


def upright_view_without_axis(profile: Profile, rng: random.Random) -> View:
    return Place(0.0, 1.0, x=70.0, y=11.0).view(draw.full_view(profile))


def ordinary_line_as_axis(profile: Profile, rng: random.Random) -> View:
    axis = replace(draw.centre_line(profile), layer="PART")
    return View((*draw.full_view(profile).strokes, axis))


def dashed_line_as_axis(profile: Profile, rng: random.Random) -> View:
    axis = replace(draw.centre_line(profile), layer="HIDDEN")
    return View((*draw.half_lines(profile).strokes, axis))


def axis_in_pieces(profile: Profile, rng: random.Random) -> View:
    step = (profile.length + 8.0) / 5.0
    dashes = [_line(4.0 - i * step, 0.0, 4.0 - i * step - 0.7 * step, 0.0, "AXIS") for i in range(5)]
    return View((*draw.half_lines(profile).strokes, *dashes))


def exploded_dimension(profile: Profile, rng: random.Random) -> View:
    """Extension lines that start just off the corners, the dimension line and its arrows as single lines."""
    top, back = profile.max_radius, -profile.length
    lines = [_line(z, top + 1.0, z, top + 14.0, "NOTES") for z in (0.0, back)]
    lines.append(_line(0.0, top + 12.0, back, top + 12.0, "NOTES"))
    for z, sign in ((0.0, -1.0), (back, 1.0)):
        lines += [_line(z, top + 12.0, z + 2.5 * sign, top + 12.0 + d, "NOTES") for d in (0.4, -0.4)]
    view = _with_axis(draw.full_view(profile), profile)
    return View((*view.strokes, *lines))


def hatching_in_lines(profile: Profile, rng: random.Random) -> View:
    """Both halves hatched with slanted lines 2.5 mm apart, cut to the outline by shapely."""
    strokes = list(draw.section(profile).strokes)
    for mirror in (1.0, -1.0):
        wall = polygon(profile.segments, 0.01)
        low, _, high, top = wall.bounds
        for step in range(int((high - low + top) / 2.5) + 1):
            x = low - top + 2.5 * step
            cut = wall.intersection(shapely.LineString([(x, 0.0), (x + top, top)]))
            for piece in getattr(cut, "geoms", [cut]):
                if piece.length > 0.5:
                    (ax, ay), (bx, by) = piece.coords[0], piece.coords[-1]
                    strokes.append(_line(ax, mirror * ay, bx, mirror * by, "SECTION"))
    return _with_axis(View(tuple(strokes)), profile)


def dirty_section(profile: Profile, rng: random.Random) -> View:
    return _with_axis(draw.dirty(draw.section(profile), rng), profile)


def dirty_view_without_axis(profile: Profile, rng: random.Random) -> View:
    return draw.dirty(draw.full_view(profile), rng)


WAYS: tuple[tuple[Callable[[Profile, random.Random], View], float], ...] = (
    (section_without_hatch, EXACT),
    (section_without_hatch_or_axis, EXACT),
    (half_section_off_the_origin_without_axis, EXACT),
    (upright_view_without_axis, EXACT),
    (ordinary_line_as_axis, EXACT),
    (dashed_line_as_axis, EXACT),
    (axis_in_pieces, EXACT),
    (exploded_dimension, EXACT),
    (hatching_in_lines, EXACT),
    (dirty_section, DIRT),
    (dirty_view_without_axis, DIRT),
)


@pytest.mark.parametrize("hole", HOLES)
@pytest.mark.parametrize(("way", "tolerance"), WAYS, ids=lambda value: getattr(value, "__name__", None))
def test_the_contour_comes_out_of(way, tolerance, hole):
    """The same contour as the profile that was drawn, whatever is missing or too much."""
    seed = HOLES.index(hole) + 40
    profile = random_profile(random.Random(seed), hole)
    options = DrawingOptions()
    clean = clean_drawing(drawing_of(way(profile, random.Random(seed))), options)
    found = build_contour(clean, options)
    assert_same_profile(found.profile, profile, tolerance)
