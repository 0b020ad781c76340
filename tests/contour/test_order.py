"""Roles of a profile's segments: what counts to a face, what to a hole."""

from __future__ import annotations

import pytest

from tests.contour.sketch import axis, chain, contour


def _roles(points):
    found = contour(chain(points) + axis(5, -60))
    assert found.profile is not None
    return found.profile.roles


@pytest.mark.parametrize("off", [0.0, 0.0001, 0.009, 2.0])
def test_a_recess_around_a_hub_counts_to_the_face(off):
    """Whether the hub is level with the rim, a hair lower as in sloppy drawings, or plainly lower."""
    points = [(-off, 0), (-off, 6), (-5, 6), (-5, 15), (0, 15), (0, 20), (-40, 20), (-40, 0)]
    assert _roles(points) == ("front",) * 5 + ("outside", "back", "axis")


def test_a_recess_around_a_hub_at_the_back_counts_to_the_back():
    """The same seen from the other end."""
    points = [(0, 0), (0, 20), (-40, 20), (-40, 15), (-35, 15), (-35, 6), (-38, 6), (-38, 0)]
    assert _roles(points) == ("front", "outside", "back", "back", "back", "back", "back", "axis")


def test_a_boss_at_the_bottom_of_a_hole_leaves_it_a_hole():
    """It fills less than half of the hole's depth."""
    points = [(-25, 0), (-25, 4), (-30, 4), (-30, 10), (0, 10), (0, 20), (-40, 20), (-40, 0)]
    assert set(_roles(points)) == {"front", "outside", "back", "axis", "inside"}


def test_a_dish_counts_to_the_face_and_a_hole_does_not():
    """A hollow nowhere steeper than 20 degrees, and a plain blind hole."""
    assert "inside" not in _roles([(-1, 0), (0, 15), (0, 20), (-40, 20), (-40, 0)])
    assert "inside" in _roles([(-10, 0), (-10, 5), (0, 5), (0, 20), (-40, 20), (-40, 0)])
