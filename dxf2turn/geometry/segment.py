"""Line and Arc: the two pieces every contour and every tool path is made of.

Both are small frozen values with the same abilities. The parameter t runs 0 at the start to 1 at the end,
linear in length. `origin` says where a piece comes from (entity handles); it takes no part in equality.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from dxf2turn.geometry.point import Point, Vector

TAU = 2.0 * math.pi
QUARTERS = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))  # right, up, left, down


class Bounds(NamedTuple):
    """Axis-parallel bounding box."""

    min_x: float
    min_y: float
    max_x: float
    max_y: float

    def union(self, other: Bounds) -> Bounds:
        """The smallest box around both."""
        return Bounds(
            min(self.min_x, other.min_x),
            min(self.min_y, other.min_y),
            max(self.max_x, other.max_x),
            max(self.max_y, other.max_y),
        )

    @property
    def size(self) -> float:
        """Length of the diagonal."""
        return math.hypot(self.max_x - self.min_x, self.max_y - self.min_y)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight piece from `start` to `end`."""

    start: Point
    end: Point
    origin: tuple[str, ...] = field(default=(), compare=False)

    @property
    def length(self) -> float:
        return self.start.distance(self.end)

    @property
    def bounds(self) -> Bounds:
        (ax, ay), (bx, by) = self.start, self.end
        return Bounds(min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))

    def point_at(self, t: float) -> Point:
        return self.start.towards(self.end, t)

    def tangent_at(self, t: float) -> Vector:
        """Unit direction of travel; the zero vector for a line without length."""
        return (self.end - self.start).unit() or Vector(0.0, 0.0)

    def parameter_of(self, point: Point) -> float:
        """t of the foot of `point` on the endless line (not clamped)."""
        along = self.end - self.start
        square = along.dot(along)
        return 0.0 if square == 0.0 else (point - self.start).dot(along) / square

    def distance(self, point: Point) -> float:
        """Distance of `point` from the piece."""
        return point.distance(self.point_at(min(1.0, max(0.0, self.parameter_of(point)))))

    def reversed(self) -> Line:
        return Line(self.end, self.start, self.origin)

    def part(self, t0: float, t1: float) -> Line:
        """The piece between two parameters, t0 < t1."""
        start = self.start if t0 == 0.0 else self.point_at(t0)
        end = self.end if t1 == 1.0 else self.point_at(t1)
        return Line(start, end, self.origin)

    def moved(self, by: Vector) -> Line:
        return Line(self.start + by, self.end + by, self.origin)


