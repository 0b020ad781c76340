"""Parts drawn into each other on layers of their own: each is a candidate, and each comes out exactly."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dxf2turn.options import DrawingOptions
from tests.contour.sketch import both, chain, codes, contour, corners

SHAFT = [(0, 0), (0, 5), (-30, 5), (-30, 8), (-90, 8), (-90, 0)]
HOUSING = [(-20, 12), (-20, 25), (-60, 25), (-60, 12)]
BLANK = [(1, 0), (1, 10), (-91, 10), (-91, 0)]


def _on(layer, strokes):
    return [replace(stroke, layer=layer) for stroke in strokes]


def _shaft_in_housing():
    shaft = both(SHAFT) + chain([(-30, 8), (-30, -8)])
    ring = [*HOUSING, HOUSING[0]]
    housing = both(ring) + chain([(-20, 12), (-20, -12)]) + chain([(-60, 12), (-60, -12)])
    return _on("SHEET", shaft) + _on("PART", housing) + chain([(8, 0), (-98, 0)], "AXIS")


def _profile(points):
    front = max(x for x, _ in points)
    return [(float(x - front), float(r)) for x, r in points]


def test_parts_in_each_other_are_listed_with_their_layers():
    """The finding names the layer of each, and --layer as the way to choose."""
    found = contour(_shaft_in_housing())
    assert codes(found) == ["contour/several-parts"]
    (finding,) = found.findings
    assert [(c.length, c.max_diameter_mm, c.layer) for c in found.candidates] == [
        (40.0, 50.0, "PART"),
        (90.0, 16.0, "SHEET"),
    ]
    assert "on layer 'SHEET'" in finding.text and "--layer" in finding.hint


@pytest.mark.parametrize(
    ("options", "points"),
    [
        (DrawingOptions(part=1), HOUSING),
        (DrawingOptions(part=2), SHAFT),
        (DrawingOptions(layers=("SHEET",)), SHAFT),
        (DrawingOptions(layers=("part",)), HOUSING),
    ],
)
def test_each_of_them_comes_out_whole(options, points):
    """By number or by layer, as if the other one were not there."""
    assert corners(contour(_shaft_in_housing(), options)) == _profile(points)


def test_a_blank_around_a_part_is_a_candidate_of_its_own():
    """A rectangle with room all around on another layer: nobody can know which is meant."""
    found = contour(_on("SHEET", both(SHAFT) + chain([(-30, 8), (-30, -8)])) + both(BLANK))
    assert codes(found) == ["contour/several-parts"]
    assert sorted(c.max_diameter_mm for c in found.candidates) == [16.0, 20.0]


def test_an_outline_and_its_bore_on_two_layers_are_one_part():
    """The bore lies within the outline, from face to face."""
    outline = both([(0, 4), (0, 10), (-30, 10), (-30, 4)])
    bore = both([(0, 4), (-30, 4)]) + chain([(0, 4), (0, -4)]) + chain([(-30, 4), (-30, -4)])
    found = contour(outline + _on("SHEET", bore) + chain([(5, 0), (-35, 0)], "AXIS"))
    assert corners(found) == [(0.0, 4.0), (0.0, 10.0), (-30.0, 10.0), (-30.0, 4.0)]


def test_a_part_whose_ends_are_on_different_layers_is_one_part():
    """One behind the other is no part in another one."""
    front = chain([(0, -5), (0, 5), (-30, 5), (-30, -5), (0, -5)])
    back = both([(-30, 5), (-30, 8), (-90, 8), (-90, 0)]) + chain([(-30, 8), (-30, -8)])
    found = contour(_on("SHEET", front) + back + chain([(5, 0), (-95, 0)], "AXIS"))
    assert corners(found) == _profile(SHAFT)
