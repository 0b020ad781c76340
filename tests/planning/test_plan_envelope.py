"""The exact upper envelope, against shapely's polygons (an independent general-purpose library)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import minkowski_sum, polygon
from dxf2turn.geometry.segment import Arc, Line, arc_through
from dxf2turn.planning.tool_space.envelope import at, envelope_of, ground, lower_chain, path, rest, under

SAGITTA = 1e-5
CLOSE = 2e-4  # chords of the independent polygons, and steep walls between two samples, mm


def closed(points: list[tuple[float, float]], bulges: dict[int, float] | None = None):
    """A closed profile from corners; bulges[i] belongs to the piece that starts at corner i."""
    corners = [Point(*p) for p in points]
    ends = corners[1:] + corners[:1]
    return tuple(arc_through(a, b, (bulges or {}).get(i, 0.0)) for i, (a, b) in enumerate(zip(corners, ends)))


GROOVED = closed(
    [
        (0, 0),
        (0, 10),
        (-8, 10),
        (-8.5, 9.5),
        (-8.5, 7.3),
        (-8.8, 7),
        (-12, 7),
        (-12, 12),
        (-20, 12),
        (-20, 0),
    ],
    {4: -math.tan(math.pi / 8), 7: math.tan(math.pi / 16)},
)


def top(shape, u: float) -> float:
    """Highest point of a polygon at u."""
    cut = shape.intersection(LineString([(u, -100), (u, 100)]))
    return cut.bounds[3] if not cut.is_empty else -math.inf


def test_highest_of_two_lines_breaks_at_their_crossing() -> None:
    """Two crossing lines give two spans that meet where the lines cross."""
    env = envelope_of([Line(Point(0, 0), Point(4, 4)), Line(Point(0, 3), Point(4, 1))])
    assert len(env) == 2
    assert env[0].u1 == pytest.approx(2.0)
    assert at(env, 2.0) == pytest.approx(2.0)


@pytest.mark.parametrize("grow", [0.0, 0.2, 0.4])
def test_ground_is_the_top_of_the_grown_polygon(grow: float) -> None:
    """The exact envelope of a grown profile is the upper side of shapely's buffer."""
    shape = polygon(GROOVED, SAGITTA).buffer(grow, quad_segs=256)
    env = ground(GROOVED, grow)
    for i in range(200):
        u = -19.97 + i * 0.0991
        assert at(env, u) == pytest.approx(top(shape, u), abs=CLOSE)


def test_finishing_path_keeps_true_arcs() -> None:
    """Rounded corners of the ground come out as arcs, not as chords."""
    arcs = [s for s in path(ground(GROOVED, 0.2)) if isinstance(s, Arc)]
    assert len(arcs) < 20
    assert any(arc.radius == pytest.approx(0.2) for arc in arcs)


@settings(derandomize=True, max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.3, 4), st.floats(2, 12), st.floats(-0.9, 0.9)), min_size=2, max_size=7),
    st.floats(0.5, 4),
    st.floats(-1, 1),
)
def test_tool_over_any_ground_agrees_with_the_minkowski_sum(
    steps: list[tuple[float, float, float]], width: float, lean: float
) -> None:
    """Over random profiles the exact envelope of a leaning blade is the top of part plus mirrored tool."""
    points, bulges, z = [(0.0, 0.0)], {}, 0.0
    for length, radius, bulge in steps:
        points.append((z, radius))
        bulges[len(points) - 1] = round(bulge * min(1.0, radius / length), 3)
        z -= length
    points += [(z, steps[-1][1]), (z, 0.0)]
    profile = closed(points, bulges)
    shape = polygon(profile, SAGITTA)
    if not shape.is_valid or shape.bounds[1] < -1e-9:
        return
    blade = [Point(0, 0), Point(width, lean), Point(width, 9), Point(0, 9)]
    reachable = minkowski_sum(shape, [(-p.x, -p.y) for p in blade])
    env = under(ground(profile, 0.0), lower_chain(blade))
    assert isinstance(shape, Polygon)
    for i in range(40):
        u = z - width + (width - z) * (i + 0.437) / 40
        exact = at(env, u)
        # A steep wall turns a small shift into a big height, so either neighbour may answer.
        low, high = sorted((top(reachable, u - CLOSE), top(reachable, u + CLOSE)))
        assert low - CLOSE <= exact <= max(high, top(reachable, u)) + CLOSE


@pytest.mark.parametrize("u", [-20.0, -14.3, -12.4, -10.1, -8.45, -3.0, 1.0])
def test_the_height_at_one_place_is_that_of_the_whole_envelope(u: float) -> None:
    """Both ways to ask how low a pointed tool may go give the same answer."""
    chain = (Point(-2.0, 1.1), Point(0.0, 0.0), Point(2.0, 1.1))
    env = ground(GROOVED, 0.0)
    assert rest(env, chain, u) == pytest.approx(at(under(env, chain), u), abs=1e-9)
