"""The axis of a half profile that is drawn without one: its open ends, or its own straight edge."""

from __future__ import annotations

import math
from collections import Counter
from itertools import combinations

from dxf2turn.contour.axis import EAST, NORTH, tidy
from dxf2turn.contour.components import Component
from dxf2turn.contour.frame import Axis
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import ORIGIN
from dxf2turn.geometry.segment import Line
from dxf2turn.options import Tolerances

_ENDS_TRIED, _EDGES_TRIED = 60, 12  # enough for any half profile; more are a sign of something else
_ENDS_ON_AXIS = 0.8  # least share of the free ends that lie on the axis of an open half profile
_WHOLE = 0.999  # share of a closed half profile's length that its edge on the axis has


def open_end_axes(component: Component, tolerances: Tolerances) -> list[Axis]:
    """The line on which nearly all free ends of open linework lie, all of it on one side of the line."""
    met = Counter(end for segment in component.segments for end in (segment.start, segment.end))
    free = [end for end, count in met.items() if count == 1]
    if not 2 <= len(free) <= _ENDS_TRIED:
        return []
    first, last = max(combinations(free, 2), key=lambda pair: pair[0].distance(pair[1]))
    source = "the line through the open ends of the outline"
    axis = Axis(first, tidy((last - first).unit() or EAST), source)
    on_it = sum(abs(axis.z_r(end).y) <= tolerances.gap for end in free)
    if on_it < _ENDS_ON_AXIS * len(free):
        return []
    return [axis] if _one_sided(component, axis, tolerances) else []


def edge_axes(component: Component, tolerances: Tolerances) -> list[Axis]:
    """Straight edges along the whole length of a closed outline that lies on one side of them.

    The lowest level edge comes first, then the left one (upright), then the longest of the others.
    """
    lines = sorted((s for s in component.border if isinstance(s, Line)), key=lambda s: -s.length)
    axes = [
        Axis(line.start, tidy(line.tangent_at(0.0)), "the outline's own straight edge")
        for line in lines[:_EDGES_TRIED]
    ]
    whole = [axis for axis in axes if _runs_along(component, axis, tolerances)]
    return sorted(whole, key=_lowest_first)


def edge_on_origin_axes(component: Component, tolerances: Tolerances) -> list[Axis]:
    """The drawing's x and y axis where an outline on one side of it has a straight edge on it.

    The edge may be shorter than the part; the one that is longer beside the part's length comes first. A
    face at x = 0 of an outline apart from the x axis is a face: such a part has a hole (`origin_axes`).
    """
    found = []
    for direction in (EAST, NORTH):
        axis = Axis(ORIGIN, direction, "the outline's own straight edge")
        share = _lying_share(component, axis, tolerances)
        if share > 0.0 and _one_sided(component, axis, tolerances):
            found.append((share, axis))
    if _apart(component.bounds.min_y, component.bounds.max_y, tolerances):
        return []
    return [axis for _, axis in sorted(found, key=lambda entry: -entry[0])]


def origin_axes(component: Component, tolerances: Tolerances) -> list[Axis]:
    """The drawing's own x or y axis, for a closed outline apart from it with a face at its zero: a part with
    a hole, drawn where it is dimensioned from."""
    if not component.closed:
        return []
    box = component.bounds
    axes = []
    upright, level = Axis(ORIGIN, NORTH, "the drawing's y axis"), Axis(ORIGIN, EAST, "the drawing's x axis")
    if _apart(box.min_y, box.max_y, tolerances) and _lying_share(component, upright, tolerances) > 0.0:
        axes.append(level)
    if _apart(box.min_x, box.max_x, tolerances) and _lying_share(component, level, tolerances) > 0.0:
        axes.append(upright)
    return axes


def _apart(low: float, high: float, tolerances: Tolerances) -> bool:
    """Whether an outline does not reach zero."""
    return low > tolerances.gap or high < -tolerances.gap


def _runs_along(component: Component, axis: Axis, tolerances: Tolerances) -> bool:
    """Whether the outline's edges on a line are as long as the outline, all of which lies on one side."""
    return _one_sided(component, axis, tolerances) and _lying_share(component, axis, tolerances) >= _WHOLE


def _lying_share(component: Component, axis: Axis, tolerances: Tolerances) -> float:
    """Length of the outline's edges on a line, as a share of the outline's length along it."""
    onto = [axis.segment(segment) for segment in component.border]
    if not onto:
        return 0.0
    span = path_bounds(onto)
    on_it = (s for s in onto if isinstance(s, Line) and max(abs(s.start.y), abs(s.end.y)) <= tolerances.gap)
    length = span.max_x - span.min_x
    return math.fsum(s.length for s in on_it) / length if length > 0.0 else 0.0


def _lowest_first(axis: Axis) -> tuple[float, float]:
    level, upright = abs(axis.direction.dy) == 0.0, abs(axis.direction.dx) == 0.0
    if level:
        return 0.0, axis.point.y
    return (1.0, axis.point.x) if upright else (2.0, 0.0)


def _one_sided(component: Component, axis: Axis, tolerances: Tolerances) -> bool:
    boxes = [axis.segment(segment).bounds for segment in component.segments]
    low, high = min(b.min_y for b in boxes), max(b.max_y for b in boxes)
    return low >= -tolerances.gap or high <= tolerances.gap
