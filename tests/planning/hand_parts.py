"""Parts written by hand as closed profiles, recognised, for the planner's tests."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from dxf2turn.contour.model import Contour, Profile
from dxf2turn.features.model import Limits, TurnedPart
from dxf2turn.features.recognise import recognise
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line
from dxf2turn.options import DrawingOptions

Corners = Sequence[tuple[float, float]]


def solid(outside: Corners) -> Profile:
    """A solid part: the corners of its outside from the front face's edge to the back face's edge."""
    front, back = outside[0][0], outside[-1][0]
    corners = [(front, 0.0), *outside, (back, 0.0)]
    roles = ["front", *["outside"] * (len(outside) - 1), "back", "axis"]
    return _profile(corners, roles)


def bored(outside: Corners, inside: Corners) -> Profile:
    """A part with a bore through: inside from the back face's edge to the front face's edge."""
    corners = [inside[-1], *outside, *inside[:-1]]
    roles = ["front", *["outside"] * (len(outside) - 1), "back", *["inside"] * (len(inside) - 1)]
    return _profile(corners, roles)


def _profile(corners: Corners, roles: list[str]) -> Profile:
    points = [Point(*corner) for corner in corners]
    ends = points[1:] + points[:1]
    return Profile(tuple(Line(a, b) for a, b in zip(points, ends)), tuple(roles))


def part_of(profile: Profile, limits: tuple[Limits, ...] = ()) -> TurnedPart:
    """The recognised part, with toleranced sizes as given."""
    part = recognise(contour_of(profile), DrawingOptions())
    return replace(part, limits=limits) if limits else part


def contour_of(profile: Profile) -> Contour:
    return Contour(frame=None, profile=profile)


STEPPED = solid(
    [
        (0, 7),
        (-1, 8),
        (-20, 8),
        (-20, 12),
        (-29, 12),
        (-29, 10.5),
        (-32, 10.5),
        (-32, 12),
        (-44, 12),
        (-45, 11),
    ]
)
BUSH = bored([(0, 19), (-1, 20), (-29, 20), (-30, 19)], [(-30, 8), (0, 8)])
