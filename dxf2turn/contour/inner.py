"""Lines inside the outline: edges across, thread roots (ISO 6410), and what turning does not make."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from dxf2turn.cleaning.model import Piece
from dxf2turn.contour.half import half_of, seen_from
from dxf2turn.contour.material import is_across
from dxf2turn.contour.model import Profile, ThinLine
from dxf2turn.contour.roots import r_at
from dxf2turn.contour.view import Side, View
from dxf2turn.geometry.point import Vector
from dxf2turn.geometry.region import points_inside
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.options import Tolerances
from dxf2turn.reading.model import Role

_SAGITTA = 0.005  # mm, for "is this inside the outline" only
_PARALLEL = math.radians(1.0)
_ROOT = (0.6, 0.995)  # radius of an outside thread's root line to its crest
_ROOT_INSIDE = (1.005, 1.6)  # the same for a thread in a hole
_SLOPPY = 0.02  # of a root line's length: how far the ends of the two halves' lines may differ
_BESIDE = 0.5  # least share of a root line's length that lies beside its crest


class InnerLine(NamedTuple):
    """A piece inside the outline, in (z, r) of the profile, and what it was drawn as."""

    segment: Segment
    piece: Piece


def inner_lines(side: Side, profile: Profile, shift: float, tolerances: Tolerances) -> list[InnerLine]:
    """All pieces drawn inside the profile on one side. shift: from z of the axis to z of the profile."""
    half = side.half
    faces = half.map.face_of
    # What has a face on one side only lies on a border and needs no test.
    within = [i for i in range(len(half.map.edges)) if (faces[2 * i] is None) == (faces[2 * i + 1] is None)]
    pieces = [(half.map.edges[i], half.sources[i]) for i in within]
    drawn = [
        InnerLine(edge.moved(Vector(shift, 0.0)), piece)
        for edge, piece in (*pieces, *half.details)
        if piece is not None
    ]
    return _within(drawn, profile, tolerances)


def loose_lines(
    view: View, pieces: Iterable[Piece], profile: Profile, shift: float, tolerances: Tolerances
) -> list[list[InnerLine]]:
    """For each side of a view the pieces inside the profile that touch nothing of the view."""
    own = set(map(id, view.pieces))
    low, high = profile.bounds.min_x - shift, profile.bounds.max_x - shift
    others = seen_from(view.axis, (piece for piece in pieces if id(piece) not in own))
    beside = [
        drawn
        for drawn in others
        if low < (box := drawn.segment.bounds).min_x
        and box.max_x < high
        and max(-box.min_y, box.max_y) < profile.max_radius
    ]
    found = []
    for side in view.sides:
        half = half_of(beside, side is view.above, tolerances)
        drawn = [
            InnerLine(edge.moved(Vector(shift, 0.0)), piece)
            for edge, piece in zip(half.map.edges, half.sources)
            if piece is not None
        ]
        found.append(_within(drawn, profile, tolerances))
    return found


def _within(drawn: list[InnerLine], profile: Profile, tolerances: Tolerances) -> list[InnerLine]:
    """The lines whose middle lies inside the profile."""
    middles = [line.segment.point_at(0.5) for line in drawn]
    inside = points_inside(profile.segments, middles, tolerances.gap, _SAGITTA)
    return [line for line, within in zip(drawn, inside) if within]


def thread_lines(
    by_side: Sequence[Sequence[InnerLine]], alike: bool, profile: Profile, tolerances: Tolerances
) -> tuple[ThinLine, ...]:
    """Inner lines parallel to a crest at the distance of a thread's root, each once.

    alike: both sides are seen in the same way; a root line then shows on both, a keyway on one only.
    """
    sides = [_roots(lines, profile, tolerances) for lines in by_side]
    found: list[InnerLine] = []
    for index, roots in enumerate(sides):
        others = [line for j, other in enumerate(sides) if j != index for line in other]
        for line in roots:
            repeated = any(_same_place(line, other, tolerances) for other in found)
            mirrored = any(_same_place(line, other, tolerances) for other in others)
            if not repeated and (mirrored or not alike or len(sides) < 2):
                found.append(line)
    return tuple(ThinLine(line.segment, line.piece.origin.handle, line.piece.origin.layer) for line in found)


def _roots(lines: Sequence[InnerLine], profile: Profile, tolerances: Tolerances) -> list[InnerLine]:
    lengthwise = [
        line for line in lines if isinstance(line.segment, Line) and not is_across(line.segment, tolerances)
    ]
    pairs = tuple(zip(profile.segments, profile.roles))
    return [
        line
        for line in _put_together(lengthwise, tolerances)
        if any(_is_root(line.segment, crest, role) for crest, role in pairs)
    ]


def _same_place(a: InnerLine, b: InnerLine, tolerances: Tolerances) -> bool:
    """Whether two lines, drawn towards smaller z, lie on each other; their ends may be a little off."""
    ends = (a.segment.start.distance(b.segment.start), a.segment.end.distance(b.segment.end))
    return max(ends) <= _sloppy(a.segment, tolerances)


def _sloppy(root: Segment, tolerances: Tolerances) -> float:
    """How far the ends of what is drawn as one root line may differ, mm."""
    return max(tolerances.gap, _SLOPPY * root.length)


def other_lines(
    lines: Iterable[InnerLine], threads: Sequence[ThinLine], tolerances: Tolerances
) -> list[InnerLine]:
    """Inner lines that are neither edges across, nor thread roots or their run-outs, nor hidden."""
    ends = [end for thread in threads for end in (thread.segment.start, thread.segment.end)]
    left = []
    for line in lines:
        a, b = line.segment.start, line.segment.end
        on_root = any(
            max(thread.segment.distance(a), thread.segment.distance(b)) <= _sloppy(thread.segment, tolerances)
            for thread in threads
        )
        run_out = any(min(a.distance(end), b.distance(end)) <= tolerances.gap for end in ends)
        plain = line.piece.role is Role.OUTLINE and not is_across(line.segment, tolerances)
        if plain and not on_root and not run_out:
            left.append(line)
    return left


def _put_together(lines: Sequence[InnerLine], tolerances: Tolerances) -> list[InnerLine]:
    """Lines that continue each other as one, drawn towards smaller z."""
    ordered = sorted(
        (_towards_back(line) for line in lines),
        key=lambda line: (-line.segment.start.x, line.segment.start.y),
    )
    out: list[InnerLine] = []
    for line in ordered:
        for i, before in enumerate(out):
            meets = before.segment.end.distance(line.segment.start) <= tolerances.gap
            turn = before.segment.tangent_at(1.0).cross(line.segment.tangent_at(0.0))
            if meets and abs(turn) <= tolerances.same_angle:
                out[i] = InnerLine(
                    Line(before.segment.start, line.segment.end, before.segment.origin), before.piece
                )
                break
        else:
            out.append(line)
    return out


def _towards_back(line: InnerLine) -> InnerLine:
    if line.segment.end.x > line.segment.start.x:
        return InnerLine(line.segment.reversed(), line.piece)
    return line


def _is_root(line: Segment, crest: Segment, role: str) -> bool:
    if role not in ("outside", "inside") or not isinstance(crest, Line):
        return False
    a, b = sorted((crest.start.x, crest.end.x))
    low, high = sorted((line.start.x, line.end.x))
    common = min(b, high) - max(a, low)
    if common < _BESIDE * (high - low) or abs(line.tangent_at(0.0).cross(crest.tangent_at(0.0))) > math.sin(
        _PARALLEL
    ):
        return False
    z = 0.5 * (max(a, low) + min(b, high))
    ratio = r_at(line, z) / r_at(crest, z)
    least, most = _ROOT if role == "outside" else _ROOT_INSIDE
    return least <= ratio <= most
