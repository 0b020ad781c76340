"""Overlays of polygons, proved by their areas."""

from __future__ import annotations

import pytest
import shapely

from dxf2turn.geometry.region import less, shared

BLOCK = shapely.Polygon([(0, 0), (10, 0), (10, 4), (4, 10), (0, 10)])
ON_ITS_SLANT = shapely.Polygon([(9, 5), (5, 9), (8, 12), (12, 8)])
CORNER = shapely.box(-1, -1, 3, 2)


def test_what_stays_and_what_is_shared_make_the_whole() -> None:
    """A cut corner, and a neighbour on a slant edge that takes nothing."""
    assert less(BLOCK, CORNER).area == pytest.approx(BLOCK.area - 6.0)
    assert shared(BLOCK, CORNER).area == pytest.approx(6.0)
    assert less(BLOCK, ON_ITS_SLANT).area == pytest.approx(BLOCK.area)
    assert shared(BLOCK, ON_ITS_SLANT).area == pytest.approx(0.0, abs=1e-7)


@pytest.mark.parametrize("wrong", ["difference", "intersection"])
def test_an_overlay_that_loses_area_is_done_again(monkeypatch: pytest.MonkeyPatch, wrong: str) -> None:
    """When the plain overlay returns nonsense, the one on a grid is taken."""
    true = getattr(shapely, wrong)

    def nonsense(a, b, grid_size=None):  # noqa: ANN001, ANN202
        return shapely.Polygon() if grid_size is None else true(a, b, grid_size=grid_size)

    monkeypatch.setattr(shapely, wrong, nonsense)
    assert less(BLOCK, CORNER).area == pytest.approx(BLOCK.area - 6.0)
    assert shared(BLOCK, CORNER).area == pytest.approx(6.0)
