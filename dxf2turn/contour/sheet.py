"""Find the views of turned parts on a sheet, by falling strength of the evidence for their axis.

    asked       the axis was given by two points
    centre      a centre line runs along the part
    off centre  a centre line runs close beside the line about which the outline is symmetrical
    through     an ordinary line runs through the part, ends free past both its faces, has equal sides
    symmetry    the outline is its own mirror image; about the drawing's own x or y axis before elsewhere
    origin      a half profile apart from the drawing's own x or y axis, with a face at its zero
    line        an ordinary line runs beside a half profile
    open ends   a half profile that is open along its axis
    edge        a half profile with a straight edge: on the drawing's own x or y axis (this comes before
                symmetry elsewhere), or along its whole length

The first kind that finds a part decides; frames, tables and end views are left out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from dxf2turn.cleaning.model import CleanDrawing, Piece
from dxf2turn.contour.axis import (
    asked_axis,
    centre_axes,
    facing_front,
    plain_line_axes,
    suits,
    through_line_axes,
)
from dxf2turn.contour.components import Component, components, joined, strictly_inside
from dxf2turn.contour.frame import Axis
from dxf2turn.contour.hatching import hatching_along
from dxf2turn.contour.marks import without_circles, without_marks
from dxf2turn.contour.others import frames_and_tables, is_end_view
from dxf2turn.contour.own_axis import edge_axes, edge_on_origin_axes, open_end_axes, origin_axes
from dxf2turn.contour.plausible import DRAWN, is_part_of_another, is_plausible
from dxf2turn.contour.symmetry import is_beside, levels_share, mirrored_share, passes_origin, symmetry_axes
from dxf2turn.contour.view import View, views_along
from dxf2turn.geometry.path import path_bounds, path_length
from dxf2turn.geometry.segment import Arc, Bounds
from dxf2turn.options import DrawingOptions, Tolerances

_DETAIL = 0.02  # share of the largest view's area below which a closed outline is a symbol or a detail
_CROSSED = 0.3  # least mirrored share of linework that a centre line runs through
_FAULTY = 0.3  # of the largest component's size: smaller linework with a fault is a symbol
_ROUND = 0.5  # least share of arcs in the border of an end view
_ALONG = 0.3  # least share of a component's length that a centre line covers


@dataclass(frozen=True, slots=True)
class Sheet:
    """views: candidates for a turned part. end_views: round ones, left out. frames: left out as well. unlike:
    outlines along a centre line, as large as a view, whose halves are not alike."""

    views: tuple[View, ...]
    end_views: tuple[View, ...] = ()
    frames: tuple[Component, ...] = ()
    rest: tuple[Component, ...] = ()
    unlike: tuple[Component, ...] = ()


def survey(clean: CleanDrawing, options: DrawingOptions) -> Sheet:
    """All candidates on a sheet."""
    everything = components(clean.pieces, options.tolerances.gap)
    outlines = [c for c in everything if len(c.pieces) > 1]
    loose = [c.pieces[0] for c in everything if len(c.pieces) == 1]
    frames = tuple(frames_and_tables(outlines, clean))
    parts = [c for c in outlines if c not in frames]
    round_ones: list[View] = []
    small: list[View] = []
    for kind, views in _searches(parts, loose, clean, options):
        found = _of_size(
            [
                view
                for view in (replace(view, kind=kind) for view in views)
                if is_plausible(view) and not is_part_of_another(view, parts)
            ]
        )
        ends = [view for view in found if is_end_view(view, options)]
        round_ones.extend(ends)
        found = [view for view in found if view not in ends]
        if found and (kind in DRAWN or _is_large(found, parts)):
            unlike = _unlike(parts, found, clean, options) if kind == "centre" else ()
            return Sheet(tuple(found), tuple(round_ones), frames, tuple(parts), unlike)
        small = small or found
        faulty = _faulty_on_centre_lines(parts, clean, options) if kind == "off centre" else []
        if faulty:
            return Sheet((), tuple(round_ones), frames, tuple(faulty))
    if small:
        return Sheet(tuple(small), tuple(round_ones), frames, tuple(parts))
    balls = [view for view in round_ones if view.kind in ("asked", "centre")]
    return Sheet(tuple(_of_size(balls)[:1]), tuple(round_ones), frames, tuple(parts))


def _is_large(views: list[View], parts: list[Component]) -> bool:
    """Whether one of some views is no symbol or logo beside the largest outline of the sheet."""
    largest = max(part.bounds.size for part in parts)
    sizes = (path_bounds([piece.segment for piece in view.pieces]).size for view in views)
    return max(sizes) >= _FAULTY * largest


def _unlike(
    parts: list[Component], views: list[View], clean: CleanDrawing, options: DrawingOptions
) -> tuple[Component, ...]:
    """Outlines that a centre line runs along as it does along a part, but that are no half and no view."""
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
        and any(_runs_along(part, axis) and _suitability(part, axis, options) == 0.0 for axis in axes)
    )


def _is_round(part: Component) -> bool:
    """Whether the border of a component is drawn with arcs for the most part, as an end view's is."""
    arcs = math.fsum(segment.length for segment in part.border if isinstance(segment, Arc))
    return arcs >= _ROUND * path_length(part.border)


