"""What else a sheet holds: borders, title blocks and other tables, parts seen from their end."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable

from dxf2turn.cleaning.model import CleanDrawing
from dxf2turn.contour.components import Component, is_rectilinear, strictly_inside
from dxf2turn.contour.view import Side, View
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Bounds, Segment
from dxf2turn.options import DrawingOptions
from dxf2turn.reading.model import NoteKind

_MARGIN = 1e-3  # of a box's size: nearer to it is not "inside with room all around"
_BOXED = 3.0  # heights of its text: a box no larger belongs to the text (datum letter, balloon)
_ROUND = math.radians(200.0)  # arcs about one centre that turn further make an end view
_MIDDLE = 0.1  # of the view's size: how near its middle the common centre lies
_HALF = 0.5  # of the view's size: least diameter of those arcs


def frames_and_tables(outlines: list[Component], clean: CleanDrawing) -> list[Component]:
    """Level and upright lines around other outlines, around several texts or close around one."""
    k = clean.unit.mm_per_unit
    texts = [
        (Point(note.at.x * k, note.at.y * k), note.height * k)
        for note in clean.drawing.notes
        if note.kind in (NoteKind.TEXT, NoteKind.ATTRIBUTE, NoteKind.TOLERANCE)
    ]
    return [o for o in outlines if is_rectilinear(o) and o.closed and _is_frame(o, outlines, texts, clean)]


def _is_frame(
    outline: Component,
    outlines: Iterable[Component],
    texts: Iterable[tuple[Point, float]],
    clean: CleanDrawing,
) -> bool:
    box = outline.bounds
    held = [o for o in outlines if o.closed and strictly_inside(o.bounds, box, _MARGIN * box.size)]
    inside = [height for p, height in texts if box.min_x < p.x < box.max_x and box.min_y < p.y < box.max_y]
    if held:
        return bool(inside) or _holds_all_centre_lines(box, clean)
    small = min(box.max_x - box.min_x, box.max_y - box.min_y)
    return len(inside) > 1 or any(small <= _BOXED * height for height in inside)


def _holds_all_centre_lines(box: Bounds, clean: CleanDrawing) -> bool:
    centres = [piece.segment.bounds for piece in clean.centres]
    return bool(centres) and all(strictly_inside(centre, box, 0.0) for centre in centres)


def is_end_view(view: View, options: DrawingOptions) -> bool:
    """Whether a view shows a part from its end: arcs about its middle that go nearly all around.

    Whole circles apart from the axis are no part either: they are holes in something seen from its end.
    """
    gap = options.tolerances.gap
    if all(side.bounds.min_y > 0.0 and _is_circle(side, gap) for side in view.sides):
        return True
    low, high = view.z_range
    size = min(high - low, 2.0 * view.largest_r)
    middle = view.axis.drawing_mm(Point(0.5 * (low + high), 0.0))
    segments = (piece.segment for piece in view.pieces)
    return any(
        sweep >= _ROUND and centre.distance(middle) <= _MIDDLE * size and 2.0 * radius >= _HALF * size
        for centre, radius, sweep in _rounds(segments, gap)
    )


def _is_circle(side: Side, gap: float) -> bool:
    """Whether the border of a side is one circle."""
    half = side.half
    border = [
        half.map.side(s)
        for face in side.group
        for s in half.map.faces[face]
        if half.map.face_of[s ^ 1] not in side.group
    ]
    return all(isinstance(segment, Arc) for segment in border) and len(_rounds(border, gap)) == 1


def _rounds(segments: Iterable[Segment], gap: float) -> list[tuple[Point, float, float]]:
    """Centre, radius and total sweep of the circles on which arcs lie."""
    circles: dict[tuple[int, int, int], list[Arc]] = defaultdict(list)
    for arc in segments:
        if isinstance(arc, Arc):
            circles[round(arc.centre.x / gap), round(arc.centre.y / gap), round(arc.radius / gap)].append(arc)
    return [(arcs[0].centre, arcs[0].radius, sum(abs(a.sweep) for a in arcs)) for arcs in circles.values()]
