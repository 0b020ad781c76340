"""What is hatched on one side of an axis: outlines of hatches, and places on hatching lines."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from dxf2turn.cleaning.model import CleanDrawing
from dxf2turn.contour.frame import Axis, mirrored, mirrored_point
from dxf2turn.contour.half import Half
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import covered_share, points_inside
from dxf2turn.geometry.segment import Segment

_SAGITTA = 0.01  # mm, for "does this lie inside that" only
_COVERED = 0.5  # least share of a face's area that hatches cover when the face is hatched
_PLACES = (0.1, 0.3, 0.5, 0.7, 0.9)  # where on a hatching line one looks
_FEWEST = 3  # places that make a face hatched


@dataclass(frozen=True, slots=True)
class Hatching:
    """outlines: closed runs; marks: places on single lines; both in the coordinates of one side."""

    outlines: tuple[tuple[Segment, ...], ...] = ()
    marks: tuple[Point, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.outlines or self.marks)

    def mirrored(self) -> Hatching:
        """The same on the other side of the axis."""
        outlines = tuple(tuple(map(mirrored, outline)) for outline in self.outlines)
        return Hatching(outlines, tuple(map(mirrored_point, self.marks)))

    def near(self, path: Sequence[Segment]) -> Hatching:
        """What may lie inside a run."""
        box = path_bounds(path)
        outlines = tuple(
            outline
            for outline in self.outlines
            if (other := path_bounds(outline)).min_x < box.max_x
            and other.max_x > box.min_x
            and other.min_y < box.max_y
            and other.max_y > box.min_y
        )
        marks = tuple(p for p in self.marks if box.min_x < p.x < box.max_x and box.min_y < p.y < box.max_y)
        return Hatching(outlines, marks)


def hatching_along(axis: Axis, clean: CleanDrawing) -> Hatching:
    """All hatching of a drawing, seen from an axis."""
    outlines = tuple(tuple(axis.segment(segment) for segment in outline) for outline in clean.hatches)
    marks = tuple(axis.z_r(line.point_at(t)) for line in clean.hatch_lines for t in _PLACES)
    return Hatching(outlines, marks)


def hatched_faces(half: Half, group: Collection[int], hatching: Hatching) -> frozenset[int]:
    """The faces of a group that are hatched."""
    found = set()
    for face in group:
        path = half.path(face)
        near = hatching.near(path)
        share = covered_share(path, near.outlines, _SAGITTA)[1] if near.outlines else 0.0
        if share > _COVERED or sum(points_inside(path, near.marks, 0.0, _SAGITTA)) >= _FEWEST:
            found.add(face)
    return frozenset(found)
