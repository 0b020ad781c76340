"""The planar map of a set of pieces: which faces they bound. Arcs stay exact.

Words: an *edge* is a piece; each edge has two *sides*, one for each direction of travel. The side of edge i
that runs along it is 2 i, the one against it 2 i + 1. A *face* lies to the left of its sides. A *chain* of
sides that closes is a *loop*: counter-clockwise loops bound a face from outside, clockwise loops are the
outer border of a connected group of edges.

The pieces must meet at their ends only, and ends that belong together must be equal to the last bit
(`cleaning` promises both). Edges with a free end bound nothing and are left out.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from dxf2turn.geometry.path import signed_area
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Segment

Loop = tuple[int, ...]  # sides in order of travel


@dataclass(frozen=True, slots=True)
class PlanarMap:
    """edges: all pieces, also those with a free end. faces: loops around bounded faces, each with the face
    to its left. borders: loops around the outside of each connected group of edges (clockwise).
    face_of: side -> index of the face to its left, None outside and for edges that bound nothing."""

    edges: tuple[Segment, ...]
    faces: tuple[Loop, ...]
    borders: tuple[Loop, ...]
    face_of: tuple[int | None, ...]

    def side(self, side: int) -> Segment:
        """The piece of a side, in its direction of travel."""
        edge = self.edges[side // 2]
        return edge.reversed() if side % 2 else edge

    def path(self, loop: Iterable[int]) -> tuple[Segment, ...]:
        """The pieces of a loop, in order."""
        return tuple(self.side(side) for side in loop)


def planar_map(edges: Sequence[Segment]) -> PlanarMap:
    """The map of `edges` (see the module text for what they must keep to)."""
    following = _following_sides(edges, bounding_edges(edges))
    faces: list[Loop] = []
    borders: list[Loop] = []
    face_of: list[int | None] = [None] * (2 * len(edges))
    done: set[int] = set()
    for first in following:
        if first in done:
            continue
        loop = _loop_from(first, following)
        done.update(loop)
        if signed_area(_travel(edges, side) for side in loop) > 0.0:
            for side in loop:
                face_of[side] = len(faces)
            faces.append(loop)
        else:
            borders.append(loop)
    return PlanarMap(tuple(edges), tuple(faces), tuple(borders), tuple(face_of))


def bounding_edges(edges: Sequence[Segment]) -> list[int]:
    """Indices of the edges that are left when those with a free end are taken away, again and again."""
    at: dict[Point, set[int]] = defaultdict(set)
    for index, edge in enumerate(edges):
        if edge.start != edge.end:
            at[edge.start].add(index)
            at[edge.end].add(index)
    left = {index for group in at.values() for index in group}
    free = [point for point, group in at.items() if len(group) == 1]
    while free:
        point = free.pop()
        for index in list(at[point]):
            left.discard(index)
            edge = edges[index]
            other = edge.end if edge.start == point else edge.start
            at[point].discard(index)
            at[other].discard(index)
            if len(at[other]) == 1:
                free.append(other)
    return sorted(left)


def _travel(edges: Sequence[Segment], side: int) -> Segment:
    return edges[side // 2].reversed() if side % 2 else edges[side // 2]


def _loop_from(first: int, following: dict[int, int]) -> Loop:
    loop, side = [first], following[first]
    while side != first:
        loop.append(side)
        side = following[side]
    return tuple(loop)


def _following_sides(edges: Sequence[Segment], kept: Sequence[int]) -> dict[int, int]:
    """Each side's next one with the same face to the left: at its end, the first one clockwise."""
    leaving: dict[Point, list[int]] = defaultdict(list)
    for index in kept:
        leaving[edges[index].start].append(2 * index)
        leaving[edges[index].end].append(2 * index + 1)
    following: dict[int, int] = {}
    for sides in leaving.values():
        turned = _by_direction(edges, sides)
        for place, side in enumerate(turned):
            # `side ^ 1` arrives at this point along the same edge.
            following[side ^ 1] = turned[place - 1]
    return following


def _by_direction(edges: Sequence[Segment], sides: list[int]) -> list[int]:
    """Sides that leave one point, counter-clockwise.

    Pieces that meet at their ends only keep their order on any small circle about the point; on the circle
    used here each piece crosses once, so tangent pieces are told apart without a tolerance.
    """
    if len(sides) <= 2:
        return sides
    travels = [_travel(edges, side) for side in sides]
    radius = 0.5 * min(min(t.start.distance(t.point_at(0.5)), t.start.distance(t.end)) for t in travels)
    angles = [_angle_at(travel, radius) for travel in travels]
    return [sides[i] for i in sorted(range(len(sides)), key=angles.__getitem__)]


def _angle_at(travel: Segment, distance: float) -> float:
    """Direction from the start of a piece to where it has got `distance` away."""
    if not isinstance(travel, Arc):
        return (travel.end - travel.start).angle
    turn = 2.0 * math.asin(min(1.0, distance / (2.0 * travel.radius)))
    at = travel.start_angle + math.copysign(turn, travel.sweep)
    point = travel.centre + Vector.from_angle(at, travel.radius)
    return (point - travel.start).angle
