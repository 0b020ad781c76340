"""The recipe of the stage: cleaned pieces become one closed profile in (z, r).

Survey the sheet, choose the part, take the outline of its material on both sides of the axis, hold the
halves against each other, put the front at z 0, name the lines inside, prove the result.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from dxf2turn.cleaning.clean import strict_findings
from dxf2turn.cleaning.model import CleanDrawing
from dxf2turn.cleaning.pieces import handles, in_drawing
from dxf2turn.contour.axis import facing_front
from dxf2turn.contour.by_layer import choices
from dxf2turn.contour.crest_lines import cross_lines, without_rows
from dxf2turn.contour.frame import Axis, frame_at, mirrored_point, place_notes
from dxf2turn.contour.hexagon import is_inner_edge
from dxf2turn.contour.inner import InnerLine, inner_lines, loose_lines, thread_lines
from dxf2turn.contour.model import Contour, CrossLine, Profile, ThinLine
from dxf2turn.contour.open_ends import gaps_of
from dxf2turn.contour.plausible import is_believable, size_finding
from dxf2turn.contour.prove import prove
from dxf2turn.contour.remarks import (
    axis_findings,
    cut_short_findings,
    detail_findings,
    gap_findings,
    half_findings,
    hexagon_findings,
    knot_findings,
    open_half_finding,
    running_on_findings,
    slot_findings,
    touching_findings,
)
from dxf2turn.contour.shape import Shape, shape_of
from dxf2turn.contour.sheet import Sheet, survey
from dxf2turn.contour.shortened import interruption
from dxf2turn.contour.slack import Slack
from dxf2turn.contour.support import unclear_part
from dxf2turn.contour.trouble import candidates_of, several_parts, unlike_findings, why_no_view
from dxf2turn.contour.view import Side, View
from dxf2turn.findings import Finding, Repair, stops
from dxf2turn.geometry.path import signed_area
from dxf2turn.geometry.point import Vector
from dxf2turn.options import DrawingOptions, Tolerances


def build_contour(clean: CleanDrawing, options: DrawingOptions) -> Contour:
    """The contour of the part on a drawing, or a Contour without profile whose findings say why."""
    sheet = survey(clean, options)
    if not sheet.views:
        return _without_view(sheet, clean, options)
    found = choices(sheet, clean, options)
    candidates = candidates_of(found)
    number = options.part if options.part is not None else 1
    broken = interruption(found, clean, options.tolerances)
    if broken is not None and (number - 1 in broken.pair if options.part else len(found) == len(broken.pair)):
        return Contour(None, None, findings=(broken.finding,))
    if not 1 <= number <= len(found) or (options.part is None and len(found) > 1):
        knots = [
            f for one in found for side in one.view.sides for f in knot_findings(one.view, side, one.clean)
        ]
        stop = several_parts(candidates, options.part)
        also = () if broken is None else (broken.finding,)
        return Contour(None, None, candidates=candidates, findings=(*knots, stop, *also))
    chosen = found[number - 1]
    unclear = unclear_part(chosen.view, chosen.sheet, candidates[number - 1], chosen.clean, options)
    if unclear is not None:
        return Contour(None, None, candidates=candidates, findings=(unclear,))
    contour = _contour(chosen.view, chosen.clean, options)
    left_out = unlike_findings(chosen.sheet, chosen.clean)
    return replace(contour, candidates=candidates, findings=(*contour.findings, *left_out))


def _without_view(sheet: Sheet, clean: CleanDrawing, options: DrawingOptions) -> Contour:
    """No view: the findings say why. Raises BadOptions when the side asked for as front is the reason."""
    if options.front != "auto":
        for view in survey(clean, replace(options, front="auto")).views:
            facing_front(view.axis, options)
    return Contour(None, None, findings=why_no_view(sheet, clean, options))


def _contour(view: View, clean: CleanDrawing, options: DrawingOptions) -> Contour:
    shapes = _shapes(view, clean, options)
    if not shapes:
        return Contour(None, None, findings=why_no_view(survey(clean, options), clean, options))
    shapes, gap_remarks = _closed_first(view, shapes, clean, options)
    used = shapes[0]
    above = used.side is view.above
    front = used.profile.bounds.max_x
    frame = frame_at(view.axis, front, above, clean.unit.mm_per_unit)
    profile = _moved(used.profile, -front)
    repairs = tuple(_axis_repairs(view.axis, used.side, above, clean))
    touching = touching_findings(profile, frame, options)
    size = size_finding(profile.length, 2.0 * profile.max_radius, options)
    findings = (
        *([] if size is None else [size]),
        *gap_remarks,
        *(tuple(knot_findings(view, used.side, clean)) or touching),
        *axis_findings(view, frame),
        *half_findings(view, shapes, frame, front, options),
        *(() if stops(gap_remarks) else cut_short_findings(view, used, clean, options)),
        *running_on_findings(view, used, clean, options),
        *slot_findings(used, frame, front),
        *hexagon_findings(view.hexagon, profile.length, frame, front),
        *strict_findings(repairs, options),
    )
    if stops(findings):
        return Contour(frame, None, _kind_of_view(view, shapes), repairs=repairs, findings=findings)
    prove(profile, options.tolerances.same_point)
    inside = _lines_inside(view, profile, -front, clean, options.tolerances)
    findings += tuple(detail_findings(inside.rest, inside.threads, frame, options))
    return Contour(
        frame,
        profile,
        _kind_of_view(view, shapes),
        place_notes(frame, clean.drawing.notes),
        inside.threads,
        repairs=repairs,
        findings=findings,
        cross_lines=inside.rows,
        layers=_layers(profile, clean),
    )


def _layers(profile: Profile, clean: CleanDrawing) -> tuple[tuple[str, str], ...]:
    """Handle and layer of each entity that the profile is made of, in its order."""
    of = {piece.origin.handle: piece.origin.layer for piece in clean.pieces}
    used = dict.fromkeys(handle for segment in profile.segments for handle in segment.origin)
    return tuple((handle, of[handle]) for handle in used if handle in of)


class _Inside(NamedTuple):
    """The lines inside a profile: thread roots, rows across, and for each side what is left."""

    threads: tuple[ThinLine, ...]
    rows: tuple[CrossLine, ...]
    rest: list[list[InnerLine]]


def _lines_inside(
    view: View, profile: Profile, shift: float, clean: CleanDrawing, tolerances: Tolerances
) -> _Inside:
    """What the lines inside a profile show. Lines that touch nothing may be rows of crests; a root line
    among them must show on both halves, since a single one may be anything."""
    lines = [inner_lines(side, profile, shift, tolerances) for side in view.sides]
    loose = loose_lines(view, clean.pieces, profile, shift, tolerances)
    everything = [own + other for own, other in zip(lines, loose)]
    alike = _are_alike(view)
    both_alike = alike and len(lines) > 1
    threads = thread_lines(everything if both_alike else lines, alike, profile, tolerances)
    rows = [cross_lines(side, profile, tolerances) for side in everything]
    rest = [without_rows(side, own, tolerances.gap) for side, own in zip(lines, rows)]
    if view.hexagon is not None:
        rest = [[line for line in side if not is_inner_edge(line.segment, view.hexagon)] for side in rest]
    return _Inside(threads, max(rows, key=len), rest)


def _are_alike(view: View) -> bool:
    """Whether both sides are seen in the same way: both cut open, or both from outside."""
    return len({(side.material.seen, side.material.hole) for side in view.sides}) == 1


def _closed_first(
    view: View, shapes: list[Shape], clean: CleanDrawing, options: DrawingOptions
) -> tuple[list[Shape], tuple[Finding, ...]]:
    """The shapes without those that have a gap, and what to say about gaps; a stop when all have one."""
    gaps = [gaps_of(shape.side, shape.profile, options.tolerances) for shape in shapes]
    closed = [shape for shape, found in zip(shapes, gaps) if not found]
    if len(closed) == len(shapes):
        return shapes, ()
    if not closed:
        return shapes, tuple(gap_findings(view, shapes[0], gaps[0], clean, options))
    remarks = [open_half_finding(view, shape, found[0], clean) for shape, found in zip(shapes, gaps) if found]
    return closed, tuple(remarks)


def _moved(profile: Profile, by: float) -> Profile:
    return replace(profile, segments=tuple(s.moved(Vector(by, 0.0)) for s in profile.segments))


def _shapes(view: View, clean: CleanDrawing, options: DrawingOptions) -> list[Shape]:
    """The shapes of both sides, the one to use first: cut open before seen from outside, then the larger."""
    shapes = []
    for side in view.sides:
        slack = Slack.of(clean, view.axis, side is view.above, options.tolerances)
        shape = shape_of(side, slack)
        if shape is not None and is_believable(shape.profile, view.kind):
            shapes.append(shape)
    return sorted(shapes, key=_trust, reverse=True)


def _trust(shape: Shape) -> tuple[bool, bool, float]:
    """What makes one side the better one to use: a hole, a cut, then more material.

    What turning does not make (keyways, flats, slots) takes material away from one side.
    """
    return shape.hollow, shape.cut, signed_area(shape.profile.segments)


def _kind_of_view(view: View, shapes: list[Shape]) -> str:
    if view.above is None or view.below is None:
        return "half"
    cut = [shape.cut for shape in shapes]
    return "section" if all(cut) else "half-section" if any(cut) else "full"


def _axis_repairs(axis: Axis, side: Side, above: bool, clean: CleanDrawing) -> Iterator[Repair]:
    for point, moved, piece in side.half.snapped:
        place = axis.drawing_mm(point if above else mirrored_point(point))
        yield Repair(
            "contour/onto-axis",
            f"An end {moved:.2g} mm off the axis was put on it.",
            moved,
            handles(piece),
            in_drawing(place, clean.unit.mm_per_unit),
        )
