"""Geometry of the plan document: points, segments, polygons and moves as plain lists and dicts, always mm.

Coordinates are rounded to 1e-7 mm, so an arc read back still closes to far better than 1e-5 mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from shapely import MultiPolygon, Polygon, union_all
from shapely.geometry.polygon import orient

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import flatten
from dxf2turn.geometry.segment import Arc, Segment
from dxf2turn.planning.model import Move, MoveKind

COORDINATE_DECIMALS = 7
VALUE_DECIMALS = 6
STOCK_SAGITTA = 0.0005  # chords of a stock outline, mm

Pair = list[float]


def coordinate(mm: float) -> float:
    """A coordinate, rounded, never -0.0."""
    return round(mm, COORDINATE_DECIMALS) + 0.0


def value(number: float | None) -> float | None:
    """Any other number, rounded, never -0.0; None stays None."""
    return None if number is None else round(number, VALUE_DECIMALS) + 0.0


def pair(point: Point | Sequence[float]) -> Pair:
    """A point as [z, r] (or whatever its two coordinates are)."""
    return [coordinate(point[0]), coordinate(point[1])]


def contour(segments: Iterable[Segment]) -> list[dict[str, Any]]:
    """A closed run of lines and arcs in (z, r)."""
    return [_segment(segment) for segment in segments]


def _segment(segment: Segment) -> dict[str, Any]:
    ends = {"from": pair(segment.start), "to": pair(segment.end)}
    if isinstance(segment, Arc):
        return {"type": "arc", **ends, "centre": pair(segment.centre), "clockwise": segment.clockwise}
    return {"type": "line", **ends}


def ring(points: Iterable[Point | Sequence[float]]) -> list[Pair]:
    """A polygon; the first point is not repeated at the end."""
    pairs = [pair(point) for point in points]
    return pairs[:-1] if len(pairs) > 1 and pairs[0] == pairs[-1] else pairs


def outline(path: Sequence[Segment]) -> list[Pair]:
    """A closed run as polygon, arcs as chords within STOCK_SAGITTA."""
    return ring(flatten(path, STOCK_SAGITTA))


def one_polygon(pieces: Sequence[Sequence[Point]]) -> list[Pair] | None:
    """Several polygons that touch as one simple polygon, counter-clockwise; None when there are none.

    Pieces that lie apart are joined by `_bridged`: a reader gets one polygon whatever the planner made.
    """
    shapes = [Polygon(piece) for piece in pieces if len(piece) >= 3]
    if not shapes:
        return None
    whole = union_all(shapes)
    if isinstance(whole, MultiPolygon):
        whole = _bridged(whole)
    return ring(orient(Polygon(whole.exterior)).exterior.coords)


BRIDGE = 0.01  # width of the strip that joins two polygons which lie apart, mm
UNDER, BEYOND = 1000.0, 500.0  # how far below the axis and beyond the ends the strip runs, mm


def _bridged(pieces: MultiPolygon) -> Polygon:
    """Jaws on one side and a centre on the other, joined behind the work and below the axis.

    The strip leaves each piece at the end of the machine it stands at (chuck or tailstock), runs out
    beyond everything, down and under the axis, where r is negative and no part, stock or tool is.
    """
    z_min, r_min, z_max, _ = pieces.bounds
    middle, low = 0.5 * (z_min + z_max), min(r_min, 0.0) - UNDER
    strips: list[Polygon] = []
    for piece in pieces.geoms:
        at_left = piece.centroid.x < middle
        end_z = z_min - BEYOND if at_left else z_max + BEYOND
        start = (min if at_left else max)(piece.exterior.coords, key=lambda point: point[0])
        edge = [r for z, r in piece.exterior.coords if abs(z - start[0]) < BRIDGE]
        level = 0.5 * (min(edge) + max(edge))
        strips.append(_strip((start[0], level), (end_z, level)))
        strips.append(_strip((end_z, level), (end_z, low)))
        strips.append(_strip((end_z, low), (middle, low)))
    joined = union_all([*pieces.geoms, *strips])
    if not isinstance(joined, Polygon):
        return max(joined.geoms, key=lambda shape: shape.area)
    return joined


def _strip(a: tuple[float, float], b: tuple[float, float]) -> Polygon:
    """A thin rectangle along an axis-parallel line, longer than it by its own width."""
    (az, ar), (bz, br) = a, b
    half = BRIDGE / 2.0
    return Polygon.from_bounds(min(az, bz) - half, min(ar, br) - half, max(az, bz) + half, max(ar, br) + half)


def move(item: Move) -> dict[str, Any]:
    """One move; x is a diameter, the centre of an arc is [z, r]."""
    out: dict[str, Any] = {"type": item.kind.value, "z": coordinate(item.z), "x": coordinate(2.0 * item.r)}
    if item.kind is MoveKind.ARC and item.centre is not None:
        out |= {"centre": pair(item.centre), "clockwise": item.clockwise}
    if item.kind in (MoveKind.FEED, MoveKind.ARC):
        out["feed"] = value(item.feed)
    if item.kind is MoveKind.THREAD:
        out["lead"] = coordinate(item.lead or 0.0)
    return out
