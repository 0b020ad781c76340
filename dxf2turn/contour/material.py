"""Which faces of a half are material: one rule for each way in which a drawing says so.

one face          it is the material
hatch             the hatched faces are
hidden lines      faces between the axis and a lengthwise hidden line are a hole
edges across      a half seen from outside: every face is material, lines inside it are detail
inner lines       a half cut open without hatch: faces between the axis and a lengthwise line are a hole
"""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass

from dxf2turn.contour.half import Half
from dxf2turn.contour.hatching import Hatching, hatched_faces
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.options import Tolerances
from dxf2turn.reading.model import Role

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
    if hatched and _along(half, hatched) >= _WHOLE * _along(half, group):
        hole = frozenset(f for f in group - hatched if _is_on_axis(half, f) or _is_under(half, f, hatched))
        return Material(group - hole, "cut", bool(hole), "hatch")
    broken_out = frozenset(f for f in group - hatched if _is_on_axis(half, f) and _is_under(half, f, hatched))
    if broken_out:
        return Material(group - broken_out, "outside", True, "a hatched break-out")
    if len(group) == 1:
        return Material(group, "plain", False, "one closed face")
    hidden = _under_lines(half, group, tolerances, Role.HIDDEN)
    if hidden and hidden != group:
        return Material(group - hidden, "outside", True, "hidden lines")
    if _edges_across(half, group, tolerances):
        return Material(group, "outside", False, "edges across")
    inner = _under_lines(half, group, tolerances, Role.OUTLINE)
    if inner and inner != group:
        return Material(group - inner, "cut", True, "lengthwise inner lines")
    return Material(group, "plain", False, "no sign of a hole")


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
    found = set()
    for face in group:
        sides = half.map.faces[face]
        if _is_on_axis(half, face) and any(_is_wall(half, side, role, tolerances) for side in sides):
            found.add(face)
    return frozenset(found)


def _is_on_axis(half: Half, face: int) -> bool:
    return any(half.on_axis(side) for side in half.map.faces[face])


def _is_under(half: Half, face: int, hatched: Collection[int]) -> bool:
    """Whether a hatched face lies right above a face: a keyway is a hole, the teeth of a gear are not."""
    above = (side for side in half.map.faces[face] if half.map.side(side).end.x < half.map.side(side).start.x)
    return any(half.map.face_of[side ^ 1] in hatched for side in above)


def _is_wall(half: Half, side: int, role: Role, tolerances: Tolerances) -> bool:
    """Whether a side of a face is an inner line of a role that runs lengthwise above the face."""
    piece, segment = half.sources[side // 2], half.map.side(side)
    inner = half.map.face_of[side ^ 1] is not None
    # Faces are travelled counter-clockwise: what lies above one runs towards smaller z.
    above = segment.end.x < segment.start.x and not is_across(segment, tolerances)
    return piece is not None and piece.role is role and inner and above


def is_across(segment: Segment, tolerances: Tolerances) -> bool:
    """Whether a segment runs square to the axis."""
    return isinstance(segment, Line) and abs(segment.tangent_at(0.0).dx) <= tolerances.same_angle


def _edges_across(half: Half, group: Collection[int], tolerances: Tolerances) -> bool:
    """Whether a line square to the axis runs through the material from the border to the axis.

    Such edges are seen on a part from outside only: a cut surface has no edges in it.
    """
    border_points = set()
    for face in group:
        for side in half.map.faces[face]:
            if half.map.face_of[side ^ 1] is None and not half.on_axis(side):
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


def is_lengthwise(segment: Segment, tolerances: Tolerances) -> bool:
    """Whether a segment runs anyhow but square to the axis."""
    return isinstance(segment, Arc) or not is_across(segment, tolerances)
