"""The profile as the recognisers walk it: neighbours, corners, directions, what is still unclaimed.

The walk is counter-clockwise: material lies to the left, so a left turn is a convex corner.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from dxf2turn.contour.model import Profile
from dxf2turn.features.rules import Rules
from dxf2turn.geometry.point import Vector
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.options import Tolerances

SIDES = {"front": "face", "outside": "outside", "back": "end", "inside": "inside"}


@dataclass(frozen=True, slots=True)
class Outline:
    """A profile with the rules and tolerances it is read by. threaded: pieces of cylinders under a thread
    that takes part of one, and where it runs out; what is left of the cylinder is another one."""

    profile: Profile
    rules: Rules
    tolerances: Tolerances
    threaded: frozenset[int] = frozenset()

    @property
    def indices(self) -> tuple[int, ...]:
        """The segments that are surface, in order."""
        return self.profile.run("front", "outside", "back", "inside")

    def segment(self, index: int) -> Segment:
        return self.profile.segments[index]

    def role(self, index: int) -> str:
        return self.profile.roles[index]

    def side(self, index: int) -> str:
        return SIDES[self.role(index)]

    def before(self, index: int) -> int | None:
        """The surface segment before this one; None at the axis."""
        return self._surface((index - 1) % len(self.profile.segments))

    def after(self, index: int) -> int | None:
        """The surface segment after this one; None at the axis."""
        return self._surface((index + 1) % len(self.profile.segments))

    def _surface(self, index: int) -> int | None:
        return None if self.role(index) == "axis" else index

    def turn_into(self, index: int) -> float:
        """Signed turn at the start of a segment, radians: positive = convex. 0 at the axis."""
        before = self.before(index)
        if before is None:
            return 0.0
        return turn(self.segment(before).tangent_at(1.0), self.segment(index).tangent_at(0.0))

    def turn_out(self, index: int) -> float:
        """Signed turn at the end of a segment, radians: positive = convex. 0 at the axis."""
        after = self.after(index)
        return 0.0 if after is None else self.turn_into(after)

    def is_axial(self, index: int) -> bool:
        """Whether a segment is a line along the axis, i.e. a cylinder."""
        return self.line_is_axial(self.segment(index))

    def is_radial(self, index: int) -> bool:
        """Whether a segment is a line square to the axis, i.e. a plane face."""
        segment = self.segment(index)
        return isinstance(segment, Line) and self._aligned(*_spans(segment)[::-1])

    def faces_axis(self, index: int) -> bool:
        """Whether a piece is the wall of a hole or a recess: the walk then runs to the front."""
        segment = self.segment(index)
        if segment.end.x == segment.start.x:
            return self.role(index) == "inside"
        return segment.end.x > segment.start.x

    def line_is_axial(self, segment: Segment) -> bool:
        return isinstance(segment, Line) and self._aligned(*_spans(segment))

    def _aligned(self, along: float, across: float) -> bool:
        if across <= max(self.tolerances.same_point, self.tolerances.same_angle * along):
            return True
        return across <= self.tolerances.gap and across <= self.rules.straight_share * along

    def is_convex_arc(self, index: int) -> bool:
        segment = self.segment(index)
        return isinstance(segment, Arc) and not segment.clockwise

    def whole_cylinder(self, index: int) -> tuple[int, ...]:
        """All pieces of the drawn cylinder that a segment is part of, in order of the walk."""
        pieces = [index]
        while (before := self.before(pieces[0])) is not None and self._same_cylinder(before, index):
            pieces.insert(0, before)
        while (after := self.after(pieces[-1])) is not None and self._same_cylinder(after, index):
            pieces.append(after)
        return tuple(pieces)

    def _same_cylinder(self, a: int, b: int) -> bool:
        if (a in self.threaded) != (b in self.threaded):
            return False
        first, second = self.segment(a), self.segment(b)
        near = abs(first.start.y - second.start.y) <= self.tolerances.same_point
        one_way = (first.end.x - first.start.x) * (second.end.x - second.start.x) > 0.0
        return near and one_way and self.is_axial(a) and self.is_axial(b) and self.role(a) == self.role(b)


def turn(into: Vector, out: Vector) -> float:
    """Signed angle from one direction to the next, -pi to pi, positive to the left."""
    return math.atan2(into.cross(out), into.dot(out))


def spread(outline: Outline, indices: tuple[int, ...]) -> tuple[float, float, float, float]:
    """(z_front, z_back, r_small, r_large) of some segments."""
    boxes = [outline.segment(index).bounds for index in indices]
    return (
        max(box.max_x for box in boxes),
        min(box.min_x for box in boxes),
        max(0.0, min(box.min_y for box in boxes)),
        max(box.max_y for box in boxes),
    )


def _spans(segment: Segment) -> tuple[float, float]:
    """Extent of a line along z and along r."""
    along: Vector = segment.end - segment.start
    return abs(along.dx), abs(along.dy)
