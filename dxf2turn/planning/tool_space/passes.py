"""One roughing level: which ways the tool takes through a slab of the tool space."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.planning.tool_space.exact_boundary import trace
from dxf2turn.planning.tool_space.sweep import polygons

RUN_IN = 0.6  # feed through air before the material, in clearances
RUN_OUT = 0.2  # feed past the end of the material, mm
JOIN = 4.0  # two stretches of material closer than this are cut in one go, mm
CHIP = 0.01  # material thinner than twice this is none, mm
SAME = 1e-7


@dataclass(frozen=True, slots=True)
class Slab:
    """The heights between two levels, and how far the tool may go along u: mm."""

    low: float
    high: float
    u_low: float
    u_high: float


@dataclass(frozen=True, slots=True)
class Reach:
    """How the cutting part lies about the controlled point: mm.

    lead: furthest point ahead (u, at most 0 for a tip that leads); nose: u of the nose centre; sole: v of
    the lowest point. run_in: it begins to feed so far in front of the material.
    """

    lead: float
    nose: float
    sole: float
    run_in: float


def ways(free: Polygon, curves: Sequence[Segment], slab: Slab) -> Iterator[tuple[Segment, ...]]:
    """The lower edge of each piece of the tool space in the slab, from right to left.

    It comes down the wall on the right, follows the lower level or what stands above it, and climbs the
    wall on the left to the upper level.
    """
    box = shapely.box(slab.u_low, slab.low, slab.u_high, slab.high)
    limits = _limits(slab)
    for piece in polygons(shapely.intersection(free, box)):
        ring = np.asarray(orient(piece, sign=-1.0).exterior.coords)[:-1]
        pieces = trace(ring, [*limits, *curves])
        open_sides = {0, 1}  # upper level and right limit: nothing to follow there
        for run in _runs([(p.curve in open_sides, p.path) for p in pieces]):
            if run[-1].end.x < run[0].start.x - SAME:
                yield run


def _limits(slab: Slab) -> tuple[Line, ...]:
    """Upper level, right, lower level, left: as travelled with the forbidden side on the left."""
    high_left, high_right = Point(slab.u_low, slab.high), Point(slab.u_high, slab.high)
    low_left, low_right = Point(slab.u_low, slab.low), Point(slab.u_high, slab.low)
    return (
        Line(high_left, high_right),
        Line(high_right, low_right),
        Line(low_right, low_left),
        Line(low_left, high_left),
    )


def _runs(pieces: Sequence[tuple[bool, Segment]]) -> Iterator[tuple[Segment, ...]]:
    """The stretches of a closed ring between those that are left out."""
    first = next((i for i, (out, _) in enumerate(pieces) if out), None)
    if first is None:
        return
    run: list[Segment] = []
    for out, path in (*pieces[first:], *pieces[: first + 1]):
        if not out:
            run.append(path)
        elif run:
            yield tuple(run)
            run = []


def stretches(material: BaseGeometry, slab: Slab, reach: Reach) -> list[tuple[float, float]]:
    """From where to where (u, falling) the controlled point must feed to clear the material of a slab."""
    low, high = slab.low + reach.sole, slab.high + reach.sole
    left, _, right, _ = material.bounds if not material.is_empty else (0.0, 0.0, 0.0, 0.0)
    inside = shapely.intersection(material, shapely.box(left - 1.0, low, right + 1.0, high))
    solid = shapely.buffer(inside, -CHIP, join_style="mitre")
    spans = sorted(
        (
            (p.bounds[2] + CHIP - reach.lead + reach.run_in, p.bounds[0] - CHIP - reach.nose - RUN_OUT)
            for p in polygons(solid)
        ),
        reverse=True,
    )
    joined: list[tuple[float, float]] = []
    for start, end in spans:
        if joined and start > joined[-1][1] - JOIN:
            joined[-1] = (joined[-1][0], min(end, joined[-1][1]))
        else:
            joined.append((start, end))
    return joined


def clipped(way: Sequence[Segment], start: float, end: float) -> tuple[Segment, ...]:
    """The way from where it first passes u = start to where it last passes u = end; all of it if inside."""
    run = list(_from(way, start))
    turned = tuple(segment.reversed() for segment in reversed(run))
    return tuple(segment.reversed() for segment in reversed(list(_from(turned, end, falling=False))))


def _from(way: Sequence[Segment], u: float, falling: bool = True) -> Iterator[Segment]:
    """The rest of a way after it first gets to u."""
    started = (way[0].start.x <= u) if falling else (way[0].start.x >= u) if way else True
    for segment in way:
        if started:
            yield segment
            continue
        cuts = [t for t in _at(segment, u) if 0.0 <= t <= 1.0]
        if cuts:
            started = True
            if cuts[0] < 1.0 - SAME:
                yield segment.part(max(0.0, cuts[0]), 1.0)


def _at(segment: Segment, u: float) -> list[float]:
    """Parameters where a segment passes u, rising."""
    if isinstance(segment, Line):
        run = segment.end.x - segment.start.x
        return [] if abs(run) < SAME else [(u - segment.start.x) / run]
    assert isinstance(segment, Arc)
    off = (u - segment.centre.x) / segment.radius
    if abs(off) > 1.0:
        return []
    angle = float(np.arccos(off))
    return sorted(segment.parameter_of_angle(a) for a in (angle, -angle))
