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
_SIDES = 4  # of a rectangle
_PAPER = (math.sqrt(2.0), 11.0 / 8.5, 17.0 / 11.0, 22.0 / 17.0, 34.0 / 22.0)  # ISO 216 and inch sheets
_PAPER_NEAR = 0.015  # relative
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
    """A rectangle that holds other outlines and texts, or all centre lines, or is as long to wide as paper;
    a small one close around a text; one with cells and texts through which no centre line runs."""
    if len(outline.border) != _SIDES:
        return False
    box = outline.bounds
    held = [o for o in outlines if o.closed and strictly_inside(o.bounds, box, _MARGIN * box.size)]
    inside = [height for p, height in texts if box.min_x < p.x < box.max_x and box.min_y < p.y < box.max_y]
    if held:
        return bool(inside) or _holds_all_centre_lines(box, clean) or _is_as_paper(box)
    small = min(box.max_x - box.min_x, box.max_y - box.min_y)
    cells = len(outline.pieces) > _SIDES and not any(
        _touch(piece.segment.bounds, box) for piece in clean.centres
    )
    return (cells and len(inside) > 1) or any(small <= _BOXED * height for height in inside)


def _is_as_paper(box: Bounds) -> bool:
    width, height = box.max_x - box.min_x, box.max_y - box.min_y
    ratio = max(width, height) / min(width, height)
    return any(abs(ratio - paper) <= _PAPER_NEAR * paper for paper in _PAPER)


def _touch(a: Bounds, b: Bounds) -> bool:
    return a.min_x <= b.max_x and b.min_x <= a.max_x and a.min_y <= b.max_y and b.min_y <= a.max_y


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
