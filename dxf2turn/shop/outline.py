"""Outlines of tools: a convex core grown by a radius, mirror images, half-plane cuts.

All in the (z, r) plane relative to the controlled point, mm.
"""

from __future__ import annotations

from collections.abc import Sequence

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.region import flatten
from dxf2turn.geometry.segment import Arc, Line, Segment, circle_arcs

OUTLINE_SAGITTA = 0.002  # chords of an outline lie within this of the true nose arc, mm
DECIMALS = 9  # coordinates are rounded to this many decimals, so that 0 is 0

Polygon = tuple[Point, ...]


def grown(core: Sequence[Point], radius: float) -> tuple[Segment, ...]:
    """The convex counter-clockwise `core` grown by `radius` all round, as exact lines and arcs.

    One point gives a circle, two points a slot. radius > 0.
    """
    if len(core) == 1:
        return circle_arcs(core[0], radius)
    count = len(core)
    normals = [_outward(core[i], core[(i + 1) % count]) * radius for i in range(count)]
    path: list[Segment] = []
    for i, corner in enumerate(core):
        path.append(Arc(corner + normals[i - 1], corner + normals[i], corner, False))
        path.append(Line(corner + normals[i], core[(i + 1) % count] + normals[i]))
    return tuple(path)


def flat_outline(core: Sequence[Point], radius: float) -> Polygon:
    """The grown core as polygon: chords inside, vertices exactly at the nose's quarter points."""
    if radius == 0.0:
        return rounded(core)
    return rounded(flatten(grown(core, radius), OUTLINE_SAGITTA)[:-1])


def rounded(points: Sequence[Point]) -> Polygon:
    """The points without rounding noise and without doubles."""
    clean = [Point(round(p.x, DECIMALS) + 0.0, round(p.y, DECIMALS) + 0.0) for p in points]
    return tuple(p for i, p in enumerate(clean) if p != clean[i - 1] or len(clean) == 1)


def box(z0: float, z1: float, r0: float, r1: float) -> Polygon:
    """A rectangle, counter-clockwise."""
    return (Point(z0, r0), Point(z1, r0), Point(z1, r1), Point(z0, r1))


def cut_left(polygon: Sequence[Point], at: Point, direction: Vector) -> Polygon:
    """The part of a convex polygon to the left of the line through `at`; empty when there is none."""
    kept: list[Point] = []
    sides = [direction.cross(p - at) for p in polygon]
    for i, (point, side) in enumerate(zip(polygon, sides)):
        before, side_before = polygon[i - 1], sides[i - 1]
        if (side < 0.0) != (side_before < 0.0):
            kept.append(before.towards(point, side_before / (side_before - side)))
        if side >= 0.0:
            kept.append(point)
    return tuple(kept)


def mirrored_z(polygon: Sequence[Point]) -> Polygon:
    """The mirror image for the other hand: z changes its sign. Stays counter-clockwise."""
    return tuple(Point(0.0 - p.x, p.y) for p in reversed(polygon))


def mirrored_r(polygon: Sequence[Point]) -> Polygon:
    """The mirror image for inside work: r changes its sign. Stays counter-clockwise."""
    return tuple(Point(p.x, 0.0 - p.y) for p in reversed(polygon))


def _outward(start: Point, end: Point) -> Vector:
    """Unit normal to the right of travel: outward for a counter-clockwise polygon."""
    direction = (end - start).unit()
    if direction is None:
        raise ValueError("two corners of a tool's core are one point")
    return -direction.left