def _faulty_on_centre_lines(
    parts: list[Component], clean: CleanDrawing, options: DrawingOptions
) -> list[Component]:
    """Large outlines along a centre line that are open, or that it cuts into unlike halves: to take another
    axis for them would be wrong."""
    axes = [a for a in centre_axes(clean.centres, options.tolerances) if suits(a, options)]
    largest = max((part.bounds.size for part in parts), default=0.0)
    large = [part for part in parts if part.bounds.size >= _FAULTY * largest]
    found = []
    for part in large:
        scores = [_suitability(part, axis, options) for axis in axes]
        along = any(_runs_along(part, axis) for axis in axes)
        if (max(scores, default=0.0) > 0.0 and not part.closed) or (along and max(scores) == 0.0):
            found.append(part)
    return found


def _runs_along(part: Component, axis: Axis) -> bool:
    """Whether a drawn centre line runs along a good part of a component, the long way of it."""
    box = _box_along(part, axis)
    length, height = box.max_x - box.min_x, box.max_y - box.min_y
    return length >= height and _common(axis, box) >= _ALONG * length


def _common(axis: Axis, box: Bounds) -> float:
    """Length that a drawn centre line and a box have in common along it."""
    if axis.extent is None:
        return box.max_x - box.min_x
    return min(box.max_x, axis.extent[1]) - max(box.min_x, axis.extent[0])


def _searches(
    parts: list[Component], loose: list[Piece], clean: CleanDrawing, options: DrawingOptions
) -> Iterator[tuple[str, list[View]]]:
    tolerances = options.tolerances

    def look(axis: Axis, group: Sequence[Component]) -> list[View]:
        if not group or not suits(axis, options):
            return []
        axis = facing_front(axis, options)
        return views_along(axis, joined(group).pieces, hatching_along(axis, clean), tolerances)

    def search(axes_of: Callable[[Component], list[Axis]]) -> list[View]:
        """For each component the first of its axes that shows a part."""
        return [view for part in parts for view in _first_seen(part, axes_of(part), look)]

    asked = asked_axis(options, clean.unit.mm_per_unit)
    if asked is not None:
        yield "asked", look(asked, parts)
        return
    yield "centre", _along_centre_lines(parts, clean, options, look)
    whole = [part for part in parts if part.closed]
    drawn = [axis for axis in centre_axes(clean.centres, tolerances) if suits(axis, options)]

    def beside_centre_line(part: Component) -> list[Axis]:
        return [axis for axis in symmetry_axes(part, tolerances) if is_beside(axis, drawn, part)]

    yield "off centre", [v for part in whole for v in _first_seen(part, beside_centre_line(part), look)]

    yield "through line", _along_through_lines(parts, tolerances, look)

    def by_symmetry(on_origin: bool) -> list[View]:
        views = []
        for group in _with_twins(whole):
            axes = _symmetry_axes_of(group, tolerances)
            wanted = [axis for axis in axes if not on_origin or passes_origin(axis, tolerances)]
            views.extend(_first_seen_of(group, wanted, look))
        return views

    yield "symmetry", by_symmetry(True)
    yield "edge", search(lambda part: edge_on_origin_axes(part, tolerances))
    yield "origin", search(lambda part: origin_axes(part, tolerances))
    yield "symmetry", by_symmetry(False)
    yield "line", search(lambda part: plain_line_axes(loose, part, tolerances))
    yield "open ends", search(lambda part: open_end_axes(part, tolerances))
    yield "edge", search(lambda part: edge_axes(part, tolerances))


Look = Callable[[Axis, Sequence[Component]], list[View]]


def _first_seen(part: Component, axes: list[Axis], look: Look) -> list[View]:
    return _first_seen_of([part], axes, look)


