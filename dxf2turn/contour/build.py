"""The recipe of the stage: cleaned pieces become one closed profile in (z, r).

Find the axis, look at the linework on each side of it, decide what is material, take its outline, put it
with the front at z 0, prove it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from dxf2turn.cleaning.model import CleanDrawing
from dxf2turn.contour.axis import (
    allowed,
    asked_axis,
    centre_axes,
    edge_axes,
    is_upright,
    open_end_axes,
    symmetry_axes,
)
from dxf2turn.contour.frame import Axis, frame_at, mirrored, place_notes
from dxf2turn.contour.half import Half, half_of, seen_from
from dxf2turn.contour.material import Material, material_of
from dxf2turn.contour.model import Contour
from dxf2turn.contour.order import in_order
from dxf2turn.contour.outline import merged, union_border
from dxf2turn.contour.prove import prove
from dxf2turn.errors import BadOptions
from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Vector
from dxf2turn.geometry.segment import Segment
from dxf2turn.options import DrawingOptions


def build_contour(clean: CleanDrawing, options: DrawingOptions) -> Contour:
    """The contour of the part on a drawing, or a Contour without profile whose findings say why."""
    for axis in _axes(clean, options):
        seen = _look_along(_facing(axis, options), clean, options)
        if seen is not None:
            return _contour(seen, clean, options)
    finding = Finding(
        "contour/no-profile",
        Severity.STOP,
        "No closed outline of a turned part was found.",
        "Draw the outline closed, with a centre line; or name its layer with --layer.",
    )
    return Contour(None, None, findings=(finding,))


def _axes(clean: CleanDrawing, options: DrawingOptions) -> Iterator[Axis]:
    asked = asked_axis(options, clean.unit.mm_per_unit)
    if asked is not None:
        yield asked
        return
    tolerances = options.tolerances
    segments = [piece.segment for piece in clean.pieces]
    if not segments:
        return
    for find in (symmetry_axes, open_end_axes, edge_axes):
        if find is symmetry_axes:
            yield from (a for a in centre_axes(clean.centres, tolerances) if allowed(a, options))
        yield from (a for a in find(segments, tolerances) if allowed(a, options))


def _facing(axis: Axis, options: DrawingOptions) -> Axis:
    """The axis with its direction towards the front."""
    upright = is_upright(axis)
    word = options.front if options.front != "auto" else ("top" if upright else "right")
    towards = {"right": Vector(1, 0), "left": Vector(-1, 0), "top": Vector(0, 1), "bottom": Vector(0, -1)}
    along = axis.direction.dot(towards[word])
    if abs(along) < 1e-9:
        raise BadOptions(f"--front {word}: the axis of this drawing is {'upright' if upright else 'level'}.")
    return axis if along > 0 else axis.reversed()


@dataclass(frozen=True, slots=True)
class Seen:
    """A view along an axis: both halves with their material."""

    axis: Axis
    halves: tuple[tuple[Half, Material | None], tuple[Half, Material | None]]


def _look_along(axis: Axis, clean: CleanDrawing, options: DrawingOptions) -> Seen | None:
    drawn = seen_from(axis, clean.pieces)
    halves = []
    for above in (True, False):
        half = half_of(drawn, above, options.tolerances)
        hatches = _hatches_on_side(clean.hatches, axis, above)
        halves.append((half, material_of(half, hatches, options.tolerances)))
    if all(material is None for _, material in halves):
        return None
    return Seen(axis, (halves[0], halves[1]))


def _hatches_on_side(
    hatches: Sequence[Sequence[Segment]], axis: Axis, above: bool
) -> list[tuple[Segment, ...]]:
    out = []
    for hatch in hatches:
        seen = tuple(axis.segment(segment) for segment in hatch)
        if not above:
            seen = tuple(map(mirrored, seen))
        if path_bounds(seen).max_y > 0.0:
            out.append(seen)
    return out


def _contour(seen: Seen, clean: CleanDrawing, options: DrawingOptions) -> Contour:
    above = _better_side(seen)
    half, material = seen.halves[0 if above else 1]
    assert material is not None
    same = options.tolerances.same_point
    loop = union_border(half, material.faces)[0]
    profile = in_order(merged(loop, lambda _: same), same)
    front = profile.bounds.max_x
    frame = frame_at(seen.axis, front, above, clean.unit.mm_per_unit)
    profile = replace(profile, segments=tuple(s.moved(Vector(-front, 0.0)) for s in profile.segments))
    prove(profile, same)
    return Contour(frame, profile, _view(seen), place_notes(frame, clean.drawing.notes))


def _better_side(seen: Seen) -> bool:
    """Whether the half above the axis is the one to use."""
    (_, upper), (_, lower) = seen.halves
    if upper is None or lower is None:
        return upper is not None
    return not (lower.hole and not upper.hole)


def _view(seen: Seen) -> str:
    (_, upper), (_, lower) = seen.halves
    if upper is None or lower is None:
        return "half"
    cut = [material.seen == "cut" for material in (upper, lower)]
    return "section" if all(cut) else "half-section" if any(cut) else "full"
