"""Between drawing and part: the only place that converts, both ways.

`Axis` is a place in the drawing in mm (cleaning's coordinates); `Frame` is the result in drawing units.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from dxf2turn.contour.model import Frame, PlacedNote
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.reading.model import Note


@dataclass(frozen=True, slots=True)
class Axis:
    """The turning axis in drawing directions, mm. `direction` (unit) points to the front; +r is to its left.

    source: how it was found, for people. handles: of the entities it was drawn as. extent: least and
    largest z of the drawn line, measured from `point`; None when it was not drawn.
    """

    point: Point
    direction: Vector
    source: str
    handles: tuple[str, ...] = ()
    extent: tuple[float, float] | None = None

    def z_r(self, point: Point) -> Point:
        """A place in mm as (z, r); r is negative to the right of the direction."""
        away = point - self.point
        return Point(away.dot(self.direction), self.direction.cross(away))

    def drawing_mm(self, z_r: Point) -> Point:
        """The way back."""
        return self.point + self.direction * z_r.x + self.direction.left * z_r.y

    def segment(self, segment: Segment) -> Segment:
        """A segment in mm as one in (z, r)."""
        start, end = self.z_r(segment.start), self.z_r(segment.end)
        if isinstance(segment, Line):
            return Line(start, end, segment.origin)
        return Arc(start, end, self.z_r(segment.centre), segment.clockwise, segment.origin)

    def reversed(self) -> Axis:
        """The same line with its front at the other end."""
        extent = None if self.extent is None else (-self.extent[1], -self.extent[0])
        return replace(self, direction=-self.direction, extent=extent)


def mirrored(segment: Segment) -> Segment:
    """A segment in (z, r) on the other side of the axis."""
    start, end = mirrored_point(segment.start), mirrored_point(segment.end)
    if isinstance(segment, Line):
        return Line(start, end, segment.origin)
    return Arc(start, end, mirrored_point(segment.centre), not segment.clockwise, segment.origin)


def mirrored_point(point: Point) -> Point:
    return Point(point.x, 0.0 if point.y == 0.0 else -point.y)


def frame_at(axis: Axis, front_z: float, above: bool, mm_per_unit: float) -> Frame:
    """The frame whose z 0 lies at `front_z` along the axis; above: +r is to the left of the axis."""
    origin = axis.drawing_mm(Point(front_z, 0.0))
    r_axis = axis.direction.left if above else -axis.direction.left
    return Frame(
        Point(origin.x / mm_per_unit, origin.y / mm_per_unit),
        (axis.direction.dx, axis.direction.dy),
        (r_axis.dx, r_axis.dy),
        mm_per_unit,
    )


def to_part(frame: Frame, point: Point) -> Point:
    """Drawing coordinates -> (z, r) in mm; r is negative on the side that was not chosen."""
    dx, dy = point.x - frame.origin.x, point.y - frame.origin.y
    return Point(
        (dx * frame.z_axis[0] + dy * frame.z_axis[1]) * frame.mm_per_unit,
        (dx * frame.r_axis[0] + dy * frame.r_axis[1]) * frame.mm_per_unit,
    )


def to_drawing(frame: Frame, point: Point) -> Point:
    """(z, r) in mm -> drawing coordinates."""
    z, r = point.x / frame.mm_per_unit, point.y / frame.mm_per_unit
    return Point(
        frame.origin.x + z * frame.z_axis[0] + r * frame.r_axis[0],
        frame.origin.y + z * frame.z_axis[1] + r * frame.r_axis[1],
    )


def place_notes(frame: Frame, notes: Iterable[Note]) -> tuple[PlacedNote, ...]:
    """Notes with their place and tips in (z, r), r folded to the positive side."""

    def folded(point: Point) -> Point:
        there = to_part(frame, point)
        return Point(there.x, abs(there.y))

    return tuple(PlacedNote(note, folded(note.at), tuple(map(folded, note.tips))) for note in notes)
