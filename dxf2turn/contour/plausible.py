"""Whether a view can show a turned part at all, seen against how its axis was found."""

from __future__ import annotations

from collections.abc import Sequence

from dxf2turn.contour.components import Component, is_rectilinear, strictly_inside
from dxf2turn.contour.model import Profile
from dxf2turn.contour.view import Side, View
from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.path import path_bounds
from dxf2turn.options import DrawingOptions
from dxf2turn.units import plain_text

DRAWN = ("asked", "centre", "off centre", "through line")  # kinds of evidence with a line for the axis
_BALL = 2  # segments of a ball's half: the simplest part, with an axis drawn
_BARE, _OTHERS = 4, 3  # pieces of a plain box; other closed outlines among which it is no part
_MARGIN = 1e-3  # of a box's size: nearer to it is not "inside with room all around"
_OWN_EDGE = ("edge", "open ends")  # kinds of evidence that put a part's own edge on the axis
_ALIKE = 0.15  # relative difference of area up to which two halves are those of one part
_LARGEST, _SMALLEST = 10_000.0, 0.1  # mm, largest and smallest part that is believed
_WIDE = 0.6  # of the part's diameter: a wider notch in a face is no slot


def is_plausible(view: View) -> bool:
    """A half profile's own edge must lie on the axis; halves found by symmetry must be about alike."""
    if view.kind in _OWN_EDGE:
        return all(_touches_axis(side) for side in view.sides)
    if view.kind == "symmetry":
        areas = [side.area for side in view.sides]
        return len(areas) == 2 and abs(areas[0] - areas[1]) <= _ALIKE * max(areas)
    return True


def is_part_of_another(view: View, outlines: Sequence[Component]) -> bool:
    """Whether a view without a drawn axis is a hole in another outline, or a bare box among others."""
    if view.kind in DRAWN:
        return False
    box = path_bounds([piece.segment for piece in view.pieces])
    around = (o for o in outlines if o.closed and strictly_inside(box, o.bounds, _MARGIN * box.size))
    others = sum(1 for o in outlines if o.closed and o.bounds != box)
    bare = len(view.pieces) <= _BARE and others >= _OTHERS
    return bare or any(not is_rectilinear(outline) for outline in around)


def _touches_axis(side: Side) -> bool:
    return any(side.half.on_axis(s) for face in side.group for s in side.half.map.faces[face])


def is_believable(profile: Profile, kind: str) -> bool:
    """Whether a profile encloses something, and lies on the axis where its own edge was taken as such."""
    fewest = _BALL if kind in DRAWN else _BALL + 1
    return len(profile.segments) >= fewest and (profile.is_solid or kind not in _OWN_EDGE)


def size_finding(length: float, diameter: float, options: DrawingOptions) -> Finding | None:
    """A stop for a part of a size that no lathe turns, unless its unit was asked for."""
    largest = max(length, diameter)
    if options.units is not None or min(length, diameter) >= _SMALLEST and largest <= _LARGEST:
        return None
    return Finding(
        "contour/absurd-size",
        Severity.STOP,
        f"The part would be {plain_text(length, 4)} mm long and {plain_text(diameter, 4)} mm in diameter.",
        "Check the unit (--units mm or --units inch) and the part (--layer, --part).",
        measured=largest,
        limit=_LARGEST,
    )


def is_slot(width: float, diameter: float) -> bool:
    """Whether a notch in a face is narrow enough for a slot in a part of that diameter."""
    return width <= _WIDE * diameter
