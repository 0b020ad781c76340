"""A curve as a function of a parameter: what is fitted, before it is lines and arcs."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Segment

_PER_SPAN = 12  # measured places per span; a rational span of degree 5 that meets a circle there is one


class Fit(NamedTuple):
    """Joined segments and their largest distance from the curve."""

    segments: tuple[Segment, ...]
    deviation: float


class CurvePoint(NamedTuple):
    """A place on a curve and the unit direction of travel there."""

    point: Point
    along: Vector


@dataclass(frozen=True)
class Span:
    """A stretch of a curve that one formula draws: `at(t)` for first <= t <= last, smooth in between.

    joint: a piece has to end where this span ends, kink or not.
    """

    at: Callable[[float], CurvePoint]
    first: float
    last: float
    joint: bool = False

    @cached_property
    def samples(self) -> tuple[CurvePoint, ...]:
        """Evenly spaced places, both ends included."""
        step = (self.last - self.first) / _PER_SPAN
        inner = (self.at(self.first + step * i) for i in range(1, _PER_SPAN))
        return (self.at(self.first), *inner, self.at(self.last))


@dataclass(frozen=True)
class Run:
    """Spans that follow each other without a kink; the parameter runs through them."""

    spans: Sequence[Span]

    @cached_property
    def firsts(self) -> tuple[float, ...]:
        """First parameter of each span."""
        return tuple(span.first for span in self.spans)

    @property
    def first(self) -> float:
        return self.spans[0].first

    @property
    def last(self) -> float:
        return self.spans[-1].last

    def at(self, t: float) -> CurvePoint:
        """Place and direction; between two spans those of the second."""
        return self.spans[max(0, bisect_right(self.firsts, t) - 1)].at(t)

    @property
    def end(self) -> CurvePoint:
        """Place and direction at the end of the last span."""
        return self.spans[-1].at(self.last)


def angle_between(a: Vector, b: Vector) -> float:
    """Unsigned angle between two directions, radians."""
    return abs(math.atan2(a.cross(b), a.dot(b)))
