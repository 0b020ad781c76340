"""Drawn marks that bound nothing turned: circles off the axis, and straight lines aslant through it.

A circle whose middle lies off the axis marks a detail or is a hole; of a torus at a part's edge no more than
an arc would be drawn. A line that crosses the axis aslant is a thread's crest, or one of the two diagonals
that mark a flat.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence

from dxf2turn.contour.components import Component, component_of
from dxf2turn.contour.frame import Axis
from dxf2turn.contour.half import Drawn, seen_from
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Line
from dxf2turn.options import Tolerances

_WHOLE = math.radians(359.9)  # arcs about one centre that turn at least so far are a circle
_ASLANT = math.radians(1.0)  # a line nearer to square is an edge, one nearer to level the axis
_RUN = 2  # pieces that meet where one follows the other
_MIRRORED = 0.1  # of its reach: how far the ends of a line through the axis may lie at unlike radii


def marks_among(drawn: Sequence[Drawn], tolerances: Tolerances) -> set[int]:
    """Indices of the pieces that are marks, where there is anything else."""
    found = _circles_off_axis(drawn, tolerances) | _aslant_through_axis(drawn, tolerances)
    return found if len(found) < len(drawn) else set()


def _circles_off_axis(drawn: Sequence[Drawn], tolerances: Tolerances) -> set[int]:
    """Pieces of whole circles about a place off the axis."""
    circles: dict[tuple[str, int, int, int], list[int]] = defaultdict(list)
    for index, (segment, piece) in enumerate(drawn):
        if isinstance(segment, Arc) and abs(segment.centre.y) > tolerances.gap:
            sizes = (segment.centre.x, segment.centre.y, segment.radius)
            x, y, radius = (round(size / tolerances.gap) for size in sizes)
            circles[piece.origin.handle, x, y, radius].append(index)
    found = set()
    for group in circles.values():
        arcs = [drawn[index].segment for index in group]
        if math.fsum(abs(arc.sweep) for arc in arcs if isinstance(arc, Arc)) >= _WHOLE:
            found.update(group)
    return found


def _aslant_through_axis(drawn: Sequence[Drawn], tolerances: Tolerances) -> set[int]:
    """Pieces of straight lines that reach equally far on both sides of the axis, neither square nor level."""
    met = Counter(end for segment, _ in drawn for end in (segment.start, segment.end))
    lines: dict[tuple[str, int, int], list[int]] = defaultdict(list)
    for index, (segment, piece) in enumerate(drawn):
        if isinstance(segment, Line) and (place := _meets_axis(segment)) is not None:
            lean = math.atan2(*(segment.end - segment.start)) % math.pi
            key = piece.origin.handle, round(place / tolerances.gap), round(lean / tolerances.same_angle)
            lines[key].append(index)
    found = set()
    for group in lines.values():
        box = path_bounds([drawn[index].segment for index in group])
        both_sides = box.min_y < -tolerances.gap and box.max_y > tolerances.gap
        if (
            both_sides
            and abs(box.min_y + box.max_y) <= _MIRRORED * box.max_y
            and _stands_alone(group, drawn, met)
        ):
            found.update(group)
    return found


def _stands_alone(group: Sequence[int], drawn: Sequence[Drawn], met: Counter[Point]) -> bool:
    """Whether a line ends free or on others; where just one other piece goes on, it is part of a run, such
    as a break line."""
    places = Counter(end for i in group for end in (drawn[i].segment.start, drawn[i].segment.end))
    return all(met[end] != _RUN for end, count in places.items() if count == 1)


def _meets_axis(line: Line) -> float | None:
    """Where the endless line of a slanted piece crosses the axis."""
    along = line.tangent_at(0.0)
    if min(abs(along.dx), abs(along.dy)) <= math.sin(_ASLANT):
        return None
    return line.start.x - line.start.y * along.dx / along.dy


def without_marks(component: Component, axis: Axis, tolerances: Tolerances) -> Component:
    """A component without what are marks if the axis is right."""
    seen = seen_from(axis, component.pieces)
    found = marks_among(seen, tolerances)
    left = [piece for index, piece in enumerate(component.pieces) if index not in found]
    return component_of(left, tolerances.gap) if found else component


def without_circles(component: Component, tolerances: Tolerances) -> Component | None:
    """A component without its whole circles, None when there are none or nothing closed is left."""
    # An axis outside the component has every circle off it.
    box = component.bounds
    aside = Axis(Point(box.min_x, box.min_y - box.size), Vector(1.0, 0.0), "")
    found = _circles_off_axis(seen_from(aside, component.pieces), tolerances)
    if not found or len(found) == len(component.pieces):
        return None
    left = component_of([p for i, p in enumerate(component.pieces) if i not in found], tolerances.gap)
    return left if left.closed else None


def without(drawn: Sequence[Drawn], indices: Iterable[int]) -> tuple[list[Drawn], list[Drawn]]:
    """What is left without some pieces, and these pieces."""
    gone = set(indices)
    left = [entry for index, entry in enumerate(drawn) if index not in gone]
    return left, [entry for index, entry in enumerate(drawn) if index in gone]
