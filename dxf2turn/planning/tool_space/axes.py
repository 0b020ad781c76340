"""Which way a tool goes in: the same working plane (u, v) for work outside, inside and in a face.

u is the way along the work, v the way out of it: a blade goes in along -v and the material lies below. A
turning or boring tool feeds along -u: outside towards the chuck, in a face towards the axis, across a
counterbore away from it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.planning.model import Move, MoveKind

Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Axes:
    """A mapping between (z, r) and (u, v). swap: u = sign * r, v = z; else u = forward * z, v = sign * r.

    forward: -1 for tools that work away from the chuck.
    """

    name: str
    sign: float = 1.0
    swap: bool = False
    forward: float = 1.0

    @property
    def mirrored(self) -> bool:
        """Whether turning directions change between the two planes."""
        return (-self.sign if self.swap else self.sign * self.forward) < 0.0

    def uv(self, point: Point | tuple[float, float]) -> Point:
        """(z, r) to (u, v)."""
        z, r = point
        return Point(self.sign * r, z) if self.swap else Point(self.forward * z, self.sign * r)

    def zr(self, point: Point | tuple[float, float]) -> Point:
        """(u, v) to (z, r)."""
        u, v = point
        return Point(v, self.sign * u) if self.swap else Point(self.forward * u, self.sign * v)

    def uv_all(self, points: Numbers) -> Numbers:
        """Many places (n, 2), (z, r) to (u, v)."""
        return points[:, ::-1] * (self.sign, 1.0) if self.swap else points * (self.forward, self.sign)

    def zr_all(self, points: Numbers) -> Numbers:
        """Many places (n, 2), (u, v) to (z, r)."""
        return points[:, ::-1] * (1.0, self.sign) if self.swap else points * (self.forward, self.sign)

    def curve(self, segment: Segment) -> Segment:
        """A segment, (z, r) to (u, v)."""
        return self._mapped(segment, self.uv)

    def curve_zr(self, segment: Segment) -> Segment:
        """A segment, (u, v) to (z, r)."""
        return self._mapped(segment, self.zr)

    def _mapped(self, segment: Segment, mapping: Callable[[Point], Point]) -> Segment:
        start, end = mapping(segment.start), mapping(segment.end)
        if isinstance(segment, Line):
            return Line(start, end, segment.origin)
        clockwise = segment.clockwise != self.mirrored
        return Arc(start, end, mapping(segment.centre), clockwise, segment.origin)

    def profile(self, segments: Iterable[Segment]) -> tuple[Segment, ...]:
        """A closed counter-clockwise profile in (u, v), counter-clockwise there too."""
        run = tuple(self.curve(segment) for segment in segments)
        return tuple(s.reversed() for s in reversed(run)) if self.mirrored else run

    def rapid(self, point: Point) -> Move:
        """Rapid to a place in (u, v)."""
        z, r = self.zr(point)
        return Move(MoveKind.RAPID, z, r)

    def feed(self, point: Point, feed: float) -> Move:
        """Straight cut to a place in (u, v)."""
        z, r = self.zr(point)
        return Move(MoveKind.FEED, z, r, feed=feed)

    def along(self, segment: Segment, feed: float) -> Move:
        """Cut along a segment of (u, v) to its end."""
        if isinstance(segment, Line):
            return self.feed(segment.end, feed)
        arc = self.curve_zr(segment)
        assert isinstance(arc, Arc)
        z, r = arc.end
        return Move(MoveKind.ARC, z, r, feed=feed, centre=arc.centre, clockwise=arc.clockwise)


OUTSIDE = Axes("outside")
INSIDE = Axes("inside", sign=-1.0)
FACE = Axes("face", swap=True)
COUNTERBORE = Axes("counterbore", sign=-1.0, swap=True)
AXES = {axes.name: axes for axes in (OUTSIDE, INSIDE, FACE)}
