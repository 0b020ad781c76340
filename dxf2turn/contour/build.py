"""The recipe of the stage: cleaned pieces become one closed profile in (z, r).

Survey the sheet, choose the part, take the outline of its material on both sides of the axis, hold the
halves against each other, put the front at z 0, name the lines inside, prove the result.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from dxf2turn.cleaning.clean import strict_findings
from dxf2turn.cleaning.model import CleanDrawing
from dxf2turn.cleaning.pieces import handles, in_drawing
from dxf2turn.contour.compare import difference
from dxf2turn.contour.frame import Axis, frame_at, mirrored_point, place_notes
from dxf2turn.contour.inner import inner_lines, thread_lines
from dxf2turn.contour.model import Contour, Frame, Profile, located
from dxf2turn.contour.prove import prove
from dxf2turn.contour.shape import Shape, shape_of
from dxf2turn.contour.sheet import survey
from dxf2turn.contour.slack import Slack
from dxf2turn.contour.trouble import candidates_of, several_parts, why_no_view
from dxf2turn.contour.view import Side, View
from dxf2turn.findings import Finding, Repair, Severity
from dxf2turn.geometry.path import signed_area
from dxf2turn.geometry.point import Vector
from dxf2turn.options import DrawingOptions
from dxf2turn.units import plain_text


def build_contour(clean: CleanDrawing, options: DrawingOptions) -> Contour:
    """The contour of the part on a drawing, or a Contour without profile whose findings say why."""
    sheet = survey(clean, options)
    if not sheet.views:
        return Contour(None, None, findings=why_no_view(sheet, clean, options))
    candidates = candidates_of(sheet.views, clean)
    number = options.part if options.part is not None else 1
    if not 1 <= number <= len(candidates) or (options.part is None and len(candidates) > 1):
        stop = several_parts(candidates, options.part)
        return Contour(None, None, candidates=candidates, findings=(stop,))
    contour = _contour(sheet.views[number - 1], clean, options)
    return replace(contour, candidates=candidates)


def _contour(view: View, clean: CleanDrawing, options: DrawingOptions) -> Contour:
    shapes = _shapes(view, clean, options)
    if not shapes:
        return Contour(None, None, findings=why_no_view(survey(clean, options), clean, options))
    used = shapes[0]
    above = used.side is view.above
    front = used.profile.bounds.max_x
    frame = frame_at(view.axis, front, above, clean.unit.mm_per_unit)
    profile = _moved(used.profile, -front)
    prove(profile, options.tolerances.same_point)
    lines = inner_lines(view.sides, profile, -front, options.tolerances)
    repairs = tuple(_axis_repairs(view.axis, used.side, above, clean))
    return Contour(
        frame,
        profile,
        _kind_of_view(view),
        place_notes(frame, clean.drawing.notes),
        thread_lines(lines, profile, options.tolerances),
        repairs=repairs,
        findings=(
            *_axis_findings(view, frame),
            *_half_findings(view, shapes, frame, front, options),
            *_slot_findings(used, frame, front),
            *strict_findings(repairs, options),
        ),
    )


def _moved(profile: Profile, by: float) -> Profile:
    return replace(profile, segments=tuple(s.moved(Vector(by, 0.0)) for s in profile.segments))


def _shapes(view: View, clean: CleanDrawing, options: DrawingOptions) -> list[Shape]:
    """The shapes of both sides, the one to use first: cut open before seen from outside, then the larger."""
    shapes = []
    for side in view.sides:
        slack = Slack.of(clean, view.axis, side is view.above, options.tolerances)
        shape = shape_of(side, slack)
        if shape is not None:
            shapes.append(shape)
    return sorted(shapes, key=_trust, reverse=True)


def _trust(shape: Shape) -> tuple[bool, bool, float]:
    """What makes one side the better one to use: a hole, a cut, then more material.

    What turning does not make (keyways, flats, slots) takes material away from one side.
    """
    material = shape.side.material
    return material.hole, material.seen == "cut", signed_area(shape.profile.segments)


def _kind_of_view(view: View) -> str:
    if view.above is None or view.below is None:
        return "half"
    cut = [_is_cut(side) for side in view.sides]
    return "section" if all(cut) else "half-section" if any(cut) else "full"


def _is_cut(side: Side) -> bool:
    """Whether a side shows the part cut open: hatched, or with a hole that is no hidden line."""
    off_axis = side.bounds.min_y > 0.0
    return side.material.seen == "cut" or (side.material.seen == "plain" and off_axis)


_ASSUMED = {
    "symmetry": (Severity.NOTE, "There is no centre line; the axis was taken along the symmetry."),
    "line": (Severity.NOTE, "There is no centre line; a line beside the half profile was taken as its axis."),
    "open ends": (Severity.NOTE, "There is no centre line; the axis was taken through the open ends."),
    "edge": (Severity.FIX, "There is no centre line; the outline's own straight edge was taken as the axis."),
    "origin": (
        Severity.FIX,
        "There is no centre line; the drawing's own coordinate axis was taken as the turning axis.",
    ),
}


def _axis_findings(view: View, frame: Frame) -> Iterator[Finding]:
    if view.kind in _ASSUMED:
        severity, text = _ASSUMED[view.kind]
        hint = "Draw a centre line, or give the axis with --axis."
        yield Finding(
            f"contour/axis-{view.kind.replace(' ', '-')}", severity, text, hint, located(frame, 0.0, 0.0)
        )


def _half_findings(
    view: View, shapes: Sequence[Shape], frame: Frame, front: float, options: DrawingOptions
) -> Iterator[Finding]:
    if len(shapes) < 2:
        return
    used, other = shapes[0], shapes[1]
    only_outside = used.side.material.hole != other.side.material.hole
    found = difference(used.profile, other.profile, only_outside, options.tolerances.gap)
    if found is not None:
        where = located(frame, found.place.x - front, found.place.y)
        yield Finding(
            "contour/halves-differ",
            Severity.FIX,
            f"The two halves differ by up to {plain_text(found.distance, 4)} mm "
            f"(in {found.regions} places, most at z {plain_text(found.place.x - front)}, "
            f"r {plain_text(found.place.y)}); the {_which(view, used)} half was used.",
            "Check which half is right.",
            where,
            measured=found.distance,
            limit=options.tolerances.gap,
        )


def _which(view: View, shape: Shape) -> str:
    upright = abs(view.axis.direction.dy) > abs(view.axis.direction.dx)
    r_axis = view.axis.direction.left if shape.side is view.above else -view.axis.direction.left
    if upright:
        return "right" if r_axis.dx > 0.0 else "left"
    return "upper" if r_axis.dy > 0.0 else "lower"


def _slot_findings(shape: Shape, frame: Frame, front: float) -> Iterator[Finding]:
    for box in shape.slots:
        z = (box.min_x if box.max_x >= front else box.max_x) - front
        yield Finding(
            "contour/slot",
            Severity.FIX,
            f"A notch {plain_text(2.0 * box.max_y)} mm wide and {plain_text(box.max_x - box.min_x)} mm deep "
            "in a face seen from outside is a slot, not turned; it was left out.",
            "It is work beyond turning: mill it after turning.",
            located(frame, z, box.max_y),
        )


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
