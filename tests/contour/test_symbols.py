"""Symbols and dimension lines that touch the outline of one half change nothing on it."""

from __future__ import annotations

import pytest

from tests.contour.sketch import axis, both, chain, codes, contour, corners

SHAFT = [(0, 0), (0, 5), (-12, 5), (-12, 9), (-40, 9), (-40, 0)]
AS_PROFILE = [(float(x), float(y)) for x, y in SHAFT]
FULL = both(SHAFT) + chain([(-12, 5), (-12, -5)]) + axis(5, -45)
TRIANGLE = [(-20, 9), (-24, 9), (-22, 12)]


@pytest.mark.parametrize("layer", ["PART", "NOTES"])
@pytest.mark.parametrize("sign", [1, -1])
def test_a_datum_triangle_stands_on_the_outline(layer, sign):
    """On either half, in the outline's own style or another: the outline runs on beneath it."""
    triangle = chain([(x, sign * r) for x, r in TRIANGLE], layer, close=True)
    stem = chain([(-22, sign * 12), (-22, sign * 18)], layer)
    assert corners(contour(FULL + triangle + stem)) == AS_PROFILE


def test_a_datum_triangle_on_a_half_profile():
    """There is no other half to hold it against; its shape tells."""
    half = chain(SHAFT) + axis(5, -45)
    assert corners(contour(half + chain(TRIANGLE, "NOTES", close=True))) == AS_PROFILE


def test_dimension_lines_from_the_corners_bound_nothing():
    """An exploded dimension whose extension lines start on the corners closes a box above the outline."""
    lines = chain([(0, 5), (0, 21)], "NOTES") + chain([(-40, 9), (-40, 21)], "NOTES")
    lines += chain([(0, 20), (-40, 20)], "NOTES")
    found = contour(FULL + lines)
    assert corners(found) == AS_PROFILE
    assert codes(found) == []


def test_a_collar_on_both_halves_is_part_of_the_outline():
    """A rectangle on a shaft whose line runs on beneath it, drawn above and below: no symbol."""
    collar = both([(-20, 9), (-20, 12), (-26, 12), (-26, 9)])
    found = contour(FULL + collar)
    assert found.profile is not None
    assert found.profile.max_radius == pytest.approx(12.0)
