"""Outlines that cross themselves: places where two pieces of the outline run straight through each other."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence

from dxf2turn.contour.half import Half
from dxf2turn.contour.view import Side
from dxf2turn.geometry.path import signed_area
from dxf2turn.geometry.planar_map import Loop
from dxf2turn.geometry.point import Point, Vector

_STRAIGHT_ON = -0.9999  # cosine between two directions that leave a point the opposite ways
_COUNTS = 1e-3  # of the side's area: a smaller face behind a crossing is dirt


def knots_of(side: Side) -> list[Point]:
    """Places, in (z, r) of the side, at which its outline crosses itself.

    There the faces behind the crossing touch the side's faces in a point only.
    """
    half = side.half
    own = _border_directions(half, [half.map.faces[face] for face in side.group])
    found = []
    for group in half.groups():
        if group == side.group or _area(half, group) < _COUNTS * side.area:
            continue
        theirs = _border_directions(half, [half.map.faces[face] for face in group])
        for point in own.keys() & theirs.keys():
            if point.y > 0.0 and _pass_through(own[point], theirs[point]):
                found.append(point)
    return found


def _area(half: Half, group: Iterable[int]) -> float:
    return math.fsum(signed_area(half.path(face)) for face in group)


def _border_directions(half: Half, loops: Iterable[Loop]) -> dict[Point, list[Vector]]:
    """At each corner of the outer border of some faces, the directions in which the border leaves it."""
    leaving: dict[Point, list[Vector]] = defaultdict(list)
    for loop in loops:
        for side in loop:
            if half.map.face_of[side ^ 1] is None:
                segment = half.map.side(side)
                leaving[segment.start].append(segment.tangent_at(0.0))
                leaving[segment.end].append(-segment.tangent_at(1.0))
    return leaving


def _pass_through(own: Sequence[Vector], theirs: Sequence[Vector]) -> bool:
    """Whether each direction of one border is continued by one of the other border."""
    return all(any(a.dot(b) <= _STRAIGHT_ON for b in theirs) for a in own)
