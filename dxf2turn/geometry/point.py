"""Points and vectors of the plane.

A point and a vector are different things: point - point = vector, point + vector = point.
In machine coordinates x is Z (along the spindle) and y is the radius.
"""

from __future__ import annotations

import math
from typing import NamedTuple


class Vector(NamedTuple):
    """A displacement or a direction."""

    dx: float
    dy: float

    def __add__(self, other: Vector) -> Vector:  # type: ignore[override]
        return Vector(self.dx + other.dx, self.dy + other.dy)

    def __sub__(self, other: Vector) -> Vector:
        return Vector(self.dx - other.dx, self.dy - other.dy)

    def __neg__(self) -> Vector:
        return Vector(-self.dx, -self.dy)

    def __mul__(self, factor: float) -> Vector:  # type: ignore[override]
        return Vector(self.dx * factor, self.dy * factor)

    def __rmul__(self, factor: float) -> Vector:  # type: ignore[override]
        return self * factor

    @property
    def length(self) -> float:
        """Euclidean length."""
        return math.hypot(self.dx, self.dy)

    @property
    def angle(self) -> float:
        """Direction in radians, -pi to pi, counter-clockwise from +x."""
        return math.atan2(self.dy, self.dx)

    @property
    def left(self) -> Vector:
        """The vector turned a quarter counter-clockwise."""
        return Vector(-self.dy, self.dx)

    def dot(self, other: Vector) -> float:
        """Scalar product."""
        return self.dx * other.dx + self.dy * other.dy

    def cross(self, other: Vector) -> float:
        """z of the cross product: positive when `other` lies to the left."""
        return self.dx * other.dy - self.dy * other.dx

    def unit(self) -> Vector | None:
        """The direction with length 1; None for the zero vector."""
        length = self.length
        return None if length == 0.0 else Vector(self.dx / length, self.dy / length)

    @staticmethod
    def from_angle(angle: float, length: float = 1.0) -> Vector:
        """Vector of `length` in direction `angle` (radians)."""
        return Vector(length * math.cos(angle), length * math.sin(angle))


class Point(NamedTuple):
    """A place in the plane."""

    x: float
    y: float

    def __add__(self, vector: Vector) -> Point:  # type: ignore[override]
        return Point(self.x + vector.dx, self.y + vector.dy)

    def __sub__(self, other: Point) -> Vector:
        return Vector(self.x - other.x, self.y - other.y)

    def distance(self, other: Point) -> float:
        """Euclidean distance."""
        return math.hypot(self.x - other.x, self.y - other.y)

    def towards(self, other: Point, share: float) -> Point:
        """The point at `share` (0 = here, 1 = there) of the way to `other`."""
        return Point(self.x + (other.x - self.x) * share, self.y + (other.y - self.y) * share)


ORIGIN = Point(0.0, 0.0)


def same_point(a: Point, b: Point, tolerance: float) -> bool:
    """The one rule for "these two points are one": distance at most `tolerance`."""
    return abs(a.x - b.x) <= tolerance and abs(a.y - b.y) <= tolerance and a.distance(b) <= tolerance
