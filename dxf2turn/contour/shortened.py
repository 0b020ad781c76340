"""Shortened views: a long part drawn with a piece taken out, its two ends facing each other at break lines.

Break lines are drawn freehand, as zigzags or waves, so the facing ends are no faces square to the axis, and
the outline goes on behind the break with the diameter it had before. How long the part is can't be measured.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from dxf2turn.cleaning.model import CleanDrawing
from dxf2turn.cleaning.pieces import in_drawing
from dxf2turn.contour.by_layer import Choice
from dxf2turn.contour.material import is_across
from dxf2turn.contour.view import Side, View
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.options import Tolerances
from dxf2turn.reading.model import DimensionKind
from dxf2turn.units import plain_text

_FACE = 0.7  # least share of an end's radius that a face square to the axis covers
_ALIKE = 0.1  # relative: how much the radii before and behind a break may differ (a slight taper)
_INTERLOCKED = 0.5  # of the radius: how far the waves of two break lines may reach past each other
_LENGTHWISE = math.cos(math.radians(12.0))  # what runs steeper to the axis may be a break line
_NEAR = 0.3  # of the radius: how far an end of the outline may lie behind the furthest place of its break


class _End(NamedTuple):
    """One end of a side: its place along the axis, the radius there, whether a face is drawn."""

    z: float
    radius: float
    is_face: bool


class Interruption(NamedTuple):
    """A stop, and the places in the list of candidates of the two views that are one part."""

    finding: Finding
    pair: frozenset[int]


def interruption(
    choices: Sequence[Choice], clean: CleanDrawing, tolerances: Tolerances
) -> Interruption | None:
    """The first two candidates that are one part with a piece of its length taken out, None for none."""
    whole = [(index, choice) for index, choice in enumerate(choices) if choice.layer is None]
    by_place = sorted(whole, key=lambda entry: entry[1].view.z_range)
    for (i, back), (j, front) in pairwise(by_place):
        overlap = back.view.z_range[1] - front.view.z_range[0]
        if back.view.axis != front.view.axis or overlap > _INTERLOCKED * back.view.largest_r:
            continue
        a, b = _end(back.view, True, tolerances), _end(front.view, False, tolerances)
        alike = abs(a.radius - b.radius) <= _ALIKE * max(a.radius, b.radius)
        if alike and not a.is_face and not b.is_face:
            return Interruption(_finding(back.view, (a, b), clean), frozenset((i, j)))
    return None


def _end(view: View, front: bool, tolerances: Tolerances) -> _End:
    """The end of a view towards its front or its back."""
    z = view.z_range[1 if front else 0]
    border = [segment for side in view.sides[:1] for segment in _border(side)]
    share = sum(s.length for s in border if is_across(s, tolerances) and abs(s.start.x - z) <= tolerances.gap)
    lengthwise = [s for s in border if isinstance(s, Line) and abs(s.tangent_at(0.0).dx) > _LENGTHWISE]
    ends = [end for s in lengthwise for end in (s.start, s.end)]
    nearest = min(ends, key=lambda end: abs(end.x - z), default=None)
    at_end = nearest is not None and abs(nearest.x - z) <= _NEAR * view.largest_r
    radius = nearest.y if nearest is not None and at_end else 0.0
    return _End(z, radius, share >= _FACE * radius)


def _border(side: Side) -> list[Segment]:
    """The pieces of a side with nothing on their other side, without those on the axis."""
    half = side.half
    return [
        half.map.side(s)
        for face in side.group
        for s in half.map.faces[face]
        if half.map.face_of[s ^ 1] is None and not half.on_axis(s)
    ]


def _finding(view: View, ends: tuple[_End, _End], clean: CleanDrawing) -> Finding:
    k = clean.unit.mm_per_unit
    first, second = (in_drawing(view.axis.drawing_mm(Point(end.z, 0.0)), k) for end in ends)
    return Finding(
        "contour/shortened",
        Severity.STOP,
        f"The view is shortened: between {plain_text(first.x)}, {plain_text(first.y)} and "
        f"{plain_text(second.x)}, {plain_text(second.y)} a piece of the part is left out, so its length "
        f"is not known{_written_length(clean)}.",
        "Draw the part in its full length, or draw what is turned as one half profile.",
        Location(drawing_xy=first),
        measured=abs(ends[0].z - ends[1].z),
    )


def _written_length(clean: CleanDrawing) -> str:
    """The longest length that a drafter wrote over a dimension that measures less."""
    written = [
        (note.dimension.shown, note.dimension.measured)
        for note in clean.drawing.notes
        if note.dimension is not None and note.dimension.kind is DimensionKind.LINEAR
        if note.dimension.shown is not None and note.dimension.shown > note.dimension.measured
    ]
    if not written:
        return ""
    shown, measured = max(written)
    return f" (a dimension says {plain_text(shown)} where {plain_text(measured)} is drawn)"
