"""Both halves of a view held against each other: where do they differ, and by how much."""

from __future__ import annotations

from typing import NamedTuple

from dxf2turn.contour.model import Profile
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import flatten, outline_difference

_SAGITTA = 1e-4  # mm, of the chords that stand for arcs in the comparison


class Difference(NamedTuple):
    """The largest distance of one outline from the other, mm, where it lies in (z, r), and in how many
    places (connected regions) they differ."""

    distance: float
    place: Point
    regions: int


def difference(used: Profile, other: Profile, outside_only: bool, gap: float) -> Difference | None:
    """How two halves differ by more than the gap tolerance; None when they do not.

    outside_only: one half is cut open and the other seen from outside, so holes are not compared.
    """
    found = outline_difference(_corners(used, outside_only), _corners(other, outside_only), gap)
    return None if found is None else Difference(*found)


def _corners(profile: Profile, outside_only: bool) -> list[Point]:
    if not outside_only:
        return flatten(profile.segments, _SAGITTA)[:-1]
    kept = tuple(s for s, role in zip(profile.segments, profile.roles) if role not in ("inside", "axis"))
    points = flatten(kept, _SAGITTA)
    return [Point(points[0].x, 0.0), *points, Point(points[-1].x, 0.0)]
