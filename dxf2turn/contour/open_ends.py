"""Gaps that an outline hides: free ends outside the profile that would enclose more if they were joined.

In a view with edges across, a gap in the outline does not leave it open: the face behind the gap is lost and
the outline runs along the edge. So each near pair of free ends is joined for a trial; where the outline then
grows, the gap is real.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from dxf2turn.cleaning.model import Piece
from dxf2turn.contour.material import is_across
from dxf2turn.contour.model import Profile
from dxf2turn.contour.symbols import Style, style_of
from dxf2turn.contour.view import Side
from dxf2turn.geometry.crossing import between, carrier_crossings
from dxf2turn.geometry.path import signed_area
from dxf2turn.geometry.planar_map import planar_map
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import points_inside
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.options import Tolerances
from dxf2turn.reading.model import Role

_SAGITTA = 0.005  # mm, for "is this inside the profile" only
_FAR = 0.25  # of the part's size: free ends further apart are no gap
_NEAR = 0.05  # of the part's size: how far a free end may be from a piece it should reach
_GROWS = 1e-4  # of the outline's area: less is no face behind the gap
_TRIALS = 8


class Gap(NamedTuple):
    """Two places, in (z, r) of the side, that should meet; the pieces that end or lie there."""

    a: Point
    b: Point
    first: Piece
    second: Piece

    @property
    def width(self) -> float:
        return self.a.distance(self.b)


def gaps_of(side: Side, profile: Profile, tolerances: Tolerances) -> list[Gap]:
    """Gaps outside the profile of one side whose closing would add to its outline, the narrowest first."""
    ends = _free_ends_outside(side, profile, tolerances)
    nearest = sorted(_pairs(ends, side), key=lambda gap: gap.width)[:_TRIALS]
    return [gap for gap in nearest if _adds_a_face(gap, side)]


def running_on(side: Side, profile: Profile, tolerances: Tolerances) -> list[tuple[Point, Piece]]:
    """Free ends of lines that run on lengthwise from the outline past its front or back.

    The part may go on there: then its end face is missing.
    """
    box, at = profile.bounds, _edges_at(side)
    own = {end for face in side.group for s in side.half.path(face) for end in (s.start, s.end)}
    found = []
    for end in _free_ends_outside(side, profile, tolerances):
        piece = side.half.sources[end.edge]
        beyond = max(box.min_x - end.point.x, end.point.x - box.max_x)
        lengthwise = not is_across(side.half.map.edges[end.edge], tolerances)
        if piece is not None and beyond > tolerances.gap and lengthwise and _root(side, at, end) in own:
            found.append((end.point, piece))
    return found


def beyond_the_ends(side: Side, profile: Profile, tolerances: Tolerances) -> tuple[float, Piece | None]:
    """How much lengthwise linework lies past the front or the back without bounding anything, as a share of
    the profile's length, and the longest piece of it."""
    box, half, styles = profile.bounds, side.half, _outline_styles(side, tolerances)
    free = [
        (edge, piece)
        for index, (edge, piece) in enumerate(zip(half.map.edges, half.sources))
        if piece is not None
        and (not styles or style_of(piece) in styles)
        and half.map.face_of[2 * index] is None
        and half.map.face_of[2 * index + 1] is None
        and not box.min_x - tolerances.gap <= edge.point_at(0.5).x <= box.max_x + tolerances.gap
    ]
    reach = math.fsum(abs(edge.end.x - edge.start.x) for edge, _ in free)
    longest = max(free, key=lambda entry: entry[0].length, default=(None, None))
    return reach / (box.max_x - box.min_x), longest[1]


def _root(side: Side, at: dict[Point, list[int]], end: _FreeEnd) -> Point:
    """Where the chain that ends free leaves other linework."""
    place, index = end.point, end.edge
    while True:
        segment = side.half.map.edges[index]
        place = segment.end if segment.start == place else segment.start
        if len(at[place]) != 2:
            return place
        index = next(other for other in at[place] if other != index)


class _FreeEnd(NamedTuple):
    point: Point
    edge: int


def _edges_at(side: Side) -> dict[Point, list[int]]:
    at: dict[Point, list[int]] = defaultdict(list)
    for index, edge in enumerate(side.half.map.edges):
        at[edge.start].append(index)
        at[edge.end].append(index)
    return at


