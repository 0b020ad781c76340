"""Which stretch of a tool's way takes something off: the rest of it would only cut air."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.segment import Segment
from dxf2turn.planning.tool_space.axes import Axes
from dxf2turn.planning.tool_space.sweep import Corners, Shape, cutting_shapes, folded, hulls
from dxf2turn.shop.model import Tool

SPACING = 0.05  # a way is judged in legs of this length, mm
LEAD = 0.1  # a stretch begins and ends so far beside what it takes off, mm
BUNDLE = 16  # legs that are judged together
LEAST = 1e-6  # shorter pieces are none, mm


def engaged(way: Sequence[Segment], axes: Axes, tool: Tool, taken: BaseGeometry) -> tuple[Segment, ...]:
    """The stretch of a way, in (u, v), from where the tool first to where it last meets `taken`, in (z, r).

    A little is kept on both sides. Empty when it never meets it.
    """
    starts = [0.0, *itertools.accumulate(segment.length for segment in way)]
    legs = [leg for segment, start in zip(way, starts) for leg in _legs(segment, start)]
    places = np.asarray([place for _, place in legs])
    shapely.prepare(taken)
    track, shapes = axes.zr_all(places), cutting_shapes(tool)
    first, last = (_first_met(run, shapes, taken) for run in (track, track[::-1]))
    if first is None or last is None:
        return ()
    return part_of(way, legs[first][0] - LEAD, legs[len(legs) - 1 - last][0] + LEAD)


def _first_met(track: Corners, shapes: Sequence[Shape], taken: BaseGeometry) -> int | None:
    """Index of the first leg of a track on which a shape meets a region.

    The legs are judged in bundles: most ways begin to cut soon, and the rest need not be looked at.
    """
    for start in range(0, len(track) - 1, BUNDLE):
        legs = track[start : start + BUNDLE + 1]
        met = [shapely.intersects(taken, [folded(hull) for hull in hulls(legs, [s])]) for s in shapes]
        found = np.flatnonzero(np.any(met, axis=0))
        if len(found):
            return start + int(found[0])
    return None


def part_of(way: Sequence[Segment], first: float, last: float) -> tuple[Segment, ...]:
    """The pieces of a way between two lengths along it, mm."""
    starts = [0.0, *itertools.accumulate(segment.length for segment in way)]
    pieces = []
    for segment, start in zip(way, starts):
        low, high = max(0.0, first - start), min(segment.length, last - start)
        if high - low > LEAST:
            whole = high - low > segment.length - LEAST
            pieces.append(segment if whole else segment.part(low / segment.length, high / segment.length))
    return tuple(pieces)


def _legs(segment: Segment, start: float) -> list[tuple[float, tuple[float, float]]]:
    """Places along a segment with their length along the way, both ends included."""
    count = max(1, math.ceil(segment.length / SPACING))
    shares = [i / count for i in range(count + 1)]
    return [(start + share * segment.length, tuple(segment.point_at(share))) for share in shares]
