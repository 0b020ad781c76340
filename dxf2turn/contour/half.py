"""The linework on one side of the axis, closed along the axis, as a planar map in (z, r)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from dxf2turn.cleaning.model import Piece
from dxf2turn.contour.frame import Axis, mirrored
from dxf2turn.geometry.crossing import crossings, with_ends
from dxf2turn.geometry.planar_map import PlanarMap, planar_map
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.options import Tolerances


class Drawn(NamedTuple):
    """A piece seen from the axis: its segment in (z, r) and what it was drawn as."""

    segment: Segment
    piece: Piece


@dataclass(frozen=True, slots=True)
class Half:
    """One side of a view. `sources[i]` is the piece of edge i, None for an edge on the axis.

    snapped: ends that were moved onto the axis, with the distance. details: pieces that bound nothing by
    their meaning and were taken out of the map.
    """

    map: PlanarMap
    sources: tuple[Piece | None, ...]
    snapped: tuple[tuple[Point, float, Piece], ...] = ()
    details: tuple[Drawn, ...] = ()

    def on_axis(self, side: int) -> bool:
        """Whether a side of the map runs along the axis."""
        return self.sources[side // 2] is None

    def path(self, face: int) -> tuple[Segment, ...]:
        """The loop around a face."""
        return self.map.path(self.map.faces[face])

    def groups(self) -> list[frozenset[int]]:
        """Faces that share edges, each group with its neighbours; what meets in a point only is apart."""
        groups: list[frozenset[int]] = []
        seen: set[int] = set()
        for first in range(len(self.map.faces)):
            if first not in seen:
                group = self._around(first)
                seen |= group
                groups.append(group)
        return groups

    def _around(self, first: int) -> frozenset[int]:
        group, todo = {first}, [first]
        while todo:
            for side in self.map.faces[todo.pop()]:
                other = self.map.face_of[side ^ 1]
                if other is not None and other not in group:
                    group.add(other)
                    todo.append(other)
        return frozenset(group)


def seen_from(axis: Axis, pieces: Iterable[Piece]) -> tuple[Drawn, ...]:
    """Pieces in the coordinates of an axis."""
    return tuple(Drawn(axis.segment(piece.segment), piece) for piece in pieces)


def half_of(drawn: Iterable[Drawn], above: bool, tolerances: Tolerances, marks: Iterable[Drawn] = ()) -> Half:
    """The map of what lies above (or, mirrored, below) the axis. marks: pieces that bound nothing.

    Pieces that cross the axis are cut there; ends within the gap tolerance are moved onto it; what is drawn
    along it is replaced by edges between the places where the linework meets it.
    """
    edges: list[Segment] = []
    sources: list[Piece] = []
    snapped: list[tuple[Point, float, Piece]] = []
    for segment, piece in drawn:
        for part in _parts_above(segment if above else mirrored(segment), tolerances):
            kept, moved = _snapped(part, tolerances.gap)
            if kept is None:
                continue
            edges.append(kept)
            sources.append(piece)
            if moved > tolerances.same_point:
                snapped.append((kept.start if kept.start.y == 0.0 else kept.end, moved, piece))
    edges = _with_common_stations(edges, tolerances.same_point)
    details = (
        Drawn(part, piece)
        for segment, piece in marks
        for part in _parts_above(segment if above else mirrored(segment), tolerances)
    )
    return Half(*_mapped(edges, sources), tuple(snapped), tuple(details))


def without_edges(half: Half, indices: Iterable[int]) -> Half:
    """The half with some of its drawn edges taken out of the map and kept as details."""
    gone = set(indices)
    drawn = [Drawn(edge, piece) for edge, piece in zip(half.map.edges, half.sources) if piece is not None]
    left = [entry for index, entry in enumerate(drawn) if index not in gone]
    out = tuple(entry for index, entry in enumerate(drawn) if index in gone)
    mapped, sources = _mapped([entry.segment for entry in left], [entry.piece for entry in left])
    return Half(mapped, sources, half.snapped, half.details + out)


def _mapped(edges: Sequence[Segment], sources: Sequence[Piece]) -> tuple[PlanarMap, tuple[Piece | None, ...]]:
    """Drawn edges and those on the axis as a map; the drawn ones come first."""
    axis_edges = _axis_edges(edges)
    return planar_map((*edges, *axis_edges)), (*sources, *[None] * len(axis_edges))


def _parts_above(segment: Segment, tolerances: Tolerances) -> list[Segment]:
    """The parts of a segment at r > 0, cut at the axis where it reaches further below than the gap."""
    box = segment.bounds
    if box.max_y <= tolerances.gap:
        return []
    # A line that ends a little below is put on the axis; an arc may also dip below it between its ends.
    if box.min_y >= (-tolerances.gap if isinstance(segment, Line) else -tolerances.same_point):
        return [segment]
    axis = Line(Point(box.min_x - box.size, 0.0), Point(box.max_x + box.size, 0.0))
    stations = [0.0]
    for point in crossings(segment, axis, tolerances.same_point):
        stations.append(min(1.0, max(0.0, segment.parameter_of(point))))
    stations = sorted({*stations, 1.0})
    parts = [segment.part(a, b) for a, b in zip(stations, stations[1:])]
    return [part for part in parts if part.point_at(0.5).y > tolerances.gap]


def _snapped(segment: Segment, gap: float) -> tuple[Segment | None, float]:
    """A segment with ends near the axis moved onto it, and how far; None when it lies along the axis."""
    if abs(segment.start.y) > gap and abs(segment.end.y) > gap:
        return segment, 0.0
    start, end = _onto_axis(segment.start, gap), _onto_axis(segment.end, gap)
    if start.y == 0.0 and end.y == 0.0 and abs(segment.point_at(0.5).y) <= gap:
        return None, 0.0
    moved = max(abs(segment.start.y - start.y), abs(segment.end.y - end.y))
    return with_ends(segment, start, end), moved


def _onto_axis(point: Point, gap: float) -> Point:
    return Point(point.x, 0.0) if abs(point.y) <= gap else point


def _with_common_stations(edges: Sequence[Segment], same: float) -> list[Segment]:
    """The edges with places on the axis that coincide made equal to the last bit."""
    place: dict[Point, Point] = {}
    last: Point | None = None
    for point in sorted({end for edge in edges for end in (edge.start, edge.end) if end.y == 0.0}):
        if last is not None and point.x - last.x <= same:
            place[point] = last
        else:
            last = point
    if not place:
        return list(edges)
    return [
        with_ends(edge, place.get(edge.start, edge.start), place.get(edge.end, edge.end)) for edge in edges
    ]


def _axis_edges(edges: Iterable[Segment]) -> list[Segment]:
    stations = sorted({end.x for edge in edges for end in (edge.start, edge.end) if end.y == 0.0})
    return [Line(Point(a, 0.0), Point(b, 0.0)) for a, b in zip(stations, stations[1:])]
