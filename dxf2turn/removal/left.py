"""What is left beside the part, and threads that were not cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import less
from dxf2turn.removal.body import Zone, depth_in
from dxf2turn.removal.sweep import areas, polygons_of
from dxf2turn.removal.tolerances import AREA_NOISE, LEFT, LEFT_NOISE


@dataclass(frozen=True, slots=True)
class Left:
    """One piece of material beside the part (part coordinates).

    depth: its greatest distance from the part, mm, at the point `at`; unexplained: the same for what lies
    outside the areas that the plan declares unreached.
    """

    region: BaseGeometry
    depth: float
    unexplained: float
    at: Point


def left_over(piece: BaseGeometry, target: BaseGeometry, unreached: BaseGeometry) -> tuple[Left, ...]:
    """The pieces of left-over, deepest first. `unreached`: areas that the plan itself says it leaves."""
    beside = areas(less(piece, target))
    thick = shapely.difference(beside, shapely.buffer(target, LEFT_NOISE, quad_segs=4))
    near = [one for one in polygons_of(beside) if shapely.intersects(one, thick)]
    allowed = shapely.buffer(unreached, LEFT)
    found = [_measured(one, target, allowed) for one in near]
    return tuple(sorted(found, key=lambda left: -left.depth))


def _measured(region: BaseGeometry, target: BaseGeometry, allowed: BaseGeometry) -> Left:
    depth, at = depth_in(target, region)
    if depth <= LEFT or allowed.is_empty:
        return Left(region, depth, depth, at)
    rest = areas(less(region, allowed))
    if rest.area <= AREA_NOISE:
        return Left(region, depth, 0.0, at)
    unexplained, at = depth_in(target, rest)
    return Left(region, depth, unexplained, at)


def uncut_threads(
    zones: tuple[Zone, ...], grooves: BaseGeometry, short: Mapping[str, BaseGeometry]
) -> Iterator[tuple[Zone, float, Point]]:
    """Zones whose groove was not cut to the root all along: (zone, area that is missing, where).

    short: by feature, where the plan itself says that the thread is not full.
    """
    for zone in zones:
        cut = shapely.union(grooves, short[zone.id]) if zone.id in short else grooves
        rest = areas(less(zone.body, cut))
        if rest.area > AREA_NOISE:
            corners = shapely.get_coordinates(rest)
            yield zone, rest.area, Point(*map(float, corners[int(np.argmax(corners[:, 1]))]))
