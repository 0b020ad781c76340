"""Which faces of a half are material: one rule for each way in which a drawing says so.

one face          it is the material
hatch             the hatched faces are
hidden lines      faces between the axis and a lengthwise hidden line are a hole
edges across      a half seen from outside: every face is material, lines inside it are detail
inner lines       a half cut open without hatch: faces between the axis and a lengthwise line are a hole
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from dxf2turn.contour.half import Half
from dxf2turn.contour.hatching import Hatching, hatched_faces
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import points_inside
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.options import Tolerances
from dxf2turn.reading.model import Role

_SAGITTA = 0.01  # mm, for "does this lie inside that" only
_SCRAP = 0.05  # of a face's length
_BORDER = 0.5  # least share of what bounds hatched faces from above that is the outline, where all is cut
_UNDER = 0.5  # least share of a hole's length along which what lies above it is hatched
_WHOLE = 0.6  # least share of the part's length that is hatched when the whole half is cut open


@dataclass(frozen=True, slots=True)
class Material:
    """faces: of the material. seen: "plain", "cut" (opened up) or "outside". hole: some face is a hole.
    why: the rule, for people."""

    faces: frozenset[int]
    seen: str
    hole: bool
    why: str


def material_of(half: Half, group: frozenset[int], hatching: Hatching, tolerances: Tolerances) -> Material:
    """Which faces of a connected group of them are material. hatching: on the half's side."""
    hatched = hatched_faces(half, group, hatching)

    def under(face: int) -> bool:
        return _is_under(half, face, hatched, tolerances)

    if hatched and _is_all_cut(half, group, hatched, tolerances):
        hole = frozenset(f for f in group - hatched if _is_on_axis(half, f) or under(f))
        return Material(group - hole, "cut", bool(hole), "hatch")
    broken_out = frozenset(f for f in group - hatched if _is_on_axis(half, f) and under(f))
    if broken_out:
        return Material(group - broken_out, "outside", True, "a hatched break-out")
    if len(group) == 1:
        return Material(group, "plain", False, "one closed face")
    hidden = _open_to_an_end(half, _under_lines(half, group, tolerances, Role.HIDDEN))
    if hidden and hidden != group:
        return Material(group - hidden, "outside", True, "hidden lines")
    if _edges_across(half, group, tolerances):
        return Material(group, "outside", False, "edges across")
    inner = _open_to_an_end(half, _under_lines(half, group, tolerances, Role.OUTLINE))
    inner = frozenset(face for face in inner if not _is_crossed_out(half, face, tolerances))
    if inner and inner != group:
        return Material(group - inner, "cut", True, "lengthwise inner lines")
    return Material(group, "plain", False, "no sign of a hole")


def _is_all_cut(half: Half, group: Collection[int], hatched: Collection[int], tolerances: Tolerances) -> bool:
    """Whether a half is cut open along its length: it is hatched along most of it, up to its outline, and no
    edge runs through it. A break-out is hatched around a hole, with the outside left above it; a hatched
    knurl lies between edges."""
    if _along(half, hatched) < _WHOLE * _along(half, group) or _edges_across(half, group, tolerances):
        return False
    above = [s for face in hatched for s in _above(half, face, tolerances)]
    on_border = [s for s in above if half.map.face_of[s ^ 1] is None]
    return _reach(half, on_border) >= _BORDER * _reach(half, above)


def _open_to_an_end(half: Half, faces: frozenset[int]) -> frozenset[int]:
    """Of some faces those that hang together with an opening in the outline: nothing turned is hollow and
    closed, what looks so is a keyway in the middle of a view."""
    open_ones = {face for face in faces if _is_on_border(half, face)}
    todo = list(open_ones)
    while todo:
        for side in half.map.faces[todo.pop()]:
            other = half.map.face_of[side ^ 1]
            if other is not None and other in faces and other not in open_ones:
                open_ones.add(other)
                todo.append(other)
    return frozenset(open_ones)


def _is_crossed_out(half: Half, face: int, tolerances: Tolerances) -> bool:
    """Whether the diagonals that mark a flat are drawn in a face."""
    slanted = [entry.segment for entry in half.details if not _is_level_or_square(entry.segment, tolerances)]
    inside = points_inside(half.path(face), [s.point_at(0.5) for s in slanted], -tolerances.gap, _SAGITTA)
    return any(inside)


def _is_level_or_square(segment: Segment, tolerances: Tolerances) -> bool:
    return isinstance(segment, Arc) or min(map(abs, segment.tangent_at(0.0))) <= tolerances.same_angle


