"""What hangs together on a sheet: pieces that share ends, and which of these groups lie inside others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dxf2turn.cleaning.model import Piece
from dxf2turn.geometry.merge import merged
from dxf2turn.geometry.path import path_bounds, reversed_path
from dxf2turn.geometry.planar_map import planar_map
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Bounds, Line, Segment


@dataclass(frozen=True, slots=True)
class Component:
    """Pieces that hang together, in mm. border: the outer border of the faces that they bound, pieces of one
    line or circle put together; empty for open linework."""

    pieces: tuple[Piece, ...]
    bounds: Bounds
    border: tuple[Segment, ...]

    @property
    def closed(self) -> bool:
        """Whether some of the pieces bound a face."""
        return bool(self.border)

    @property
    def segments(self) -> tuple[Segment, ...]:
        return tuple(piece.segment for piece in self.pieces)


def components(pieces: Sequence[Piece], kink: float) -> list[Component]:
    """The groups of pieces that share ends, the largest (by the diagonal of its box) first.

    kink: how far a corner of the border may lie off a line or circle and count as no corner, mm.
    """
    parent = list(range(len(pieces)))

    def root(i: int) -> int:
        while parent[i] != i:
            parent[i] = parent[parent[i]]
            i = parent[i]
        return i

    first_at: dict[Point, int] = {}
    for index, piece in enumerate(pieces):
        for end in (piece.segment.start, piece.segment.end):
            parent[root(index)] = root(first_at.setdefault(end, index))
    groups: dict[int, list[Piece]] = {}
    for index, piece in enumerate(pieces):
        groups.setdefault(root(index), []).append(piece)
    found = [component_of(group, kink) for group in groups.values()]
    return sorted(found, key=lambda component: -component.bounds.size)


def component_of(group: Sequence[Piece], kink: float) -> Component:
    """Some pieces as one component; kink: see `components`."""
    segments = [piece.segment for piece in group]
    border = _border(segments, kink) if len(group) > 1 else ()
    return Component(tuple(group), path_bounds(segments), border)


def _border(segments: Sequence[Segment], kink: float) -> tuple[Segment, ...]:
    found = planar_map(segments)
    loops = (reversed_path(found.path(loop)) for loop in found.borders)
    return tuple(segment for loop in loops for segment in merged(loop, lambda _: kink))


def joined(group: Sequence[Component]) -> Component:
    """Several components as one."""
    pieces = tuple(piece for component in group for piece in component.pieces)
    border = tuple(segment for component in group for segment in component.border)
    return Component(pieces, path_bounds([piece.segment for piece in pieces]), border)


def strictly_inside(inner: Bounds, outer: Bounds, margin: float) -> bool:
    """Whether a box lies inside another one with room all around."""
    return (
        inner.min_x > outer.min_x + margin
        and inner.min_y > outer.min_y + margin
        and inner.max_x < outer.max_x - margin
        and inner.max_y < outer.max_y - margin
    )


def is_rectilinear(component: Component) -> bool:
    """Whether a component is made of level and upright lines only, as frames and tables are."""
    return all(
        isinstance(s, Line) and (s.start.x == s.end.x or s.start.y == s.end.y) for s in component.segments
    )
