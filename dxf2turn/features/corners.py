"""What keeps a moved profile true where a taper changes its angle: fillets and rounds stay tangent, a cone
that a groove cuts in two stays one cone.

A rounding is seen as the corner that its two lines, prolonged, make. The corner moves; the rounding is laid
into it again with its own radius.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from dxf2turn.features.outline import Outline, turn
from dxf2turn.features.plain import goes_on_at
from dxf2turn.features.ties import Ties
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Line, Segment


def with_whole_cones(outline: Outline, ties: Ties, moves: Sequence[Vector]) -> list[Vector]:
    """The moves with those of vertices within a cone that goes on behind a groove laid on the new cone.

    What is tied to such a vertex in r moves with it. A vertex that a size has moved already stays there.
    """
    kept = list(moves)
    for first, last in _cut_cones(outline):
        start, _ = _ends(outline, first, kept)
        _, end = _ends(outline, last, kept)
        for vertex in (first + 1, last):
            here = outline.profile.segments[vertex].start
            if kept[vertex].dy != 0.0 or start.x == end.x:
                continue
            share = (here.x + kept[vertex].dx - start.x) / (end.x - start.x)
            rise = start.towards(end, share).y - here.y
            for i, group in enumerate(ties.r):
                if group == ties.r[vertex]:
                    kept[i] = Vector(kept[i].dx, rise)
    return kept


def _cut_cones(outline: Outline) -> list[tuple[int, int]]:
    """(first piece, last piece) of cones that a groove cuts in two."""
    found = []
    for index in outline.indices:
        line = outline.segment(index)
        if isinstance(line, Line) and not outline.is_axial(index) and not outline.is_radial(index):
            other = goes_on_at(outline, index, line, outline.after)
            if other is not None and other > index + 1:
                found.append((index, other))
    return found


def with_tangent_roundings(
    outline: Outline, moves: Sequence[Vector], segments: tuple[Segment, ...]
) -> tuple[Segment, ...]:
    """The moved segments with each rounding beside a line that has turned laid in anew."""
    new = list(segments)
    for index in outline.indices:
        before, after = _before(moves, index), _after(moves, index)
        if corner_of(outline, index) is None:
            continue
        tied = moves[index] == moves[after] == _corner_move(outline, index, moves)
        if tied and not any(_turned(outline, i, moves) for i in (before, after)):
            continue
        arc = _laid_in(outline, index, moves, new)
        new[index] = arc
        new[before] = replace(new[before], end=arc.start)
        new[after] = replace(new[after], start=arc.end)
    return tuple(new)


def corner_of(outline: Outline, index: int) -> Point | None:
    """Where the two lines that an arc meets smoothly, prolonged, cross; None for anything else."""
    before, after = _beside(outline, index)
    arc, rules = outline.profile.segments[index], outline.rules
    if not (isinstance(arc, Arc) and isinstance(before, Line) and isinstance(after, Line)):
        return None
    if outline.before(index) is None or outline.after(index) is None:
        return None  # a ball on the axis
    smooth = max(abs(outline.turn_into(index)), abs(outline.turn_out(index))) <= rules.tangent
    if not smooth or abs(arc.sweep) > rules.corner_sweep:
        return None
    along, way = before.tangent_at(1.0), after.tangent_at(0.0)
    if abs(turn(along, way)) <= rules.corner:
        return None
    return before.end + along * ((after.start - before.end).cross(way) / along.cross(way))


def _beside(outline: Outline, index: int) -> tuple[Segment, Segment]:
    segments = outline.profile.segments
    return segments[index - 1], segments[(index + 1) % len(segments)]


def _corner_move(outline: Outline, index: int, moves: Sequence[Vector]) -> Vector:
    """How the corner of an arc moves: in r with a cylinder beside it, in z with a plane face; else as the
    arc's ends do, which are tied together in all but large arcs."""
    before, after = _beside(outline, index)
    start, end = moves[index], moves[(index + 1) % len(moves)]
    r = start.dy if before.start.y == before.end.y else end.dy
    z = start.dx if before.start.x == before.end.x else end.dx
    return Vector(z, r)


def _ends(outline: Outline, index: int, moves: Sequence[Vector]) -> tuple[Point, Point]:
    """The moved ends of a line, prolonged into the corners of the arcs beside it."""
    line = outline.profile.segments[index]
    first, last = corner_of(outline, _before(moves, index)), corner_of(outline, _after(moves, index))
    start, end = _end_moves(outline, index, moves)
    return (first or line.start) + start, (last or line.end) + end


def _end_moves(outline: Outline, index: int, moves: Sequence[Vector]) -> tuple[Vector, Vector]:
    """How the ends of a line move, or the corners into which it runs."""
    before, after = _before(moves, index), _after(moves, index)
    start, end = moves[index], moves[after]
    if corner_of(outline, before) is not None:
        start = _corner_move(outline, before, moves)
    if corner_of(outline, after) is not None:
        end = _corner_move(outline, after, moves)
    return start, end


def _before(moves: Sequence[Vector], index: int) -> int:
    return (index - 1) % len(moves)


def _after(moves: Sequence[Vector], index: int) -> int:
    return (index + 1) % len(moves)


def _turned(outline: Outline, index: int, moves: Sequence[Vector]) -> bool:
    """Whether a line gets another direction."""
    start, end = _end_moves(outline, index, moves)
    line = outline.profile.segments[index]
    return isinstance(line, Line) and start != end and (end - start).cross(line.tangent_at(0.5)) != 0.0


def _laid_in(outline: Outline, index: int, moves: Sequence[Vector], new: Sequence[Segment]) -> Arc:
    """The rounding of a moved corner with its old radius, tangent to the new lines."""
    old = outline.profile.segments[index]
    assert isinstance(old, Arc)
    before, after = _before(moves, index), _after(moves, index)
    start, corner = _ends(outline, before, moves)
    _, end = _ends(outline, after, moves)
    into, out = (corner - start).unit() or Vector(1.0, 0.0), (end - corner).unit() or Vector(1.0, 0.0)
    angle = turn(into, out)
    reach = old.radius * math.tan(0.5 * abs(angle))
    first = _on(outline.profile.segments[before], corner + into * -reach, new[index].start)
    last = _on(outline.profile.segments[after], corner + out * reach, new[index].end)
    centre = first + into.left * math.copysign(old.radius, angle)
    return replace(old, start=first, end=last, centre=centre)


def _on(line: Segment, place: Point, moved: Point) -> Point:
    """A tangent point; on a cylinder or a plane face it keeps r or z of the moved vertex to the last bit."""
    if line.start.y == line.end.y:
        return Point(place.x, moved.y)
    return Point(moved.x, place.y) if line.start.x == line.end.x else place
