"""Moves of vertex groups that put every toleranced size in the middle of its limits.

Sizes are edges between groups. They are taken in order: toleranced ones first, the finest first, then the
untoleranced ones, which only keep what is drawn. An edge between two groups that do not hang together yet
ties them; one between groups that already do must agree, else it is reported. In the end whatever hangs on a
datum (front face, axis) is held by it; what hangs on none is held by its first group.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Edge:
    """b moves against a by `shift` (mm)."""

    a: int
    b: int
    shift: float


@dataclass(frozen=True, slots=True)
class Moves:
    """moves: group -> mm. refused: edges that contradict earlier ones, with what they are off, mm."""

    moves: dict[int, float]
    refused: tuple[tuple[Edge, float], ...]


def solve(edges: Iterable[Edge], held: Iterable[int], tolerance: float) -> Moves:
    """Moves of all groups named by the edges; held groups do not move.

    >>> solve([Edge(0, 1, 0.5), Edge(1, 2, 0.25)], [0], 1e-9).moves
    {0: 0.0, 1: 0.5, 2: 0.75}
    """
    forest = _Forest()
    held = tuple(held)
    for group in held[1:]:
        forest.tie(held[0], group, 0.0)
    refused = []
    for edge in edges:
        off = forest.tie(edge.a, edge.b, edge.shift)
        if off is not None and abs(off) > tolerance:
            refused.append((edge, off))
    anchors = {forest.find(held[0])[0]: forest.find(held[0])[1]} if held else {}
    moves = {}
    for group in forest.order:
        root, offset = forest.find(group)
        moves[group] = offset - anchors.setdefault(root, offset)
    return Moves(moves, tuple(refused))


class _Forest:
    """Groups tied by offsets (union-find with distances). Private to one call of `solve`."""

    def __init__(self) -> None:
        self._parent: dict[int, tuple[int, float]] = {}
        self.order: list[int] = []

    def find(self, group: int) -> tuple[int, float]:
        """The root of a group and the group's offset from it."""
        if group not in self._parent:
            self._parent[group] = (group, 0.0)
            self.order.append(group)
        offset = 0.0
        while self._parent[group][0] != group:
            group, step = self._parent[group]
            offset += step
        return group, offset

    def tie(self, a: int, b: int, shift: float) -> float | None:
        """Tie b to a; None when they were apart, else how far the shift is off what already holds."""
        (root_a, offset_a), (root_b, offset_b) = self.find(a), self.find(b)
        if root_a == root_b:
            return shift - (offset_b - offset_a)
        self._parent[root_b] = (root_a, offset_a + shift - offset_b)
        return None
