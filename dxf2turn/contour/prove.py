"""The stage's own proof: the profile is closed, counter-clockwise, nowhere below the axis, and simple.

Dirt may leave an outline that touches itself; that is the drawing's fault and stops with its place.
"""

from __future__ import annotations

from collections.abc import Sequence

from dxf2turn.contour.model import Profile
from dxf2turn.errors import BrokenInvariant
from dxf2turn.geometry.crossing import crossings, overlap
from dxf2turn.geometry.path import is_closed, signed_area
from dxf2turn.geometry.point import Point, same_point
from dxf2turn.geometry.region import near_pairs
from dxf2turn.geometry.segment import Segment


def prove(profile: Profile, same: float) -> None:
    """Raises BrokenInvariant when the profile breaks a promise that the contour stage makes; that it is
    simple is told by `self_crossing`."""
    loop = profile.segments
    if len(loop) != len(profile.roles) or len(loop) < 2:
        raise BrokenInvariant("contour: the profile has too few segments or roles")
    if not is_closed(loop, 0.0):
        raise BrokenInvariant("contour: the profile is not closed to the last bit")
    if signed_area(loop) <= 0.0:
        raise BrokenInvariant("contour: the profile runs clockwise")
    box = profile.bounds
    if box.min_y < -same or abs(box.max_x) > same:
        raise BrokenInvariant("contour: the profile is below the axis or its front is not at z 0")


def self_crossing(loop: Sequence[Segment], same: float) -> Point | None:
    """A place where a closed loop meets itself away from its corners; None for a simple loop."""
    for i, j in near_pairs(loop, same).tolist():
        a, b = loop[i], loop[j]
        if overlap(a, b, same):
            return a.point_at(0.5)
        ends = []
        if j == i + 1:
            ends.append(a.end)
        if i == 0 and j == len(loop) - 1:
            ends.append(a.start)
        for point in crossings(a, b, same):
            if not any(_beside(point, end, a, b, same) for end in ends):
                return point
    return None


def _beside(point: Point, end: Point, a: Segment, b: Segment, same: float) -> bool:
    """Whether a crossing is the common end itself; tangent pieces stay close for a stretch beside it."""
    if same_point(point, end, same):
        return True
    turn = abs(a.tangent_at(1.0).cross(b.tangent_at(0.0)))
    return turn < _TANGENT and point.distance(end) <= _STRETCH * min(a.length, b.length)


_TANGENT = 1e-3  # sine of the angle below which two neighbours run into each other smoothly
_STRETCH = 0.05  # of the shorter neighbour's length
