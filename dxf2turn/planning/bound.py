"""The least cutting time of a step at its own cutting data: what no arrangement of passes could beat.

Roughing and facing: every place needs at least ceil(thickness / depth) whole passes at the step's feed.
Finishing: the length of the surface at its feed. Blades: the area at feed times blade width, walls and floor
once more at the finishing feed. Threads: the full thread once a pass. Holes: their depth. Everything at the
spindle speed that the surface speed and the limit give at that radius. Defined in docs/planning.md.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.planning.model import MoveKind, Spindle, Step
from dxf2turn.planning.times import spindle_rpm
from dxf2turn.planning.tool_space.sweep import areas
from dxf2turn.shop.practice import Practice

COLUMN = 0.25  # width of the strips that a cut area is divided into, mm
NEAR = 0.05  # a surface belongs to a cut when it lies this close to it, mm
CHIP = 0.02  # a piece of a strip thinner than this is none, mm
SECONDS = 60.0
HAIR = 0.01  # cut areas thinner than twice this are the flattening of tool outlines, mm
FINE_HAIR = 0.003  # the same of finishing cuts, which may be as thin as a drill leaves a core, mm
FILLED = 1.05  # a cut narrower than so many blade widths is one plunge
FAR = 1e4
LEANING = 0.02  # slope of a piece that is neither level nor upright
ROUNDING = 0.02  # share of a pass that is no pass of its own: a nose reaches a little deeper in a slope


def least_time(
    step: Step, cut: BaseGeometry, surface: BaseGeometry, practice: Practice, thread: float = math.inf
) -> float:
    """Seconds. cut: the area that the step removed; surface: the edge of the finished part.

    practice: what is left before a measuring stop, what blades take sideways; thread: of full depth, mm.
    """
    if step.spindle is None or step.tool is None:
        return 0.0
    hair = FINE_HAIR if step.operation.startswith("finish") else HAIR
    cut = areas(shapely.buffer(shapely.buffer(cut, -hair, join_style="mitre"), hair, join_style="mitre"))
    if step.operation in ("thread", "inside thread"):
        return _threads(step, thread)
    if step.operation in ("rough turn", "bore", "face"):
        across = step.operation == "face" or step.side == "face"
        return _across(step, cut) if across else _lengthwise(step, cut)
    if step.operation in ("finish turn", "finish bore"):
        return _along(step.spindle, step.feed, _edge(cut, surface, practice.turning.leave_measuring_mm))
    if step.tool.width is not None and step.tool.kind != "knurl":
        return _blade(step, cut, surface, practice.cutting.blade_depth_share)
    if step.operation == "knurl":
        return step.cut_time_s  # A wheel takes nothing away: its way along the zone is the least there is.
    return _deep(step, cut)


def _lengthwise(step: Step, cut: BaseGeometry) -> float:
    """Columns along z, each passed as often as its thickness asks for.

    It takes least time when all passes but the last have the full depth: then they run on the least radii.
    """
    seconds = 0.0
    for column in _columns(cut):
        for i in range(1, _whole_passes(column, step.depth) + 1):
            seconds += _time(step, column.width, max(column.low, column.high - i * step.depth))
    return seconds


def _across(step: Step, cut: BaseGeometry) -> float:
    """Rings along r, each passed across as often as its thickness along z asks for."""
    rings = _columns(_turned(cut))
    return sum(_time(step, ring.width, ring.middle) * _whole_passes(ring, step.depth) for ring in rings)


def _whole_passes(column: Column, depth: float) -> int:
    return max(1, math.ceil((column.high - column.low) / depth - ROUNDING))


def _time(step: Step, length: float, radius: float) -> float:
    """Seconds for a length at the step's feed on a radius."""
    assert step.spindle is not None
    return SECONDS * length / (step.feed * spindle_rpm(step.spindle, radius))


def _turned(cut: BaseGeometry) -> BaseGeometry:
    """z and r exchanged."""
    return shapely.transform(cut, lambda xy: xy[:, ::-1])


class Column(NamedTuple):
    """A strip of an area: its place and width along the first axis, its ends along the second; mm."""

    middle: float
    width: float
    low: float
    high: float


def _columns(cut: BaseGeometry) -> Iterator[Column]:
    """An area cut into strips, each piece of a strip by itself."""
    if cut.is_empty:
        return
    left, _, right, _ = cut.bounds
    count = max(1, math.ceil((right - left) / COLUMN))
    edges = np.linspace(left, right, count + 1)
    for a, b in zip(edges, edges[1:]):
        middle = float(0.5 * (a + b))
        meets = shapely.intersection(cut, shapely.LineString([(middle, -FAR), (middle, FAR)]))
        for piece in getattr(meets, "geoms", [meets]):
            if piece.length > CHIP:
                yield Column(middle, float(b - a), float(piece.bounds[1]), float(piece.bounds[3]))


