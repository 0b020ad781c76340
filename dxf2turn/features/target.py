"""The target contour: every toleranced size in the middle of its limits, everything beside it kept true.

Each vertex of the profile may move along z and along r. What must stay true ties vertices together:
a cylinder its ends in r, a plane face its ends in z, a chamfer, fillet or round both of its ends in both
directions (so it keeps size and angle). Tapers follow their ends; free arcs keep their radius where they can.
The front face (z 0) and the axis (r 0) never move.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from dxf2turn.contour.model import Profile
from dxf2turn.features.outline import Outline
from dxf2turn.features.plain import is_chamfer, is_rounding
from dxf2turn.features.reshape import reshaped
from dxf2turn.geometry.point import Vector


@dataclass(frozen=True, slots=True)
class Ties:
    """Which vertices move together. Vertex i is the start of segment i. `z[i]` and `r[i]` name its group."""

    z: tuple[int, ...]
    r: tuple[int, ...]

    def z_members(self, group: int) -> tuple[int, ...]:
        return tuple(vertex for vertex, own in enumerate(self.z) if own == group)


def ties(outline: Outline, rigid: Iterable[tuple[int, ...]] = ()) -> Ties:
    """The ties of a profile. rigid: further runs of segments that keep their shape in z (grooves)."""
    count = len(outline.profile.segments)
    z, r = list(range(count)), list(range(count))
    for index in range(count):
        after = (index + 1) % count
        broken = is_chamfer(outline, index) or is_rounding(outline, index)
        if outline.is_axial(index) or broken:
            _join(r, index, after)
        if outline.is_radial(index) or broken:
            _join(z, index, after)
    for run in rigid:
        for index in run:
            _join(z, index, (index + 1) % count)
    return Ties(tuple(_root(z, v) for v in range(count)), tuple(_root(r, v) for v in range(count)))


def _join(groups: list[int], a: int, b: int) -> None:
    low, high = sorted((_root(groups, a), _root(groups, b)))
    groups[high] = low


def _root(groups: list[int], vertex: int) -> int:
    while groups[vertex] != vertex:
        vertex = groups[vertex]
    return vertex


def fixed_groups(outline: Outline, ties: Ties) -> tuple[frozenset[int], frozenset[int]]:
    """Groups that hold the front datum (z) and the axis (r)."""
    near = outline.tolerances.same_point
    vertices = [segment.start for segment in outline.profile.segments]
    z = frozenset(ties.z[i] for i, vertex in enumerate(vertices) if abs(vertex.x) <= near)
    r = frozenset(ties.r[i] for i, vertex in enumerate(vertices) if abs(vertex.y) <= near)
    return z, r


def moved_profile(
    outline: Outline, ties: Ties, z_moves: Mapping[int, float], r_moves: Mapping[int, float]
) -> Profile:
    """The profile with its vertex groups moved; the same object when nothing moves."""
    moves = [Vector(z_moves.get(z, 0.0), r_moves.get(r, 0.0)) for z, r in zip(ties.z, ties.r)]
    if all(move == (0.0, 0.0) for move in moves):
        return outline.profile
    return replace(outline.profile, segments=reshaped(outline, moves))
