"""Hulls of straight ways: the closed form against the hulls of the polygon library."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
import shapely

from dxf2turn.geometry.swept import MANY, swept_hulls


def regular(corners: int, radius: float, turned: float) -> np.ndarray:
    angles = turned + np.arange(corners) * 2.0 * math.pi / corners
    return radius * np.stack([np.cos(angles), np.sin(angles)], axis=1)


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("clockwise", [False, True])
def test_closed_form_is_the_hull_of_both_ends(seed: int, clockwise: bool) -> None:
    """Many ways at once, one of them without length and one along a side, cover what the library says."""
    rng = random.Random(seed)
    shape = regular(rng.randint(3, 40), rng.uniform(0.2, 5.0), rng.random())
    along_a_side = shape[1] - shape[0]
    ways = [(rng.uniform(-9, 9), rng.uniform(-9, 9)) for _ in range(MANY)] + [(0.0, 0.0), tuple(along_a_side)]
    starts = np.array([(rng.uniform(-9, 9), rng.uniform(-9, 9)) for _ in ways])
    ends = starts + np.array(ways)
    shape = shape[::-1] if clockwise else shape

    found = swept_hulls(starts, ends, shape)

    for start, end, hull in zip(starts, ends, found):
        expected = shapely.MultiPoint(np.concatenate([start + shape, end + shape])).convex_hull
        assert shapely.is_valid(hull)
        assert shapely.symmetric_difference(hull, expected).area < 1e-9


def test_a_shape_without_area_sweeps_a_hull_as_well() -> None:
    """Two points moved aslant cover a parallelogram, many ways or one."""
    pair = np.array([(0.0, 0.0), (0.0, 2.0)])
    starts = np.zeros((MANY, 2))
    for hull in (
        *swept_hulls(starts, starts + (3.0, 1.0), pair),
        *swept_hulls(starts[:1], starts[:1] + 3.0, pair),
    ):
        assert hull.area == pytest.approx(6.0)
