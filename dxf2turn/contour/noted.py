"""Which notes speak of a view: dimensions along or across its axis, diameters, threads beside it."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from dxf2turn.cleaning.model import CleanDrawing
from dxf2turn.contour.frame import mirrored
from dxf2turn.contour.view import View
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Bounds
from dxf2turn.reading.model import DimensionKind, Note

_NEAR = 0.5  # of the view's size: how far from it a note about it may stand
_ON = 0.05  # of the view's size: how far from it the ends of its own dimensions may lie
_ENDS = 2  # of a dimension
_SQUARE = math.radians(1.0)
_TURNED = re.compile(r"\u2300|\bM\s?\d+(?![\d\s]*:)|\bG\s?\d+/\d|UN[CFEJ]|Tr\s?\d|NPT", re.IGNORECASE)


def is_dimensioned(view: View, clean: CleanDrawing) -> bool:
    """Whether a dimension measures a view along or across its axis."""
    return any(_beside(view, clean)(note) for note in clean.drawing.notes if _is_in_line(note, view))


def is_measured(view: View, clean: CleanDrawing) -> bool:
    """Whether both ends of some dimension along or across its axis lie on a view."""
    on_it = _within(view, clean, _ON)
    return any(
        len(note.tips) >= _ENDS and all(map(on_it, note.tips))
        for note in clean.drawing.notes
        if _is_in_line(note, view)
    )


def is_called_out(view: View, clean: CleanDrawing) -> bool:
    """Whether a note beside a view names a diameter or a thread."""
    texts = (note for note in clean.drawing.notes if note.dimension is None and _TURNED.search(note.text))
    return any(_beside(view, clean)(note) for note in texts)


def _is_in_line(note: Note, view: View) -> bool:
    if note.dimension is None or note.dimension.kind is DimensionKind.DIAMETER:
        return note.dimension is not None
    off = (note.dimension.direction - view.axis.direction.angle) % (0.5 * math.pi)
    return note.dimension.kind is DimensionKind.LINEAR and min(off, 0.5 * math.pi - off) <= _SQUARE


def _beside(view: View, clean: CleanDrawing) -> Callable[[Note], bool]:
    """Tells of a note whether it, or what it points at, lies on a view or close beside it."""
    near = _within(view, clean, _NEAR)
    return lambda note: any(near(place) for place in (note.at, *note.tips))


def _within(view: View, clean: CleanDrawing, share: float) -> Callable[[Point], bool]:
    """Tells of a place in the drawing whether it lies in a view's box, grown by a share of its size."""
    k, box = clean.unit.mm_per_unit, _box(view)
    near = share * box.size

    def inside(place: Point) -> bool:
        at = view.axis.z_r(Point(place.x * k, place.y * k))
        across = box.min_y - near <= at.y <= box.max_y + near
        return across and box.min_x - near <= at.x <= box.max_x + near

    return inside


def _box(view: View) -> Bounds:
    """The box of both sides, in (z, r) of the axis."""
    segments = [
        segment if side is view.above else mirrored(segment)
        for side in view.sides
        for face in side.group
        for segment in side.half.path(face)
    ]
    return path_bounds(segments)
