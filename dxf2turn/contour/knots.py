"""Outlines that cross themselves: places where two pieces of the outline run straight through each other."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence

from dxf2turn.contour.half import Half
from dxf2turn.contour.view import Side
from dxf2turn.geometry.path import signed_area
from dxf2turn.geometry.planar_map import Loop
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Segment

_STRAIGHT_ON = -0.9999  # cosine between two directions that leave a point the opposite ways
_CROSSING = 4  # edges that meet where two pieces cross
_COUNTS = 1e-3  # of the side's area: a smaller face behind a crossing is dirt


def knots_of(side: Side) -> list[Point]:
    """Places, in (z, r) of the side, at which its outline crosses itself.

    The loop behind a crossing lies outside the rest, whose faces it touches in a point only, or inside, where
    it hangs on the crossing alone.
    """
    half = side.half
    own = _border_directions(half, [half.map.faces[face] for face in side.group])
    found = list(_curls(half, own.keys()))
    for group in half.groups():
        if side.group <= group or _area(half, group) < _COUNTS * side.area:
            continue
        theirs = _border_directions(half, [half.map.faces[face] for face in group])
        for point in own.keys() & theirs.keys():
            if point.y > 0.0 and _pass_through(own[point], theirs[point]):
                found.append(point)
    return found


def _curls(half: Half, border: Iterable[Point]) -> Iterator[Point]:
    """Crossings on the border at which a chain begins that comes back to them without meeting anything."""
    at: dict[Point, list[int]] = defaultdict(list)
    for index, edge in enumerate(half.map.edges):
        at[edge.start].append(index)
        at[edge.end].append(index)
    for point in border:
        if point.y == 0.0 or len(at[point]) != _CROSSING:
            continue
        leaving = [_leaving(half.map.edges[index], point) for index in at[point]]
        straight_on = all(any(a.dot(b) <= _STRAIGHT_ON for b in leaving) for a in leaving)
        inner = [i for i in at[point] if None not in half.map.face_of[2 * i : 2 * i + 2]]
        if straight_on and inner and _comes_back(half, at, point, inner[0]):
            yield point


def _leaving(edge: Segment, point: Point) -> Vector:
    return edge.tangent_at(0.0) if edge.start == point else -edge.tangent_at(1.0)


def _comes_back(half: Half, at: dict[Point, list[int]], start: Point, edge: int) -> bool:
    """Whether the chain that leaves a place along an edge returns there, meeting one piece at each corner."""
    place, index = start, edge
    while True:
        segment = half.map.edges[index]
        place = segment.end if segment.start == place else segment.start
        if place == start:
            return True
        if len(at[place]) != 2:
            return False
        index = next(other for other in at[place] if other != index)


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
