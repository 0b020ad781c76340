"""Which faces of a half are material: one rule for each way in which a drawing says so.

one face          it is the material
hatch             the hatched faces are
hidden lines      faces between the axis and a lengthwise hidden line are a hole
edges across      a half seen from outside: every face is material, lines inside it are detail
inner lines       a half cut open without hatch: faces between the axis and a lengthwise line are a hole
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import shapely

from dxf2turn.contour.half import Half
from dxf2turn.geometry.path import signed_area
from dxf2turn.geometry.region import polygon
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.options import Tolerances
from dxf2turn.reading.model import Role

_SAGITTA = 0.01  # mm, for "is this place inside the hatch" only
_HATCHED = 0.3  # least share of the half's area that hatches must cover to decide what is material


@dataclass(frozen=True, slots=True)
class Material:
    """faces: of the material. seen: "plain", "cut" (opened up) or "outside". hole: some face is a hole.
    why: the rule, for people."""

    faces: frozenset[int]
    seen: str
    hole: bool
    why: str


def material_of(half: Half, hatches: Sequence[Sequence[Segment]], tolerances: Tolerances) -> Material | None:
    """What is material on one side; None when nothing is closed there. hatches: in (z, r), r > 0."""
    group = largest_group(half)
    if not group:
        return None
    hatched = _hatched_faces(half, group, hatches)
    if hatched:
        return Material(hatched, "cut", hatched != group, "hatch")
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
    return Material(group, "outside", False, "no sign of a hole")


def largest_group(half: Half) -> frozenset[int]:
    """The faces of the largest connected region; regions that touch in a point only are apart."""
    areas = [signed_area(half.map.path(loop)) for loop in half.map.faces]
    best: tuple[float, frozenset[int]] = (0.0, frozenset())
    for group in face_groups(half):
        area = sum(areas[face] for face in group)
        best = max(best, (area, group), key=lambda entry: entry[0])
    return best[1]


def face_groups(half: Half) -> list[frozenset[int]]:
    """Faces grouped by common edges."""
    groups: list[frozenset[int]] = []
    seen: set[int] = set()
    for first in range(len(half.map.faces)):
        if first in seen:
            continue
        group, todo = {first}, [first]
        while todo:
            for side in half.map.faces[todo.pop()]:
                other = half.map.face_of[side ^ 1]
                if other is not None and other not in group:
                    group.add(other)
                    todo.append(other)
        seen |= group
        groups.append(frozenset(group))
    return groups


def _hatched_faces(
    half: Half, group: Collection[int], hatches: Sequence[Sequence[Segment]]
) -> frozenset[int]:
    """Faces whose inside is hatched; none when the hatches cover only a small part of the group."""
    areas = [shapely.make_valid(polygon(hatch, _SAGITTA)) for hatch in hatches if len(hatch) > 1]
    if not areas:
        return frozenset()
    hatched = shapely.union_all(areas)
    total, covered, found = 0.0, 0.0, set()
    for face in group:
        region = shapely.make_valid(polygon(half.map.path(half.map.faces[face]), _SAGITTA))
        total += region.area
        if region.area > 0.0 and hatched.intersection(region).area > 0.5 * region.area:
            covered += region.area
            found.add(face)
    return frozenset(found) if covered > _HATCHED * total else frozenset()


def _under_lines(half: Half, group: Collection[int], tolerances: Tolerances, role: Role) -> frozenset[int]:
    """Faces on the axis that have a lengthwise inner line of a role above them."""
    found = set()
    for face in group:
        sides = half.map.faces[face]
        if not any(half.on_axis(side) for side in sides):
            continue
        for side in sides:
            piece = half.sources[side // 2]
            inner = half.map.face_of[side ^ 1] is not None
            lengthwise = not is_across(half.map.side(side), tolerances)
            if piece is not None and piece.role is role and inner and lengthwise:
                found.add(face)
    return frozenset(found)


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
