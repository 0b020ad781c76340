"""How a tool gets to a place inside the part: through which end, how narrow, how far."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from dxf2turn.checks.model import Case
from dxf2turn.checks.rays import radii_at
from dxf2turn.geometry.segment import Arc, Segment


@dataclass(frozen=True, slots=True)
class Access:
    """One way in. entrance_mm: smallest diameter on the way; distance: from the end to the far side."""

    end: str  # "front" or "back"
    entrance_mm: float
    distance: float


def ways_in(case: Case, z_front: float, z_back: float, segments: tuple[int, ...]) -> tuple[Access, ...]:
    """The ends through which an inside feature can be reached, given its z range and segments."""
    run = inside_run(case, segments[0])
    profile = case.part.profile
    box = profile.bounds
    found = []
    if profile.roles[(run[-1] + 1) % len(profile.roles)] != "axis":
        entrance = least_radius(case, run, z_front, box.max_x)
        found.append(Access("front", 2.0 * entrance, box.max_x - z_back))
    if profile.roles[run[0] - 1] != "axis":
        entrance = least_radius(case, run, box.min_x, z_back)
        found.append(Access("back", 2.0 * entrance, z_front - box.min_x))
    return tuple(found)


def inside_run(case: Case, index: int) -> tuple[int, ...]:
    """The inside segments connected to one of them, from back to front."""
    roles = case.part.profile.roles
    count = len(roles)
    first = last = index
    while roles[(first - 1) % count] == "inside" and (first - 1) % count != last:
        first = (first - 1) % count
    while roles[(last + 1) % count] == "inside" and (last + 1) % count != first:
        last = (last + 1) % count
    return tuple((first + i) % count for i in range((last - first) % count + 1))


def least_radius(case: Case, run: tuple[int, ...], z_low: float, z_high: float) -> float:
    """Smallest radius of some segments between two z; infinite when they do not get there."""
    radii = (r for index in run for r in _radii_between(case.segments[index], z_low, z_high))
    return min(radii, default=math.inf)


def _radii_between(segment: Segment, z_low: float, z_high: float) -> Iterator[float]:
    """Radii of a segment between two z: at its ends, where an arc is lowest, where it crosses both z."""
    points = [segment.start, segment.end]
    if isinstance(segment, Arc) and segment.covers_angle(-0.5 * math.pi):
        points.append(segment.point_at(segment.parameter_of_angle(-0.5 * math.pi)))
    for point in points:
        if z_low <= point.x <= z_high:
            yield point.y
    for z in (z_low, z_high):
        yield from radii_at(segment, z)
