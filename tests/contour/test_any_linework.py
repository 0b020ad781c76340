"""Whatever is drawn gives a proven profile or a reason: never a crash, never a silent nothing."""

from __future__ import annotations

import random

from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.cleaning.clean import clean_drawing
from dxf2turn.contour.build import build_contour
from dxf2turn.findings import stops
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line, arc_through, circle_arcs
from dxf2turn.options import DrawingOptions
from tests import strokes as draw
from tests.drawn import drawing_of
from tests.random_parts import random_profile
from tests.strokes import Stroke, View

BULGES = (0.0, 0.0, 0.0, 0.4142135623730951, -0.41421356, 1.0, 0.2, -2.0)
VIEWS = (draw.full_view, draw.half_lines, draw.section, draw.half_section)


def scribble(rng: random.Random) -> list[Stroke]:
    """Lines and arcs between points of a coarse grid: many meet, cross and run on each other."""
    grid = rng.choice((1.0, 2.5, 10.0))
    strokes = []
    for _ in range(rng.randint(1, 25)):
        a, b = (Point(rng.randint(-8, 8) * grid, rng.randint(-6, 6) * grid) for _ in range(2))
        if a != b:
            piece = arc_through(a, b, rng.choice(BULGES))
            strokes.append(Stroke((piece,), rng.choice(("PART", "PART", "HIDDEN", "THIN"))))
    if rng.random() < 0.3:
        strokes += [Stroke((arc,)) for arc in circle_arcs(Point(0.0, 0.0), grid * rng.randint(1, 3))]
    if rng.random() < 0.4:
        strokes.append(Stroke((Line(Point(-9.0 * grid, 0.0), Point(9.0 * grid, 0.0)),), "AXIS"))
    return strokes


def torn(rng: random.Random) -> list[Stroke]:
    """A view of a part with some strokes missing, some dirt, and a few strokes that do not belong."""
    profile = random_profile(rng)
    view = rng.choice(VIEWS)(profile)
    strokes = list(view.strokes)
    for _ in range(rng.randint(1, 4)):
        if len(strokes) > 1:
            strokes.pop(rng.randrange(len(strokes)))
    for _ in range(rng.randint(0, 3)):
        a, b = (Point(rng.uniform(-40, 10), rng.uniform(-30, 30)) for _ in range(2))
        strokes.append(Stroke((arc_through(a, b, rng.choice((0.0, 0.3))),)))
    if rng.random() < 0.5:
        strokes = list(draw.dirty(View(tuple(strokes)), rng, rng.choice((0.003, 0.02))).strokes)
    if rng.random() < 0.7:
        strokes.append(draw.centre_line(profile))
    return strokes


@settings(derandomize=True, max_examples=120, deadline=None)
@given(st.integers(0, 10**6), st.booleans())
def test_any_linework_gives_a_profile_or_a_stop(seed, is_part):
    """build_contour proves its profile itself; without one a finding stops the job and says why."""
    rng = random.Random(seed)
    strokes = torn(rng) if is_part else scribble(rng)
    options = DrawingOptions()

    found = build_contour(clean_drawing(drawing_of(View(tuple(strokes))), options), options)

    if found.profile is None:
        assert stops(found.findings)
        assert all(finding.text and finding.hint for finding in stops(found.findings))
    else:
        assert not stops(found.findings)
