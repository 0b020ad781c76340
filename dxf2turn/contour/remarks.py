"""The findings about a contour that did come out: its axis, unlike halves, work beyond turning."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dxf2turn.cleaning.model import CleanDrawing
from dxf2turn.cleaning.pieces import handles, in_drawing
from dxf2turn.contour.compare import difference
from dxf2turn.contour.frame import mirrored_point
from dxf2turn.contour.hexagon import Hexagon
from dxf2turn.contour.inner import InnerLine, other_lines
from dxf2turn.contour.knots import knots_of
from dxf2turn.contour.model import Frame, Profile, ThinLine, located
from dxf2turn.contour.open_ends import Gap, beyond_the_ends, running_on
from dxf2turn.contour.plausible import is_slot
from dxf2turn.contour.prove import self_crossing
from dxf2turn.contour.shape import Shape
from dxf2turn.contour.trouble import FreeEnd, open_gap
from dxf2turn.contour.view import Side, View
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point
from dxf2turn.options import DrawingOptions
from dxf2turn.units import plain_text

_ASSUMED = {
    "symmetry": (Severity.NOTE, "There is no centre line; the axis was taken along the symmetry."),
    "off centre": (
        Severity.FIX,
        "The centre line lies beside the symmetry of the outline; the axis was taken along the symmetry.",
    ),
    "through line": (
        Severity.NOTE,
        "There is no centre line; an ordinary line through the part was taken as its axis.",
    ),
    "line": (Severity.NOTE, "There is no centre line; a line beside the half profile was taken as its axis."),
    "open ends": (Severity.FIX, "There is no centre line; the axis was taken through the open ends."),
    "edge": (
        Severity.FIX,
        "There is no centre line; the outline's own straight edge was taken as the axis of a part without a "
        "bore.",
    ),
    "origin": (
        Severity.FIX,
        "There is no centre line; the drawing's own coordinate axis was taken as the turning axis.",
    ),
}
_WHOLE = 0.9  # share of the part's length along which a hexagon leaves nothing to turn


def axis_findings(view: View, frame: Frame) -> Iterator[Finding]:
    """How the axis was found, where it was not drawn."""
    if view.kind in _ASSUMED:
        severity, text = _ASSUMED[view.kind]
        if view.kind == "symmetry" and all(len(side.group) == 1 for side in view.sides):
            severity, text = (
                Severity.FIX,
                f"{text} An outline without lines in it may also be a half profile.",
            )
        code = f"contour/axis-{view.kind.replace(' ', '-')}"
        hint = "Draw a centre line, or give the axis with --axis."
        yield Finding(code, severity, text, hint, located(frame, 0.0, 0.0))


def half_findings(
    view: View, shapes: Sequence[Shape], frame: Frame, front: float, options: DrawingOptions
) -> Iterator[Finding]:
    """Where the two halves differ; `shapes[0]` is the one that was used."""
    if len(shapes) < 2:
        return
    used, other = shapes[0], shapes[1]
    # A half-section shows its hole on one side only, by design.
    only_outside = used.hollow != other.hollow or used.cut != other.cut
    found = difference(used.profile, other.profile, only_outside, options.tolerances.gap)
    if found is None:
        return
    z, r = found.place.x - front, found.place.y
    places = "one place" if found.regions == 1 else f"{found.regions} places, most"
    yield Finding(
        "contour/halves-differ",
        Severity.FIX,
        f"The two halves differ by up to {plain_text(found.distance, 4)} mm (in {places} at "
        f"z {plain_text(z)}, r {plain_text(r)}); the {which_half(view, used)} half was used.",
        "Check which half is right; what turning does not make (a keyway, a flat) is work for later.",
        located(frame, z, r),
        measured=found.distance,
        limit=options.tolerances.gap,
    )


def which_half(view: View, shape: Shape) -> str:
    """A word for the half: upper, lower, left or right as it lies on the sheet."""
    r_axis = view.axis.direction.left if shape.side is view.above else -view.axis.direction.left
    if abs(r_axis.dx) > abs(r_axis.dy):
        return "right" if r_axis.dx > 0.0 else "left"
    return "upper" if r_axis.dy > 0.0 else "lower"


def gap_findings(
    view: View, shape: Shape, gaps: Sequence[Gap], clean: CleanDrawing, options: DrawingOptions
) -> Iterator[Finding]:
    """The gaps of a half that has no better one beside it: stops."""
    for gap in gaps:
        a, b = (_in_mm(view, shape.side, place) for place in (gap.a, gap.b))
        yield open_gap(FreeEnd(a, gap.first), FreeEnd(b, gap.second), gap.width, clean, options)


def open_half_finding(view: View, shape: Shape, gap: Gap, clean: CleanDrawing) -> Finding:
    """A half is open, the other one was used."""
    place = in_drawing(_in_mm(view, shape.side, gap.a), clean.unit.mm_per_unit)
    return Finding(
        "contour/open-half",
        Severity.FIX,
        f"The {which_half(view, shape)} half is open by {plain_text(gap.width, 4)} mm at "
        f"{plain_text(place.x, 4)}, {plain_text(place.y, 4)}; the other half was used.",
        "Check that the other half is right.",
        Location(drawing_xy=place, handles=handles(gap.first, gap.second)),
        measured=gap.width,
    )


def knot_findings(view: View, side: Side, clean: CleanDrawing) -> Iterator[Finding]:
    """Stops for an outline that crosses itself."""
    for point in knots_of(side):
        place = in_drawing(_in_mm(view, side, point), clean.unit.mm_per_unit)
        yield Finding(
            "contour/self-crossing",
            Severity.STOP,
            f"The outline crosses itself at {plain_text(place.x, 4)}, {plain_text(place.y, 4)}.",
            "Correct the outline there: it must go around the part once.",
            Location(drawing_xy=place),
        )


def touching_findings(profile: Profile, frame: Frame, options: DrawingOptions) -> tuple[Finding, ...]:
    """A stop for a profile that crosses or touches itself away from its corners."""
    place = self_crossing(profile.segments, options.tolerances.same_point)
    if place is None:
        return ()
    return (
        Finding(
            "contour/self-touching",
            Severity.STOP,
            f"The outline touches itself at z {plain_text(place.x, 4)}, r {plain_text(place.y, 4)}.",
            "Correct the outline there: it must go around the part once, with some width everywhere.",
            located(frame, place.x, place.y),
        ),
    )


def running_on_findings(
    view: View, shape: Shape, clean: CleanDrawing, options: DrawingOptions
) -> Iterator[Finding]:
    """Lines of the outline that run on past its end."""
    for point, piece in running_on(shape.side, shape.profile, options.tolerances):
        place = in_drawing(_in_mm(view, shape.side, point), clean.unit.mm_per_unit)
        yield Finding(
            "contour/running-on",
            Severity.FIX,
            f"A line runs on past the end of the outline and ends free at {plain_text(place.x, 4)}, "
            f"{plain_text(place.y, 4)}.",
            "If the part goes on there, its end face is missing; else the line does not belong to it.",
            Location(drawing_xy=place, handles=handles(piece), layer=piece.origin.layer),
        )


def cut_short_findings(
    view: View, shape: Shape, clean: CleanDrawing, options: DrawingOptions
) -> Iterator[Finding]:
    """A stop where much of what hangs on the outline lies past its ends and bounds nothing."""
    share, piece = beyond_the_ends(shape.side, shape.profile, options.tolerances)
    if piece is None or share < _MUCH:
        return
    place = in_drawing(piece.segment.point_at(0.5), clean.unit.mm_per_unit)
    yield Finding(
        "contour/cut-short",
        Severity.STOP,
        f"Linework goes on past the end of the outline, as at {plain_text(place.x)}, {plain_text(place.y)}, "
        "and bounds nothing there: the part can't end where its last closed face does.",
        "Close the outline there, or leave out what does not belong to it (--layer).",
        Location(drawing_xy=place, handles=handles(piece), layer=piece.origin.layer),
        measured=share,
        limit=_MUCH,
        unit="",
    )


def slot_findings(shape: Shape, frame: Frame, front: float) -> Iterator[Finding]:
    """Notches in a face that were filled."""
    for box in shape.slots:
        z = (box.min_x if box.max_x >= front else box.max_x) - front
        if not is_slot(2.0 * box.max_y, 2.0 * shape.profile.max_radius):
            yield Finding(
                "contour/unclear-hole",
                Severity.STOP,
                f"A face seen from outside has a notch {plain_text(2.0 * box.max_y)} mm wide: too wide for a "
                "slot, and a hole can't be seen from outside.",
                "Draw the hole in section (hatched) or as hidden lines, or give a half profile.",
                located(frame, z, box.max_y),
            )
            continue
        yield Finding(
            "contour/slot",
            Severity.FIX,
            f"A notch {plain_text(2.0 * box.max_y)} mm wide and {plain_text(box.max_x - box.min_x)} mm deep "
            "in a face seen from outside is a slot, not turned; it was left out.",
            "It is work beyond turning: mill it after turning.",
            located(frame, z, box.max_y),
        )


def hexagon_findings(hexagon: Hexagon | None, length: float, frame: Frame, front: float) -> Iterator[Finding]:
    """A hexagon: a stop where there is nothing but it, else work beyond turning."""
    if hexagon is None:
        return
    low, high = hexagon.z_from - front, hexagon.z_to - front
    size = f"a hexagon of {plain_text(2.0 * hexagon.radius)} mm over its corners"
    where = located(frame, 0.5 * (low + high), hexagon.radius)
    share = (high - low) / length
    if share >= _WHOLE or length - (high - low) <= _CHAMFERS * 2.0 * hexagon.radius:
        yield Finding(
            "contour/hexagon",
            Severity.STOP,
            f"The view shows {size} along the whole part: it is no turned part.",
            "Give another view or a half profile of what is turned on it.",
            where,
        )
    else:
        yield Finding(
            "contour/hexagon",
            Severity.FIX,
            f"The view shows {size} from z {plain_text(high)} to {plain_text(low)}; the contour has the "
            "round blank that it is milled from.",
            "It is work beyond turning: mill it, or turn the part from hexagon bar.",
            where,
        )


def detail_findings(
    by_side: Sequence[Sequence[InnerLine]],
    threads: Sequence[ThinLine],
    frame: Frame,
    options: DrawingOptions,
) -> Iterator[Finding]:
    """Lines inside the outline that turning does not make: where they lie, as one note."""
    lines = [line for side in by_side for line in other_lines(side, threads, options.tolerances)]
    if not lines:
        return
    box = path_bounds([line.segment for line in lines])
    count = len({line.piece.origin.handle for line in lines})
    yield Finding(
        "contour/inner-detail",
        Severity.NOTE,
        f"Inside the outline, from z {plain_text(box.max_x)} to {plain_text(box.min_x)} and "
        f"r {plain_text(box.min_y)} to {plain_text(box.max_y)}, {_entities(count)} nothing turned; left out.",
        "A slot, keyway, flat or cross hole is work beyond turning.",
        located(frame, box.max_x, box.max_y, handles(*(line.piece for line in lines[:_HANDLES]))),
    )


def _entities(count: int) -> str:
    return "1 entity shows" if count == 1 else f"{count} entities show"


_HANDLES = 12  # named in one finding
_MUCH = 0.5  # of the part's length: open linework past its ends that is no stray line any more
_CHAMFERS = 0.25  # of the corner diameter: the chamfered ends of a nut are no more than this in all


def _in_mm(view: View, side: Side, place: Point) -> Point:
    return view.axis.drawing_mm(place if side is view.above else mirrored_point(place))