def _is_on_border(half: Half, face: int) -> bool:
    """Whether a face has an edge off the axis with nothing on its other side."""
    return any(half.map.face_of[s ^ 1] is None and not half.on_axis(s) for s in half.map.faces[face])


def _along(half: Half, faces: Collection[int]) -> float:
    """Length along the axis over which some faces reach."""
    boxes = sorted((path_bounds(half.path(face)) for face in faces), key=lambda box: box.min_x)
    total, reached = 0.0, -math.inf
    for box in boxes:
        total += max(0.0, box.max_x - max(box.min_x, reached))
        reached = max(reached, box.max_x)
    return total


def _under_lines(half: Half, group: Collection[int], tolerances: Tolerances, role: Role) -> frozenset[int]:
    """Faces on the axis that have a lengthwise inner line of a role above them."""
    return frozenset(
        face
        for face in group
        if _is_on_axis(half, face)
        and not _is_under_border(half, face, tolerances)
        and _is_under_line(half, face, role, tolerances)
    )


def _is_on_axis(half: Half, face: int) -> bool:
    return any(half.on_axis(side) for side in half.map.faces[face])


def _above(half: Half, face: int, tolerances: Tolerances) -> Iterator[int]:
    """The sides of a face that run above it: faces are travelled counter-clockwise, so towards smaller z."""
    for side in half.map.faces[face]:
        segment = half.map.side(side)
        if segment.end.x < segment.start.x and not is_across(segment, tolerances):
            yield side


def _reach(half: Half, sides: Iterable[int]) -> float:
    """Length along the axis of some sides that run above their faces."""
    segments = (half.map.side(side) for side in sides)
    return math.fsum(segment.start.x - segment.end.x for segment in segments)


def _is_under(half: Half, face: int, hatched: Collection[int], tolerances: Tolerances) -> bool:
    """Whether hatched faces lie right above a face along most of it: a keyway is a hole, the teeth of a gear
    are not."""
    below_hatch = (s for s in _above(half, face, tolerances) if half.map.face_of[s ^ 1] in hatched)
    return _reach(half, below_hatch) > _UNDER * _along(half, (face,))


def _is_under_border(half: Half, face: int, tolerances: Tolerances) -> bool:
    """Whether the outline itself runs above a face, along more than a scrap of it: then it is no hole."""
    above = (s for s in _above(half, face, tolerances) if half.map.face_of[s ^ 1] is None)
    return _reach(half, above) > max(tolerances.gap, _SCRAP * _along(half, (face,)))


def _is_under_line(half: Half, face: int, role: Role, tolerances: Tolerances) -> bool:
    """Whether an inner line of a role runs lengthwise above a face."""
    pieces = (half.sources[side // 2] for side in _above(half, face, tolerances))
    return any(piece is not None and piece.role is role for piece in pieces)


def is_across(segment: Segment, tolerances: Tolerances) -> bool:
    """Whether a segment runs square to the axis."""
    return isinstance(segment, Line) and abs(segment.tangent_at(0.0).dx) <= tolerances.same_angle


def _edges_across(half: Half, group: Collection[int], tolerances: Tolerances) -> bool:
    """Whether a line square to the axis runs through the material from the border to the axis.

    Such edges are seen on a part from outside only: a cut surface has no edges in it.
    """
    border_points: set[Point] = set()
    for face in group:
        for side in half.map.faces[face]:
            if half.map.face_of[side ^ 1] not in group and not half.on_axis(side):
                border_points.update((half.map.side(side).start, half.map.side(side).end))
    inner: dict[float, list[Segment]] = {}
    for face in group:
        for side in half.map.faces[face]:
            segment = half.map.side(side)
            if side % 2 == 0 and half.map.face_of[side ^ 1] in group and is_across(segment, tolerances):
                inner.setdefault(round(segment.start.x, 4), []).append(segment)
    for segments in inner.values():
        ends = [end for segment in segments for end in (segment.start, segment.end)]
        from_border = any(end in border_points and end.y > 0.0 for end in ends)
        if from_border and _reaches_down(segments, tolerances):
            return True
    return False


def _reaches_down(segments: list[Segment], tolerances: Tolerances) -> bool:
    """Whether collinear segments follow each other from the topmost end to the axis."""
    spans = sorted((s.bounds.min_y, s.bounds.max_y) for s in segments)
    return spans[0][0] == 0.0 and all(b[0] <= a[1] + tolerances.same_point for a, b in zip(spans, spans[1:]))
