"""Find the views of turned parts on a sheet, by falling strength of the evidence for their axis.

    asked       the axis was given by two points
    centre      a centre line runs along the part
    symmetry    the linework is its own mirror image
    line        an ordinary line runs beside a half profile
    open ends   a half profile that is open along its axis
    edge        a half profile with a straight edge along its whole length
    origin      a half profile apart from the drawing's own x or y axis

The first kind that finds a part decides; frames, tables and end views are left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from dxf2turn.cleaning.model import CleanDrawing, Piece
from dxf2turn.contour.axis import asked_axis, centre_axes, facing_front, plain_line_axes, suits
from dxf2turn.contour.components import (
    Component,
    components,
    full_circles,
    is_rectilinear,
    joined,
    strictly_inside,
)
from dxf2turn.contour.frame import Axis
from dxf2turn.contour.own_axis import edge_axes, open_end_axes, origin_axes
from dxf2turn.contour.symmetry import mirrored_share, symmetry_axes
from dxf2turn.contour.view import View, views_along
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Bounds
from dxf2turn.options import DrawingOptions
from dxf2turn.reading.model import NoteKind

_DETAIL = 0.02  # share of the largest view's area below which a closed outline is a symbol or a detail
_CROSSED = 0.3  # least mirrored share of linework that a centre line runs through
_ALONG = 0.3  # least share of a component's length that a centre line covers


@dataclass(frozen=True, slots=True)
class Sheet:
    """views: candidates for a turned part. end_views: round ones, left out. frames: left out as well."""

    views: tuple[View, ...]
    end_views: tuple[View, ...] = ()
    frames: tuple[Component, ...] = ()
    rest: tuple[Component, ...] = ()


def survey(clean: CleanDrawing, options: DrawingOptions) -> Sheet:
    """All candidates on a sheet."""
    everything = components(clean.pieces)
    outlines = [c for c in everything if len(c.pieces) > 1]
    loose = [c.pieces[0] for c in everything if len(c.pieces) == 1]
    frames = _frames(outlines, clean)
    parts = [c for c in outlines if c not in frames]
    round_ones: list[View] = []
    for kind, views in _searches(parts, loose, clean, options):
        found = _of_size([replace(view, kind=kind) for view in views])
        round_ones.extend(view for view in found if _is_end_view(view, options))
        found = [view for view in found if not _is_end_view(view, options)]
        if found:
            return Sheet(tuple(found), tuple(round_ones), tuple(frames), tuple(parts))
    return Sheet(tuple(_of_size(round_ones)[:1]), (), tuple(frames), tuple(parts))


def _searches(
    parts: list[Component], loose: list[Piece], clean: CleanDrawing, options: DrawingOptions
) -> Iterator[tuple[str, list[View]]]:
    tolerances = options.tolerances

    def look(axis: Axis, group: Sequence[Component]) -> list[View]:
        if not group or not suits(axis, options):
            return []
        pieces = joined(group).pieces
        return views_along(facing_front(axis, options), pieces, clean.hatches, tolerances)

    def search(axes_of: Callable[[Component], list[Axis]]) -> list[View]:
        """For each component the first of its axes that shows a part."""
        return [view for part in parts for view in _first_seen(part, axes_of(part), look)]

    asked = asked_axis(options, clean.unit.mm_per_unit)
    if asked is not None:
        yield "asked", look(asked, parts)
        return
    yield "centre", _along_centre_lines(parts, clean, options, look)
    yield (
        "symmetry",
        [
            view
            for group in _with_twins(parts)
            for view in _first_seen_of(group, symmetry_axes(joined(group), tolerances), look)
        ],
    )
    yield "line", search(lambda part: plain_line_axes(loose, part, tolerances))
    yield "open ends", search(lambda part: open_end_axes(part, tolerances))
    yield "edge", search(lambda part: edge_axes(part, tolerances) if part.closed else [])
    yield "origin", search(lambda part: origin_axes(part, tolerances) if part.closed else [])


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
    """Views along the centre lines; a component is used by the longest one that suits it."""
    left, views = list(parts), []
    for axis in centre_axes(clean.centres, options.tolerances):
        if not suits(axis, options):
            continue
        on_axis = [part for part in left if _belongs(part, axis, options)]
        found = look(axis, on_axis)
        views.extend(found)
        if found:
            left = [part for part in left if part not in on_axis]
    return views


def _belongs(part: Component, axis: Axis, options: DrawingOptions) -> bool:
    """Whether a component may be a part, or a half of one, along a drawn centre line."""
    box = path_bounds([axis.segment(segment) for segment in part.segments])
    if axis.extent is not None:
        common = min(box.max_x, axis.extent[1]) - max(box.min_x, axis.extent[0])
        if common < _ALONG * (box.max_x - box.min_x):
            return False
    gap = options.tolerances.gap
    if box.min_y < -gap and box.max_y > gap:
        return mirrored_share(part.segments, axis, gap) >= _CROSSED
    return True


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


def _is_end_view(view: View, options: DrawingOptions) -> bool:
    """Whether a view shows a part from its end: a whole circle about its middle, at least half its size."""
    segments = [piece.segment for piece in view.pieces]
    low, high = view.z_range
    middle = view.axis.drawing_mm(Point(0.5 * (low + high), 0.0))
    size = min(high - low, 2.0 * view.largest_r)
    part = Component(view.pieces, path_bounds(segments), True)
    return any(
        centre.distance(middle) <= 0.1 * size and 2.0 * radius >= 0.5 * size
        for centre, radius in full_circles(part, options.tolerances.same_point)
    )


def _frames(outlines: list[Component], clean: CleanDrawing) -> list[Component]:
    """Borders of the sheet, and tables: level and upright lines around other outlines or around texts."""
    texts = [
        Point(note.at.x * clean.unit.mm_per_unit, note.at.y * clean.unit.mm_per_unit)
        for note in clean.drawing.notes
        if note.kind in (NoteKind.TEXT, NoteKind.ATTRIBUTE)
    ]
    found = []
    for outline in outlines:
        if not outline.closed or not is_rectilinear(outline):
            continue
        box = outline.bounds
        margin = 1e-3 * box.size
        around = sum(1 for o in outlines if strictly_inside(o.bounds, box, margin) and o.closed)
        inside = sum(1 for p in texts if box.min_x < p.x < box.max_x and box.min_y < p.y < box.max_y)
        if around and (inside or _around_sheet(box, clean)) or (inside > 1 and not around):
            found.append(outline)
    return found


def _around_sheet(box: Bounds, clean: CleanDrawing) -> bool:
    """Whether a box holds all the centre lines and dimensions of the drawing."""
    centres = [piece.segment.bounds for piece in clean.centres]
    return bool(centres) and all(strictly_inside(c, box, 0.0) for c in centres)