def _free_ends_outside(side: Side, profile: Profile, tolerances: Tolerances) -> list[_FreeEnd]:
    at, styles = _edges_at(side), _outline_styles(side, tolerances)
    ends = [
        _FreeEnd(point, here[0])
        for point, here in at.items()
        if len(here) == 1
        and point.y > tolerances.gap
        and (piece := side.half.sources[here[0]]) is not None
        and (not styles or style_of(piece) in styles)
    ]
    inside = points_inside(profile.segments, [end.point for end in ends], -tolerances.gap, _SAGITTA)
    return [end for end, within in zip(ends, inside) if not within]


def _outline_styles(side: Side, tolerances: Tolerances) -> set[Style]:
    """The styles in which the lengthwise pieces of the outline are drawn, empty when all are hidden lines.

    Construction lines, which run square through it, and dimension lines have another one.
    """
    half = side.half
    border = (
        s // 2
        for face in side.group
        for s in half.map.faces[face]
        if half.map.face_of[s ^ 1] not in side.group
    )
    return {
        style_of(piece)
        for edge in border
        if (piece := half.sources[edge]) is not None
        and piece.role is Role.OUTLINE
        and not is_across(half.map.edges[edge], tolerances)
    }


def _pairs(ends: list[_FreeEnd], side: Side) -> Iterator[Gap]:
    """Free ends with the nearest other one, and with the pieces ahead of them that they stop short of."""
    size = math.hypot(side.bounds.max_x - side.bounds.min_x, side.bounds.max_y)
    sources = side.half.sources
    for end in ends:
        others = [other for other in ends if other.edge != end.edge]
        nearest = min(others, key=lambda other: other.point.distance(end.point), default=None)
        first = sources[end.edge]
        if first is None:
            continue
        if nearest is not None and end < nearest and end.point.distance(nearest.point) <= _FAR * size:
            second = sources[nearest.edge]
            if second is not None:
                yield Gap(end.point, nearest.point, first, second)
        for place, second in _ahead(end, side, _NEAR * size):
            yield Gap(end.point, place, first, second)


def _ahead(end: _FreeEnd, side: Side, farthest: float) -> Iterator[tuple[Point, Piece]]:
    """Places on other pieces at which the piece of a free end would arrive if it ran on."""
    edge = side.half.map.edges[end.edge]
    onward = -edge.tangent_at(0.0) if end.point == edge.start else edge.tangent_at(1.0)
    for other, piece in zip(side.half.map.edges, side.half.sources):
        if other is edge or piece is None or other.distance(end.point) > farthest:
            continue
        for place in carrier_crossings(edge, other, edge.length * _GROWS):
            away = place - end.point
            on_other = other.distance(place) <= other.length * _GROWS
            if on_other and 0.0 < away.length <= farthest and away.dot(onward) > 0.0:
                yield place, piece


def _adds_a_face(gap: Gap, side: Side) -> bool:
    """Whether joining two places encloses a new face that borders on the side's own faces."""
    bridge = Line(gap.a, gap.b)
    edges = [part for edge in side.half.map.edges for part in _cut_at(edge, gap.b)]
    bridged = planar_map([*edges, bridge])
    own = {edge for face in side.group for edge in _undirected(side.half.path(face))}
    for loop in bridged.faces:
        path = bridged.path(loop)
        border = _undirected(path)
        new = bridge in border or bridge.reversed() in border
        if new and signed_area(path) > _GROWS * side.area and not own.isdisjoint(border):
            return True
    return False


def _cut_at(edge: Segment, place: Point) -> tuple[Segment, ...]:
    """An edge cut at a place on it, so that a bridge may end there."""
    t = edge.parameter_of(place)
    if place in (edge.start, edge.end) or not 0.0 < t < 1.0 or edge.distance(place) > edge.length * _GROWS:
        return (edge,)
    return between(edge, edge.start, place), between(edge, place, edge.end)


def _undirected(path: Iterable[Segment]) -> set[Segment]:
    """The segments of a path, each in both directions."""
    return {either for segment in path for either in (segment, segment.reversed())}
