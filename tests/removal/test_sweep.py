"""The swept region against areas in closed form and against sampled positions of the tool."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon

from dxf2turn.geometry.point import Point
from dxf2turn.removal.sweep import folded, grown, shape_of, swept, swept_box, swept_flat

SQUARE = [Point(-1.0, 4.0), Point(1.0, 4.0), Point(1.0, 6.0), Point(-1.0, 6.0)]
HOOK = [Point(0, 5), Point(6, 5), Point(6, 9), Point(4, 9), Point(4, 7), Point(0, 7)]


def test_a_square_moved_along_z() -> None:
    """Area of the square and of what its height sweeps: 2 x 2 + 2 x 10."""
    region = swept(shape_of([SQUARE]), np.array([[0.0, 0.0], [10.0, 0.0]]))
    assert region.area == pytest.approx(24.0)


def test_a_convex_shape_moved_slantwise() -> None:
    """Area of the shape plus travel times its width across the travel (Steiner, for a convex body)."""
    region = swept_flat(shape_of([SQUARE]), np.array([[0.0, 0.0], [3.0, 4.0]]))
    across = 2.0 * (3.0 + 4.0) / 5.0
    assert region.area == pytest.approx(4.0 + 5.0 * across)


def test_a_disc_along_a_quarter_circle() -> None:
    """A ring sector and two half discs: pi/4 (R+a)^2 - pi/4 (R-a)^2 + pi a^2."""
    disc = [Point(20.0 + math.cos(t), 20.0 + math.sin(t)) for t in np.linspace(0.0, math.tau, 181)[:-1]]
    angle = np.linspace(0.0, math.pi / 2.0, 120)
    path = np.column_stack([5.0 * np.cos(angle), 5.0 * np.sin(angle)])
    region = swept(shape_of([disc]), path)
    assert region.area == pytest.approx(math.pi / 4.0 * (36.0 - 16.0) + math.pi, rel=3e-4)


@settings(max_examples=60, derandomize=True, deadline=None)
@given(dz=st.floats(-8.0, 8.0), dr=st.floats(-3.0, 8.0), hook=st.booleans())
def test_positions_on_the_way_lie_inside(dz: float, dr: float, hook: bool) -> None:
    """The tool at any moment lies in the swept region, and the region is no larger than all of them."""
    outline = HOOK if hook else SQUARE
    region = swept(shape_of([outline]), np.array([[0.0, 0.0], [dz, dr]]))
    at = [shapely.affinity.translate(Polygon(outline), dz * t, dr * t) for t in np.linspace(0.0, 1.0, 101)]
    together = shapely.union_all(at)
    assert together.difference(region).area < 1e-9
    assert region.difference(together.buffer(0.1)).area < 1e-9


def test_what_crosses_the_axis_is_met_on_this_side() -> None:
    """A square from r -1 to 3 covers 0 to 3; one from -3 to -1 covers 1 to 3."""
    assert folded(shapely.box(0.0, -1.0, 2.0, 3.0)).bounds == (0.0, 0.0, 2.0, 3.0)
    assert folded(shapely.box(0.0, -3.0, 2.0, -1.0)).bounds == (0.0, 1.0, 2.0, 3.0)


def test_the_box_of_a_sweep_holds_it() -> None:
    """The quick box is the box of the folded region."""
    path = np.array([[0.0, -7.0], [3.0, -4.5]])
    shape = shape_of([SQUARE])
    z_low, r_low, z_high, r_high = swept(shape, path).bounds
    box = swept_box(shape, path)
    assert box[0] <= z_low and box[1] <= r_low and box[2] >= z_high and box[3] >= r_high


def test_a_shape_thinner_than_the_shrinking_keeps_its_size() -> None:
    """A blade of 0.003 is not shrunk away by 0.002 a side: the check must not go blind."""
    thin = shape_of([[Point(0.0, 0.0), Point(0.003, 0.0), Point(0.003, 5.0), Point(0.0, 5.0)]], 0.002)
    assert thin is not None
    assert thin.high[0] - thin.low[0] == pytest.approx(0.003)


def test_no_holder_gives_no_shape() -> None:
    """An empty holder is None."""
    assert shape_of([]) is None


def test_a_grown_core_is_the_true_cutting_part() -> None:
    """Area of a square grown by r (Steiner): a^2 + 4 a r + pi r^2; its sizes are exact, chords inside."""
    region = Polygon(grown(SQUARE, 0.8, 0.0001))
    assert region.area == pytest.approx(4.0 + 8.0 * 0.8 + math.pi * 0.64, rel=1e-4)
    assert region.bounds == pytest.approx((-1.8, 3.2, 1.8, 6.8), abs=1e-12)
    exact = Polygon(SQUARE).buffer(0.8, quad_segs=2000)
    assert region.difference(exact.buffer(1e-6)).is_empty
    assert exact.difference(region.buffer(0.0001)).is_empty


def test_a_core_of_one_point_grows_to_a_disc() -> None:
    """A round insert has a point as its core."""
    region = Polygon(grown([Point(4.0, 4.0)], 4.0, 0.0001))
    assert region.area == pytest.approx(math.pi * 16.0, rel=1e-4)
    assert grown(SQUARE, 0.0, 0.0001) == SQUARE
