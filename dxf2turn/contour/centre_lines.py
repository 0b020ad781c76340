"""Which outlines belong to which drawn centre line, and which lie along one without being a part."""

from __future__ import annotations

import math
from collections.abc import Sequence

from dxf2turn.cleaning.model import CleanDrawing
from dxf2turn.contour.axis import centre_axes, suits
from dxf2turn.contour.components import Component, strictly_inside
from dxf2turn.contour.frame import Axis
from dxf2turn.contour.marks import without_marks
from dxf2turn.contour.symmetry import levels_share, mirrored_share
from dxf2turn.contour.view import View
from dxf2turn.geometry.path import path_bounds, path_length
from dxf2turn.geometry.segment import Arc, Bounds
from dxf2turn.options import DrawingOptions

_CROSSED = 0.3  # least mirrored share of linework that a centre line runs through
_FAULTY = 0.3  # of the largest component's size: smaller linework with a fault is a symbol
_ALONG = 0.3  # least share of a component's length that a centre line covers
_ROUND = 0.5  # least share of arcs in the border of an end view
_ON_AXIS = 2.0  # least suitability of what a centre line runs through or what ends on it


def along_centre_lines(
    parts: Sequence[Component], clean: CleanDrawing, options: DrawingOptions
) -> list[tuple[Axis, list[Component]]]:
    """The centre lines with the components that suit them best.

    What lies apart from a line is a half of a section; not so where another centre line runs through it, or
    where it lies further out than a part that the line runs through: then it is something else.
    """
    axes = [a for a in centre_axes(clean.centres, options.tolerances) if suits(a, options)]
    on_axis: dict[int, list[tuple[float, Component]]] = {}
    for part in parts:
        scores = [suitability(part, axis, options) for axis in axes]
        best = max(scores, default=0.0)
        apart = 0.0 < best < _ON_AXIS
        if apart and any(_runs_through(part, axis, options.tolerances.gap) for axis in axes):
            continue
        if best > 0.0:
            on_axis.setdefault(scores.index(best), []).append((best, part))
    return [(axes[index], _within_reach(axes[index], scored)) for index, scored in on_axis.items()]


def _within_reach(axis: Axis, scored: Sequence[tuple[float, Component]]) -> list[Component]:
    """The components on an axis, and those apart from it that lie no further out than one on it."""
    if all(score >= _ON_AXIS for score, _ in scored):
        return [part for _, part in scored]
    on_it = [box_along(part, axis) for score, part in scored if score >= _ON_AXIS]
    kept = []
    for score, part in scored:
        box = box_along(part, axis)
        beside = [other for other in on_it if other.min_x < box.max_x and box.min_x < other.max_x]
        nearest = max(box.min_y, -box.max_y)
        reach = max((max(other.max_y, -other.min_y) for other in beside), default=math.inf)
        if score >= _ON_AXIS or nearest <= reach:
            kept.append(part)
    return kept


def suitability(part: Component, axis: Axis, options: DrawingOptions) -> float:
    """How well a drawn centre line suits a component as the axis of it or of one of its halves; 0: not.

    Symmetrical about it, or with an end on it: 2 to 3. Apart from it: 1 to 2, the nearer the better.
    """
    box = box_along(part, axis)
    if common(axis, box) < _ALONG * (box.max_x - box.min_x):
        return 0.0
    gap = options.tolerances.gap
    nearest = max(box.min_y, -box.max_y)
    if nearest > gap:
        return 1.0 + 1.0 / (1.0 + nearest / box.size)
    if nearest >= -gap:
        return 2.5
    # A half that is open has no border, one that is cut open has other lines in it: either may be alike.
    plain = without_marks(part, axis, options.tolerances)
    everything = mirrored_share(plain.segments, axis, gap)
    share = max(mirrored_share(plain.border, axis, gap), everything, levels_share(plain.border, axis, gap))
    # Of two lines about which the outline is alike the axis is the one about which its inside is as well.
    return _ON_AXIS + 0.5 * (share + everything) if share >= _CROSSED else 0.0


def faulty_on_centre_lines(
    parts: Sequence[Component], clean: CleanDrawing, options: DrawingOptions
) -> list[Component]:
    """Large outlines along a centre line that are open, or that it cuts into unlike halves: to take another
    axis for them would be wrong."""
    axes = [a for a in centre_axes(clean.centres, options.tolerances) if suits(a, options)]
    largest = max((part.bounds.size for part in parts), default=0.0)
    large = [part for part in parts if part.bounds.size >= _FAULTY * largest]
    found = []
    for part in large:
        scores = [suitability(part, axis, options) for axis in axes]
        along = any(_runs_along(part, axis) for axis in axes)
        if (max(scores, default=0.0) > 0.0 and not part.closed) or (along and max(scores) == 0.0):
            found.append(part)
    return found


def unlike_halves(
    parts: Sequence[Component], views: Sequence[View], options: DrawingOptions
) -> tuple[Component, ...]:
    """Outlines that a part's centre line runs along as well, but that are no half and no view."""
    used = {id(piece) for view in views for piece in view.pieces}
    others = [part for part in parts if used.isdisjoint(map(id, part.pieces))]
    axes = [view.axis for view in views if view.axis.extent is not None]
    boxes = [path_bounds([piece.segment for piece in view.pieces]) for view in views]
    smallest = _FAULTY * min(box.size for box in boxes)
    return tuple(
        part
        for part in others
        if part.bounds.size >= smallest
        and not _is_round(part)
        and not any(strictly_inside(box, part.bounds, 0.0) for box in boxes)
        and any(_runs_along(part, axis) and suitability(part, axis, options) == 0.0 for axis in axes)
    )


def is_large(views: Sequence[View], parts: Sequence[Component]) -> bool:
    """Whether one of some views is no symbol or logo beside the largest outline of the sheet."""
    largest = max(part.bounds.size for part in parts)
    sizes = (path_bounds([piece.segment for piece in view.pieces]).size for view in views)
    return max(sizes) >= _FAULTY * largest


def common(axis: Axis, box: Bounds) -> float:
    """Length that a drawn centre line and a box have in common along it."""
    if axis.extent is None:
        return box.max_x - box.min_x
    return min(box.max_x, axis.extent[1]) - max(box.min_x, axis.extent[0])


def box_along(part: Component, axis: Axis) -> Bounds:
    """The box of a component in (z, r) of an axis."""
    return path_bounds([axis.segment(segment) for segment in part.segments])


def _runs_through(part: Component, axis: Axis, gap: float) -> bool:
    """Whether a centre line runs through a component along a good part of it."""
    box = box_along(part, axis)
    inside = box.min_y < -gap and box.max_y > gap
    return inside and common(axis, box) >= _ALONG * (box.max_x - box.min_x)


def _runs_along(part: Component, axis: Axis) -> bool:
    """Whether a drawn centre line runs along a good part of a component, the long way of it."""
    box = box_along(part, axis)
    length, height = box.max_x - box.min_x, box.max_y - box.min_y
    return length >= height and common(axis, box) >= _ALONG * length


def _is_round(part: Component) -> bool:
    """Whether the border of a component is drawn with arcs for the most part, as an end view's is."""
    arcs = math.fsum(segment.length for segment in part.border if isinstance(segment, Arc))
    return arcs >= _ROUND * path_length(part.border)
