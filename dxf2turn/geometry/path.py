"""Properties of an ordered run of segments: closed form, arcs included."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from dxf2turn.geometry.point import same_point
from dxf2turn.geometry.segment import Arc, Bounds, Line, Segment


def reversed_path(path: Sequence[Segment]) -> tuple[Segment, ...]:
    """The same run travelled the other way."""
    return tuple(segment.reversed() for segment in reversed(path))


def is_connected(path: Sequence[Segment], tolerance: float) -> bool:
    """Whether each segment starts where the one before it ends."""
    return all(same_point(a.end, b.start, tolerance) for a, b in zip(path, path[1:]))


def is_closed(path: Sequence[Segment], tolerance: float) -> bool:
    """Whether the run is connected and ends where it starts."""
    return (
        len(path) > 1 and is_connected(path, tolerance) and same_point(path[-1].end, path[0].start, tolerance)
    )


def path_length(path: Iterable[Segment]) -> float:
    """Sum of the segments' lengths."""
    return math.fsum(segment.length for segment in path)


def path_bounds(path: Sequence[Segment]) -> Bounds:
    """Bounding box. Raises ValueError for an empty run."""
    if not path:
        raise ValueError("an empty path has no bounds")
    box = path[0].bounds
    for segment in path[1:]:
        box = box.union(segment.bounds)
    return box


def signed_area(path: Iterable[Segment]) -> float:
    """Area inside a closed run, positive when it runs counter-clockwise (x right, y up)."""
    total = []
    for segment in path:
        (ax, ay), (bx, by) = segment.start, segment.end
        total.append(0.5 * (ax * by - bx * ay))
        if isinstance(segment, Arc):
            sweep, radius = segment.sweep, segment.radius
            total.append(0.5 * radius * radius * (sweep - math.sin(sweep)))
    return math.fsum(total)


def revolved_volume(path: Iterable[Segment]) -> float:
    """Volume swept by turning a closed counter-clockwise run (y >= 0) about the x axis.

    V = pi * |closed integral of y^2 dx|, taken in closed form for lines and arcs (Green's theorem).
    """
    return abs(math.pi * math.fsum(_y2_dx(segment) for segment in path))


def _y2_dx(segment: Segment) -> float:
    """Integral of y^2 dx along one segment."""
    (ax, ay), (bx, by) = segment.start, segment.end
    if isinstance(segment, Line):
        return (bx - ax) * (ay * ay + ay * by + by * by) / 3.0
    # y = c + r sin u, dx = -r sin u du.
    c, r = segment.centre.y, segment.radius
    u0 = segment.start_angle
    u1 = u0 + segment.sweep

    def primitive(u: float) -> float:
        s2 = 0.5 * u - 0.25 * math.sin(2.0 * u)  # integral of sin^2
        s3 = -math.cos(u) + math.cos(u) ** 3 / 3.0  # integral of sin^3
        return c * c * r * math.cos(u) - 2.0 * c * r * r * s2 - r**3 * s3

    return primitive(u1) - primitive(u0)
