"""Parts drawn into each other on layers of their own, such as a shaft in its housing or a part in its blank.

Seen together they would be one outline. When two layers each show a part by themselves, on one axis and
over one stretch of it, and the thinner part sticks out of the other or lies in it with room all around,
each layer's part is a candidate of its own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import permutations

from dxf2turn.cleaning.clean import clean_drawing
from dxf2turn.cleaning.model import CleanDrawing
from dxf2turn.contour.frame import Axis
from dxf2turn.contour.half import Drawn, seen_from
from dxf2turn.contour.marks import marks_among, without
from dxf2turn.contour.sheet import Sheet, survey
from dxf2turn.contour.view import View
from dxf2turn.geometry.point import Point
from dxf2turn.options import DrawingOptions, Tolerances
from dxf2turn.reading.model import Role

_SHARE = 0.1  # of a view's pieces: a layer with less holds details
_FEWEST = 2  # layers for parts on layers of their own
_MOST = 6  # layers that are looked at by themselves
_COMMON = 0.3  # of the shorter part's length: drawn into each other, not one behind the other
_LONG = 0.15  # of the thinner part's length: what is shorter around it is a symbol or a detail
_FILLS = 0.5  # of its blank's length and diameter: what is smaller is a detail in the part, not the part


@dataclass(frozen=True, slots=True)
class Choice:
    """A candidate with the drawing and the sheet it was seen on. layer: the only one that was looked at."""

    view: View
    clean: CleanDrawing
    sheet: Sheet
    layer: str | None = None


def choices(sheet: Sheet, clean: CleanDrawing, options: DrawingOptions) -> tuple[Choice, ...]:
    """The candidates of a sheet; those of single layers where parts are drawn into each other."""
    alone = () if options.layers else tuple(_alone(sheet, clean, options))
    if any(_drawn_into(a, b, options.tolerances) for a, b in permutations(alone, 2) if a.layer != b.layer):
        return tuple(sorted(alone, key=lambda choice: -choice.view.largest_r))
    return tuple(Choice(view, clean, sheet) for view in sheet.views)


def _alone(sheet: Sheet, clean: CleanDrawing, options: DrawingOptions) -> Iterator[Choice]:
    """What each of the main layers shows by itself."""
    layers = _main_layers(sheet.views, options.tolerances)
    for layer in layers if len(layers) > 1 else ():
        own = replace(options, layers=(layer,))
        cleaned = clean_drawing(clean.drawing, own)
        seen = survey(cleaned, own)
        if _is_complete(seen.views, options.tolerances.gap):
            yield from (Choice(view, cleaned, seen, layer) for view in seen.views)


def _is_complete(views: Sequence[View], gap: float) -> bool:
    """Whether what hangs together with some views ends where they end: no face is drawn elsewhere."""
    for view in views:
        onto = (view.axis.segment(piece.segment).bounds for piece in view.pieces)
        boxes = [box for box in onto if max(-box.min_y, box.max_y) > gap]
        same_axis = [other.z_range for other in views if other.axis == view.axis]
        low, high = min(z for z, _ in same_axis), max(z for _, z in same_axis)
        if min(b.min_x for b in boxes) < low - gap or max(b.max_x for b in boxes) > high + gap:
            return False
    return True


def _main_layers(views: Sequence[View], tolerances: Tolerances) -> list[str]:
    """The layers of much of the outlines, marks and hidden lines apart."""
    if len({piece.origin.layer for view in views for piece in view.pieces}) < _FEWEST:
        return []
    bounding = (entry for v in views for entry in _bounding(v, tolerances))
    drawn = (entry.piece for entry in bounding if entry.piece.role is Role.OUTLINE)
    pieces = {id(piece): piece for piece in drawn}
    counts = Counter(piece.origin.layer for piece in pieces.values())
    return [layer for layer, count in counts.most_common(_MOST) if count >= _SHARE * len(pieces)]


def _bounding(view: View, tolerances: Tolerances) -> list[Drawn]:
    seen = seen_from(view.axis, view.pieces)
    return without(seen, marks_among(seen, tolerances))[0]


def _drawn_into(thin: Choice, thick: Choice, tolerances: Tolerances) -> bool:
    """Whether one part runs through another one and sticks out of it, or lies in it as in its blank."""
    gap, axis = tolerances.gap, thick.view.axis
    ends = [thin.view.axis.drawing_mm(Point(z, 0.0)) for z in thin.view.z_range]
    low, high = thick.view.z_range
    if high - low < _LONG * abs(thin.view.z_range[1] - thin.view.z_range[0]):
        return False
    if not _on(axis, ends, gap) or thin.view.largest_r > thick.view.largest_r - gap:
        return False
    a0, a1 = sorted(axis.z_r(end).x for end in ends)
    if min(a1, high) - max(a0, low) < _COMMON * min(a1 - a0, high - low):
        return False
    sticks_out = a0 < low - gap or a1 > high + gap
    inside = a0 > low + gap and a1 < high - gap
    fills = a1 - a0 >= _FILLS * (high - low) and thin.view.largest_r >= _FILLS * thick.view.largest_r
    return sticks_out or (inside and fills)


def _on(axis: Axis, places: Sequence[Point], gap: float) -> bool:
    return all(abs(axis.z_r(place).y) <= gap for place in places)
