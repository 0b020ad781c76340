"""Targets at the edge of what turning can do, made by hand."""

from __future__ import annotations

import math

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line


def sides(*corners: tuple[float, float]) -> list[Line]:
    """Straight sides through corners."""
    points = [Point(*corner) for corner in corners]
    return [Line(a, b) for a, b in zip(points, points[1:])]


def arc(start: tuple, end: tuple, centre: tuple, clockwise: bool) -> Arc:
    """An arc from pairs."""
    return Arc(Point(*start), Point(*end), Point(*centre), clockwise)


FALL = math.tan(math.radians(32.0))  # the trailing edge of D55
NECK = (-12.0 - 12.0 * math.cos(math.radians(30.0)), 6.0)
SHAPES = {
    "pointed cone": sides((-50, 0), (0, 0), (-30, 12), (-30, 15), (-50, 15), (-50, 0)),
    "fillet of the nose radius": [
        *sides((-50, 0), (0, 0), (0, 10), (-19.6, 10)),
        arc((-19.6, 10), (-20, 10.4), (-19.6, 10.4), True),
        *sides((-20, 10.4), (-20, 20), (-50, 20), (-50, 0)),
    ],
    "fillet a hair above it": [
        *sides((-50, 0), (0, 0), (0, 10), (-19.5999, 10)),
        arc((-19.5999, 10), (-20, 10.4001), (-19.5999, 10.4001), True),
        *sides((-20, 10.4001), (-20, 20), (-50, 20), (-50, 0)),
    ],
    "fall along the trailing edge": sides(
        (-60, 0),
        (0, 0),
        (0, 20),
        (-10, 20),
        (-20, 20 - 10 * FALL),
        (-40, 20 - 10 * FALL),
        (-40, 22),
        (-60, 22),
        (-60, 0),
    ),
    "more than half a ball": [
        arc((0, 0), NECK, (-12, 0), False),
        *sides(NECK, (-40, 6), (-40, 14), (-60, 14), (-60, 0), (0, 0)),
    ],
    "hook": sides((-60, 0), (0, 0), (0, 8), (-30, 8), (-34, 14), (-26, 16), (-26, 20), (-60, 20), (-60, 0)),
    "mushroom": sides(
        (-60, 0), (0, 0), (0, 25), (-5, 25), (-3, 10), (-40, 10), (-40, 25), (-60, 25), (-60, 0)
    ),
    "hundredths": sides(
        (-30, 0),
        (0, 0),
        (0, 5),
        (-2, 5),
        (-2, 5.05),
        (-4, 5.05),
        (-4, 5.005),
        (-6, 5.005),
        (-6, 5.4),
        (-20, 5.4),
        (-20.01, 5.5),
        (-30, 5.5),
        (-30, 0),
    ),
    "waves": [
        *sides((-60, 0), (0, 0), (0, 10)),
        arc((0, 10), (-10, 10), (-5, 2), False),
        arc((-10, 10), (-20, 10), (-15, 18), True),
        arc((-20, 10), (-30, 10), (-25, 2), False),
        *sides((-30, 10), (-60, 10), (-60, 0)),
    ],
    "thin disc": sides((-2, 0), (0, 0), (0, 60), (-2, 60), (-2, 0)),
    "needle": sides((-80, 0), (0, 0), (0, 1), (-70, 1), (-70, 3), (-80, 3), (-80, 0)),
}
