"""One part drawn in many ways, through a DXF file: always the same contour."""

from __future__ import annotations

import random

import pytest

from dxf2turn.cleaning.clean import clean_drawing
from dxf2turn.contour.build import build_contour
from dxf2turn.reading.read import read_drawing
from tests.builders import WAYS, assert_same_profile, build
from tests.random_parts import HOLES, random_profile

VIEWS = {
    "full view": "full",
    "full view without centre line": "full",
    "half lines": "half",
    "half-section": "half-section",
    "section": "section",
    "sheet": "full",
}


@pytest.mark.parametrize("hole", HOLES)
@pytest.mark.parametrize("way", WAYS)
def test_the_same_part_gives_the_same_contour(way, hole):
    """Exact drawings to 1e-6 mm, fitted splines to 0.002 mm, dirty ones within their dirt."""
    seed = HOLES.index(hole) + 11
    profile = random_profile(random.Random(seed), hole)
    built = build(profile, way, seed)
    drawing = read_drawing(built.data, built.name, built.options)

    contour = build_contour(clean_drawing(drawing, built.options), built.options)

    assert_same_profile(contour.profile, profile, built.tolerance)
    if way in VIEWS and hole != "solid":
        assert contour.view == VIEWS[way]