def _edge(cut: BaseGeometry, surface: BaseGeometry, left: float = 0.0) -> BaseGeometry:
    """The finished surface beside a cut; that under a cut which leaves a little to be measured."""
    edge = shapely.intersection(surface, shapely.buffer(cut, NEAR))
    return edge if edge.length > NEAR else shapely.intersection(surface, shapely.buffer(cut, NEAR + left))


def _along(spindle: Spindle, feed: float, lines: BaseGeometry) -> float:
    """Seconds for the length of lines at a feed, by chords."""
    seconds = 0.0
    for line in getattr(lines, "geoms", [lines]):
        points = shapely.get_coordinates(shapely.segmentize(line, COLUMN)) if not line.is_empty else []
        for (z0, r0), (z1, r1) in zip(points, points[1:]):
            length = math.hypot(z1 - z0, r1 - r0)
            seconds += SECONDS * length / (feed * spindle_rpm(spindle, 0.5 * (r0 + r1)))
    return seconds


def _blade(step: Step, cut: BaseGeometry, surface: BaseGeometry, sideways: float) -> float:
    """Plunges over the area, then walls and floor once more.

    A blade makes the floor under its width by plunging, and both walls too where it fills the cut; slopes and
    rounds it has to follow.
    Where a cut is shallow enough for the blade to take it sideways (in blade widths), the finishing runs may
    take it, or plunges: the greater of both counts.
    """
    assert step.spindle is not None and step.tool is not None
    if cut.is_empty:
        return 0.0
    along, across = (1, 3) if step.side == "face" else (0, 2)
    width = cut.bounds[across] - cut.bounds[along]
    if step.operation == "part off":
        return _plunges(step, cut)
    feeds = [move.feed for move in step.moves if move.feed is not None]
    edge = _edge(cut, surface)
    slopes = _pieces(edge, leaning=True)
    runs = _along(step.spindle, min(feeds, default=step.feed), slopes)
    straight = _pieces(edge, leaning=False)
    if width >= FILLED * (step.tool.width or 0.0) and straight.length > NEAR:
        share = max(0.0, 1.0 - (step.tool.width or 0.0) / straight.length)
        runs += share * _along(step.spindle, min(feeds, default=step.feed), straight)
    deep = _deeper(step, cut, sideways * (step.tool.width or 0.0))
    shallow = areas(shapely.difference(cut, deep))
    return float(_plunges(step, deep) + max(_plunges(step, shallow), runs))


def _deeper(step: Step, cut: BaseGeometry, depth: float) -> BaseGeometry:
    """The columns of a cut that are deeper than a blade takes sideways, mm."""
    across = step.side == "face"
    boxes = [
        shapely.box(c.middle - 0.5 * c.width, c.low, c.middle + 0.5 * c.width, c.high)
        for c in _columns(_turned(cut) if across else cut)
        if c.high - c.low > depth
    ]
    region = shapely.union_all(boxes)
    return areas(shapely.intersection(_turned(region) if across else region, cut))


def _pieces(edge: BaseGeometry, leaning: bool) -> BaseGeometry:
    """The pieces of an edge that are neither level nor upright, or the others."""
    pieces = []
    for line in getattr(edge, "geoms", [edge]):
        points = shapely.get_coordinates(line)
        for a, b in itertools.pairwise(points):
            along, out = np.abs(b - a)
            if leaning == bool(min(along, out) > LEANING * max(along, out)):
                pieces.append(shapely.LineString([a, b]))
    return shapely.MultiLineString(pieces)


def _plunges(step: Step, cut: BaseGeometry) -> float:
    """Layers across the plunge, each by its share of the blade's width."""
    assert step.tool is not None
    blade = step.tool.width or 1.0
    if step.side == "face":
        layers = ((c.width, c.high - c.low, 0.5 * (c.low + c.high)) for c in _columns(cut))
    else:
        layers = ((c.width, c.high - c.low, c.middle) for c in _columns(_turned(cut)))
    return sum(_time(step, thick, radius) * wide / blade for thick, wide, radius in layers)


def _threads(step: Step, length: float) -> float:
    """Each pass over the full thread, run-in, run-out and pull-out left out."""
    assert step.spindle is not None
    rpm = spindle_rpm(step.spindle, 0.0)
    ways = [
        (abs(b.z - a.z), b.lead)
        for a, b in zip(step.moves, step.moves[1:])
        if b.kind is MoveKind.THREAD and b.lead is not None
    ]
    longest = max((way for way, _ in ways), default=0.0)
    return sum(SECONDS * min(way, length) / (lead * rpm) for way, lead in ways if way > 0.5 * longest)


def _deep(step: Step, cut: BaseGeometry) -> float:
    """Drills: the depth they open up, where it is greatest."""
    assert step.spindle is not None
    if cut.is_empty:
        return 0.0
    depth = max((ring.high - ring.low for ring in _columns(_turned(cut))), default=0.0)
    return SECONDS * depth / (step.feed * spindle_rpm(step.spindle, 0.0))
