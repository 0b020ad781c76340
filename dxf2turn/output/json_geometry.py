"""Geometry of the plan document: points, segments, polygons and moves as plain lists and dicts, always mm.

Coordinates are rounded to 1e-7 mm, so an arc read back still closes to far better than 1e-5 mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import flatten
from dxf2turn.geometry.segment import Arc, Segment
from dxf2turn.output.polygons import each_body, one_holder, one_keep_out
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


def holder(pieces: Sequence[Sequence[Point]]) -> list[Pair] | None:
    """The pieces of a holder as one simple polygon; None when there are none."""
    return ring(one_holder(pieces)) or None


def keep_out(pieces: Sequence[Sequence[Point]]) -> list[Pair]:
    """Jaws and chuck as one simple polygon; empty when there are none."""
    return ring(one_keep_out(pieces))


def supports(pieces: Sequence[Sequence[Point]]) -> list[list[Pair]]:
    """Centre and steady, a simple polygon each; empty when there are none."""
    return [ring(body) for body in each_body(pieces)]


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