@dataclass(frozen=True, slots=True)
class Arc:
    """A piece of a circle from `start` to `end` about `centre`.

    clockwise: seen with x to the right and y up. Never a whole circle: start and end differ
    (a circle is two arcs). The sweep is more than 0 and less than a full turn.
    """

    start: Point
    end: Point
    centre: Point
    clockwise: bool
    origin: tuple[str, ...] = field(default=(), compare=False)

    @property
    def radius(self) -> float:
        return 0.5 * (self.start.distance(self.centre) + self.end.distance(self.centre))

    @property
    def start_angle(self) -> float:
        return (self.start - self.centre).angle

    @property
    def end_angle(self) -> float:
        return (self.end - self.centre).angle

    @property
    def sweep(self) -> float:
        """Signed angle travelled, radians: positive counter-clockwise."""
        turn = (self.end_angle - self.start_angle) % TAU
        return turn - TAU if self.clockwise else turn

    @property
    def length(self) -> float:
        return abs(self.sweep) * self.radius

    @property
    def bounds(self) -> Bounds:
        (ax, ay), (bx, by), (cx, cy) = self.start, self.end, self.centre
        xs, ys, radius = [ax, bx], [ay, by], self.radius
        for quarter in self.quarters():
            xs.append(cx + QUARTERS[quarter][0] * radius)
            ys.append(cy + QUARTERS[quarter][1] * radius)
        return Bounds(min(xs), min(ys), max(xs), max(ys))

    def quarters(self) -> tuple[int, ...]:
        """Which quarter directions (0 = right, 1 = up, ...) the piece passes, as `covers_angle` says."""
        first, sweep = self.start_angle, self.sweep
        size, sign = abs(sweep), 1.0 if sweep > 0.0 else -1.0
        turns = (sign * (0.5 * math.pi * quarter - first) % TAU for quarter in range(4))
        return tuple(quarter for quarter, turn in enumerate(turns) if turn <= size or turn / size <= 1.0)

    def covers_angle(self, angle: float) -> bool:
        """Whether the ray from the centre at `angle` meets the piece."""
        return 0.0 <= self.parameter_of_angle(angle) <= 1.0

    def parameter_of_angle(self, angle: float) -> float:
        """t of the ray at `angle`: 0..1 on the piece; off it, the nearer side (below 0 or above 1)."""
        sweep = self.sweep
        turn = (angle - self.start_angle) % TAU if sweep > 0.0 else (self.start_angle - angle) % TAU
        size = abs(sweep)
        if turn > size and TAU - turn < turn - size:
            turn -= TAU
        return turn / size if size else 0.0

    def point_at(self, t: float) -> Point:
        if t == 0.0:
            return self.start
        if t == 1.0:
            return self.end
        return self.centre + Vector.from_angle(self.start_angle + self.sweep * t, self.radius)

    def points_at(self, places: Iterable[float]) -> list[Point]:
        """`point_at` for many t; what they share is worked out once."""
        ends = {0.0: self.start, 1.0: self.end}
        (x, y), first, sweep, radius = self.centre, self.start_angle, self.sweep, self.radius
        turns = ((t, first + sweep * t) for t in places)
        return [
            ends[t] if t in ends else Point(x + radius * math.cos(turn), y + radius * math.sin(turn))
            for t, turn in turns
        ]

    def tangent_at(self, t: float) -> Vector:
        """Unit direction of travel."""
        out = Vector.from_angle(self.start_angle + self.sweep * t)
        return -out.left if self.clockwise else out.left

    def parameter_of(self, point: Point) -> float:
        """t of the foot of `point` on the full circle (see `parameter_of_angle`)."""
        return self.parameter_of_angle((point - self.centre).angle)

    def distance(self, point: Point) -> float:
        """Distance of `point` from the piece."""
        if 0.0 <= self.parameter_of(point) <= 1.0:
            return abs(point.distance(self.centre) - self.radius)
        return min(point.distance(self.start), point.distance(self.end))

    def reversed(self) -> Arc:
        return Arc(self.end, self.start, self.centre, not self.clockwise, self.origin)

    def part(self, t0: float, t1: float) -> Arc:
        """The piece between two parameters, t0 < t1."""
        return replace(self, start=self.point_at(t0), end=self.point_at(t1))

    def moved(self, by: Vector) -> Arc:
        return Arc(self.start + by, self.end + by, self.centre + by, self.clockwise, self.origin)


Segment = Line | Arc


def arc_through(start: Point, end: Point, bulge: float, origin: tuple[str, ...] = ()) -> Segment:
    """Piece from a DXF bulge: tan of a quarter of the sweep, positive counter-clockwise; 0 is a line.

    Source: DXF reference, LWPOLYLINE group 42.
    """
    if bulge == 0.0:
        return Line(start, end, origin)
    chord = end - start
    # Centre = mid-point + left normal * chord * (1 - b^2) / (4 b).
    centre = start.towards(end, 0.5) + chord.left * ((1.0 - bulge * bulge) / (4.0 * bulge))
    return Arc(start, end, centre, bulge < 0.0, origin)


def circle_arcs(centre: Point, radius: float, origin: tuple[str, ...] = ()) -> tuple[Arc, Arc]:
    """A whole circle as its right-to-left upper and left-to-right lower half, counter-clockwise."""
    right, left = Point(centre.x + radius, centre.y), Point(centre.x - radius, centre.y)
    return Arc(right, left, centre, False, origin), Arc(left, right, centre, False, origin)
