"""Does anything on the sheet say that a candidate is a turned part?

A drawn axis does, a dimension along or across the axis, a diameter or a thread in the notes, lines inside a
symmetrical view, and whoever names the part, its axis or its layer. Without any of these an outline is
believed when it stands for itself: it is the largest thing on the sheet or a good share of it, and it has a
cylinder, a face or a curve. What is left is not guessed at.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from dxf2turn.cleaning.model import CleanDrawing
from dxf2turn.cleaning.pieces import in_drawing
from dxf2turn.contour.components import Component, strictly_inside
from dxf2turn.contour.frame import mirrored
from dxf2turn.contour.material import is_across
from dxf2turn.contour.model import Candidate
from dxf2turn.contour.noted import is_called_out, is_dimensioned
from dxf2turn.contour.plausible import DRAWN
from dxf2turn.contour.sheet import Sheet
from dxf2turn.contour.view import Side, View
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.geometry.path import path_bounds, path_length
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.options import DrawingOptions, Tolerances
from dxf2turn.units import plain_text

_SHARE = 1.0 / 3.0  # of the linework on the sheet, by length: less speaks for nothing
_BOX = 4  # pieces of a plain box
_SQUARE = math.radians(1.0)


def unclear_part(
    view: View, sheet: Sheet, candidate: Candidate, clean: CleanDrawing, options: DrawingOptions
) -> Finding | None:
    """A stop for a candidate that nothing speaks for, None for all others."""
    chosen = options.part is not None or options.axis != "auto" or bool(options.layers)
    if (
        chosen
        or view.kind in (*DRAWN, "line")
        or _shows_inner_lines(view)
        or (is_dimensioned(view, clean) or is_called_out(view, clean))
    ):
        return None
    reason = _why_doubted(view, sheet, clean, options.tolerances)
    if reason is None:
        return None
    box = path_bounds([piece.segment for piece in view.pieces])
    corner = in_drawing(Point(box.min_x, box.min_y), clean.unit.mm_per_unit)
    return Finding(
        "contour/unclear-part",
        Severity.STOP,
        f"Nothing shows that the outline of {plain_text(candidate.length)} mm length and "
        f"{plain_text(candidate.max_diameter_mm)} mm diameter at {plain_text(corner.x)}, "
        f"{plain_text(corner.y)} is a turned part: it has no centre line and no dimension, and {reason}.",
        f"If it is the part, take it with --part {candidate.number}; else name the layer of the part with "
        "--layer, or its axis with --axis X0,Y0,X1,Y1.",
        Location(drawing_xy=corner, layer=_layer(view)),
    )


def _shows_inner_lines(view: View) -> bool:
    """Whether both sides of a symmetrical view have lines in them: edges, bores."""
    return view.kind == "symmetry" and all(len(side.group) > 1 for side in view.sides)


def _why_doubted(view: View, sheet: Sheet, clean: CleanDrawing, tolerances: Tolerances) -> str | None:
    """What makes an outline without any evidence doubtful, None for nothing."""
    outline = _outline(view)
    if not any(_is_turned(segment, tolerances) for segment in outline):
        return "it has neither a cylinder nor a face"
    own_pieces = set(map(id, view.pieces))
    others = [part for part in sheet.rest if own_pieces.isdisjoint(map(id, part.pieces))]
    box = path_bounds([piece.segment for piece in view.pieces])
    if len(view.pieces) <= _BOX and any(p.closed and strictly_inside(p.bounds, box, 0.0) for p in others):
        return "it is a plain box with another outline inside, as a plate with a window is"
    others = [part for part in others if not _is_end_view_of(part, view)]
    size = path_bounds(outline).size
    if all(part.bounds.size <= size for part in others):
        return None
    own = path_length(outline)
    left_out = {id(piece) for frame in sheet.frames for piece in frame.pieces}
    everything = path_length(piece.segment for piece in clean.pieces if id(piece) not in left_out)
    if own >= _SHARE * everything:
        return None
    return (
        f"it is neither the largest outline on the sheet nor a good share of it "
        f"({plain_text(100.0 * own / everything, 0)} % of the linework)"
    )


def _outline(view: View) -> list[Segment]:
    """The outer border of both sides, off the axis, in (z, r) of the axis."""
    return [
        segment if side is view.above else mirrored(segment)
        for side in view.sides
        for segment in _border(side)
    ]


def _border(side: Side) -> Iterator[Segment]:
    half = side.half
    for face in side.group:
        for s in half.map.faces[face]:
            if half.map.face_of[s ^ 1] not in side.group and not half.on_axis(s):
                yield half.map.side(s)


def _is_turned(segment: Segment, tolerances: Tolerances) -> bool:
    """Whether a piece off the axis is a face, a cylinder or round."""
    if isinstance(segment, Arc) or is_across(segment, tolerances):
        return True
    return isinstance(segment, Line) and abs(segment.tangent_at(0.0).dy) <= tolerances.same_angle


def _is_end_view_of(part: Component, view: View) -> bool:
    """Whether a component lies on the view's axis beside it, as its end view does."""
    box = path_bounds([view.axis.segment(segment) for segment in part.segments])
    return abs(box.min_y + box.max_y) <= _SQUARE * box.size


def _layer(view: View) -> str | None:
    layers = {piece.origin.layer for piece in view.pieces}
    return layers.pop() if len(layers) == 1 else None