def _first_seen_of(group: Sequence[Component], axes: list[Axis], look: Look) -> list[View]:
    for axis in axes:
        views = look(axis, group)
        if views:
            return views
    return []


def _along_centre_lines(
    parts: list[Component], clean: CleanDrawing, options: DrawingOptions, look: Look
) -> list[View]:
    """Views along the centre lines, each component on the line that suits it best."""
    axes = [a for a in centre_axes(clean.centres, options.tolerances) if suits(a, options)]
    on_axis: dict[int, list[Component]] = {}
    for part in parts:
        scores = [_suitability(part, axis, options) for axis in axes]
        if scores and max(scores) > 0.0:
            on_axis.setdefault(scores.index(max(scores)), []).append(part)
    return [view for index, group in on_axis.items() for view in look(axes[index], group)]


def _suitability(part: Component, axis: Axis, options: DrawingOptions) -> float:
    """How well a drawn centre line suits a component as the axis of it or of one of its halves; 0: not.

    Symmetrical about it, or with an end on it: 2 to 3. Apart from it: 1 to 2, the nearer the better.
    """
    box = _box_along(part, axis)
    if _common(axis, box) < _ALONG * (box.max_x - box.min_x):
        return 0.0
    gap = options.tolerances.gap
    nearest = max(box.min_y, -box.max_y)
    if nearest > gap:
        return 1.0 + 1.0 / (1.0 + nearest / box.size)
    if nearest >= -gap:
        return 2.5
    # A half that is open has no border, one that is cut open has other lines in it: either may be alike.
    plain = without_marks(part, axis, options.tolerances)
    share = max(mirrored_share(run, axis, gap) for run in (plain.border, plain.segments))
    share = max(share, levels_share(plain.border, axis, gap))
    return 2.0 + share if share >= _CROSSED else 0.0


def _along_through_lines(parts: list[Component], tolerances: Tolerances, look: Look) -> list[View]:
    """Views along ordinary lines, each with both sides of one length and one diameter."""
    views: list[View] = []
    for axis in through_line_axes(joined(parts).pieces if parts else (), tolerances):
        beside = [part for part in parts if _common(axis, _box_along(part, axis)) > 0.0]
        views.extend(view for view in look(axis, beside) if _sides_agree(view, tolerances.gap))
    return views


def _sides_agree(view: View, gap: float) -> bool:
    """Whether both sides of a view are drawn, from one face to the other and equally wide."""
    if view.above is None or view.below is None:
        return False
    a, b = view.above.bounds, view.below.bounds
    off = (a.min_x - b.min_x, a.max_x - b.max_x, a.max_y - b.max_y)
    return max(map(abs, off)) <= gap


def _box_along(part: Component, axis: Axis) -> Bounds:
    return path_bounds([axis.segment(segment) for segment in part.segments])


def _symmetry_axes_of(group: Sequence[Component], tolerances: Tolerances) -> list[Axis]:
    """Axes of symmetry of some components together, also of what is left without circles around details."""
    whole = joined(group)
    plain = without_circles(whole, tolerances)
    return symmetry_axes(whole, tolerances) + ([] if plain is None else symmetry_axes(plain, tolerances))


def _with_twins(parts: list[Component]) -> list[list[Component]]:
    """Components, and two of equal size that face each other (a section without a centre line) together."""
    groups: list[list[Component]] = []
    used: set[int] = set()
    for i, part in enumerate(parts):
        if i in used:
            continue
        group = [part]
        for j in range(i + 1, len(parts)):
            if j not in used and _faces(part.bounds, parts[j].bounds):
                group.append(parts[j])
                used.add(j)
                break
        groups.append(group)
    return groups


def _faces(a: Bounds, b: Bounds) -> bool:
    near = 1e-3 * a.size
    same_size = (
        abs((a.max_x - a.min_x) - (b.max_x - b.min_x)) <= near
        and abs((a.max_y - a.min_y) - (b.max_y - b.min_y)) <= near
    )
    level = abs(a.min_x - b.min_x) <= near and (a.min_y > b.max_y or b.min_y > a.max_y)
    upright = abs(a.min_y - b.min_y) <= near and (a.min_x > b.max_x or b.min_x > a.max_x)
    return same_size and (level or upright)


def _of_size(views: list[View]) -> list[View]:
    """Views without symbols and small details beside the largest one."""
    largest = max((view.area for view in views), default=0.0)
    return [view for view in views if view.area >= _DETAIL * largest]
