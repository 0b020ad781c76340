"""The axis of a half profile that is drawn without one: its open ends, or its own straight edge."""

from __future__ import annotations

import math
from collections import Counter

from dxf2turn.contour.axis import EAST, NORTH, tidy
from dxf2turn.contour.components import Component
from dxf2turn.contour.frame import Axis
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import ORIGIN, Point
from dxf2turn.geometry.segment import Line
from dxf2turn.options import Tolerances

_WHOLE = 0.999  # share of a closed half profile's length that its edge on the axis has


def open_end_axes(component: Component, tolerances: Tolerances) -> list[Axis]:
    """The line through the two open ends of an outline, when all of it lies on one side."""
    met = Counter(end for segment in component.segments for end in (segment.start, segment.end))
    free = [end for end, count in met.items() if count == 1]
    if len(free) != 2:
        return []
    direction = (free[1] - free[0]).unit()
    if direction is None:
        return []
    axis = Axis(free[0], tidy(direction), "the line through the open ends of the outline")
    return [axis] if _one_sided(component, axis, tolerances) else []


def edge_axes(component: Component, tolerances: Tolerances) -> list[Axis]:
    """Straight edges along the whole length of a closed outline that lies on one side of them.

    The lowest edge comes first, then the left one (upright), the top and the right one.
    """
    box = component.bounds
    low, high = Point(box.min_x, box.min_y), Point(box.max_x, box.max_y)
    found = []
    for corner, direction in ((low, EAST), (low, NORTH), (high, EAST), (high, NORTH)):
        axis = Axis(corner, direction, "the outline's own straight edge")
        onto = [axis.segment(segment) for segment in component.segments]
        lying = math.fsum(
            s.length
            for s in onto
            if isinstance(s, Line) and max(abs(s.start.y), abs(s.end.y)) <= tolerances.gap
        )
        span = path_bounds(onto)
        if lying >= _WHOLE * (span.max_x - span.min_x):
            found.append(axis)
    return found


def origin_axes(component: Component, tolerances: Tolerances) -> list[Axis]:
    """The drawing's own x or y axis, for a closed outline that lies apart from it: a part with a hole."""
    axes = (Axis(ORIGIN, EAST, "the drawing's x axis"), Axis(ORIGIN, NORTH, "the drawing's y axis"))
    return [axis for axis in axes if _one_sided(component, axis, tolerances)]


def _one_sided(component: Component, axis: Axis, tolerances: Tolerances) -> bool:
    boxes = [axis.segment(segment).bounds for segment in component.segments]
    low, high = min(b.min_y for b in boxes), max(b.max_y for b in boxes)
    return low >= -tolerances.gap or high <= tolerances.gap
