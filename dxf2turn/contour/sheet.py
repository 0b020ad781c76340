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
from dxf2turn.contour.centre_lines import (
    along_centre_lines,
    box_along,
    common,
    faulty_on_centre_lines,
    is_large,
    unlike_halves,
)
from dxf2turn.contour.components import Component, components, joined, strictly_inside
from dxf2turn.contour.frame import Axis
from dxf2turn.contour.hatching import hatching_along
from dxf2turn.contour.marks import without_circles
from dxf2turn.contour.noted import is_measured
from dxf2turn.contour.others import frames_and_tables, is_end_view
from dxf2turn.contour.own_axis import edge_axes, edge_on_origin_axes, open_end_axes, origin_axes
from dxf2turn.contour.plausible import DRAWN, is_part_of_another, is_plausible
from dxf2turn.contour.symmetry import is_beside, passes_origin, symmetry_axes
from dxf2turn.contour.view import View, views_along
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.segment import Bounds
from dxf2turn.options import DrawingOptions, Tolerances

_DETAIL = 0.02  # share of the largest view's area below which a closed outline is a symbol or a detail
_COUNTS = 0.3  # of the smallest part's size: a smaller outline without centre line is a symbol


@dataclass(frozen=True, slots=True)
class Sheet:
    """views: candidates for a turned part. end_views: round ones, left out. frames: left out as well. unlike:
    outlines along a centre line, as large as a view, whose halves are not alike. rest: outlines in which no
    view was seen; others: what lies beside them."""

    views: tuple[View, ...]
    end_views: tuple[View, ...] = ()
    frames: tuple[Component, ...] = ()
    rest: tuple[Component, ...] = ()
    unlike: tuple[Component, ...] = ()
    others: tuple[Component, ...] = ()


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
            ],
            clean,
        )
        ends = [view for view in found if is_end_view(view, options)]
        round_ones.extend(ends)
        found = [view for view in found if view not in ends]
        if found and (kind in DRAWN or is_large(found, parts)):
            found += _without_centre_line(found, parts, clean, options) if kind == "centre" else []
            unlike = unlike_halves(parts, found, options) if kind == "centre" else ()
            return Sheet(tuple(found), tuple(round_ones), frames, tuple(parts), unlike)
        small = small or found
        faulty = faulty_on_centre_lines(parts, clean, options) if kind == "off centre" else []
        if faulty:
            others = tuple(one for one in everything if one not in faulty and one not in frames)
            return Sheet((), tuple(round_ones), frames, tuple(faulty), others=others)
    if small:
        return Sheet(tuple(small), tuple(round_ones), frames, tuple(parts))
    balls = [view for view in round_ones if view.kind in ("asked", "centre")]
    return Sheet(tuple(_of_size(balls, clean)[:1]), tuple(round_ones), frames, tuple(parts))


def _without_centre_line(
    found: list[View], parts: list[Component], clean: CleanDrawing, options: DrawingOptions
) -> list[View]:
    """Further parts on a sheet where others have a centre line: symmetrical views, with lines in them, that
    are no end views."""
    used = {id(piece) for view in found for piece in view.pieces}
    rest = [part for part in parts if part.closed and used.isdisjoint(map(id, part.pieces))]
    boxes = [path_bounds([piece.segment for piece in view.pieces]) for view in found]
    smallest = _COUNTS * min(box.size for box in boxes)
    rest = [
        part
        for part in rest
        if part.bounds.size >= smallest and not any(strictly_inside(b, part.bounds, 0.0) for b in boxes)
    ]
    further: dict[int, View] = {}
    for kind, views in _searches(rest, [], clean, options) if rest else ():
        for view in (replace(view, kind=kind) for view in views):
            shows_lines = len(view.sides) > 1 and all(len(side.group) > 1 for side in view.sides)
            plausible = is_plausible(view) and not is_part_of_another(view, parts)
            if kind == "symmetry" and shows_lines and plausible and not is_end_view(view, options):
                further.setdefault(id(view.pieces[0]), view)
    return list(further.values())


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
    drawn_along = along_centre_lines(parts, clean, options)
    yield "centre", [view for axis, group in drawn_along for view in look(axis, group)]
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


def _along_through_lines(parts: list[Component], tolerances: Tolerances, look: Look) -> list[View]:
    """Views along ordinary lines, each with both sides of one length and one diameter."""
    views: list[View] = []
    for axis in through_line_axes(joined(parts).pieces if parts else (), tolerances):
        beside = [part for part in parts if common(axis, box_along(part, axis)) > 0.0]
        views.extend(view for view in look(axis, beside) if _sides_agree(view, tolerances.gap))
    return views


def _sides_agree(view: View, gap: float) -> bool:
    """Whether both sides of a view are drawn, from one face to the other and equally wide."""
    if view.above is None or view.below is None:
        return False
    a, b = view.above.bounds, view.below.bounds
    off = (a.min_x - b.min_x, a.max_x - b.max_x, a.max_y - b.max_y)
    return max(map(abs, off)) <= gap


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


def _of_size(views: list[View], clean: CleanDrawing) -> list[View]:
    """Views without symbols and small details beside the largest; what is hatched or measured stays."""
    largest = max((view.area for view in views), default=0.0)
    return [
        view
        for view in views
        if view.area >= _DETAIL * largest
        or any(side.material.why == "hatch" for side in view.sides)
        or is_measured(view, clean)
    ]
