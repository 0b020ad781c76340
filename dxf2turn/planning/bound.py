"""The least cutting time of a step at its own cutting data: what no arrangement of passes could beat.

Roughing: every place needs at least ceil(thickness / depth) passes at the step's feed. Finishing: the length
of the surface at its feed. Blades: the area at feed times blade width, walls and floor once more at the
finishing feed. Threads: the full thread once a pass. Holes and parting: their depth. Everything at the
spindle speed that the surface speed and the limit give at that radius. Defined in docs/planning.md.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.planning.model import MoveKind, Spindle, Step
from dxf2turn.planning.times import spindle_rpm

COLUMN = 0.25  # width of the columns that a cut area is divided into, mm
NEAR = 0.05  # a surface belongs to a cut when it lies this close to it, mm
CHIP = 0.02  # a column thinner than this is none, mm
SECONDS = 60.0
FAR = 1e4


def least_time(step: Step, cut: BaseGeometry, surface: BaseGeometry) -> float:
    """Seconds. cut: the area that the step removed; surface: the edge of the finished part."""
    if step.spindle is None or step.tool is None:
        return 0.0
    if step.operation in ("thread", "inside thread"):
        return _threads(step)
    if step.operation in ("rough turn", "bore"):
        return _passes(step, cut)
    if step.operation == "face":
        return _passes(step, _turned(cut))
    if step.operation in ("finish turn", "finish bore"):
        return _along(step.spindle, step.feed, _edge(cut, surface))
    if step.tool.width is not None and step.operation != "knurl":
        return _plunges(step, cut) + _walls(step, cut, surface)
    return _deep(step, cut)


def _passes(step: Step, cut: BaseGeometry) -> float:
    """Columns of the area, each passed as often as its thickness asks for."""
    assert step.spindle is not None
    seconds = 0.0
    for width, low, high in _columns(cut):
        count = max(1, math.ceil((high - low) / step.depth - 1e-6))
        for i in range(count):
            radius = low + (high - low) * i / count
            seconds += SECONDS * width / (step.feed * spindle_rpm(step.spindle, radius))
    return seconds


def _turned(cut: BaseGeometry) -> BaseGeometry:
    """z and r exchanged: facing passes run along r."""
    return shapely.transform(cut, lambda xy: xy[:, ::-1])


def _columns(cut: BaseGeometry) -> Iterator[tuple[float, float, float]]:
    """(width along z, low r, high r) of the pieces of an area cut into columns."""
    if cut.is_empty:
        return
    left, _, right, _ = cut.bounds
    count = max(1, math.ceil((right - left) / COLUMN))
    edges = np.linspace(left, right, count + 1)
    for a, b in zip(edges, edges[1:]):
        line = shapely.LineString([(0.5 * (a + b), -FAR), (0.5 * (a + b), FAR)])
        for piece in getattr(shapely.intersection(cut, line), "geoms", [shapely.intersection(cut, line)]):
            if piece.length > CHIP:
                yield float(b - a), float(piece.bounds[1]), float(piece.bounds[3])


def _edge(cut: BaseGeometry, surface: BaseGeometry) -> BaseGeometry:
    """The finished surface beside a cut."""
    return shapely.intersection(surface, shapely.buffer(cut, NEAR))


def _along(spindle: Spindle, feed: float, lines: BaseGeometry) -> float:
    """Seconds for the length of lines at a feed, by chords."""
    seconds = 0.0
    for line in getattr(lines, "geoms", [lines]):
        points = shapely.get_coordinates(shapely.segmentize(line, COLUMN)) if not line.is_empty else []
        for (z0, r0), (z1, r1) in zip(points, points[1:]):
            length = math.hypot(z1 - z0, r1 - r0)
            seconds += SECONDS * length / (feed * spindle_rpm(spindle, 0.5 * (r0 + r1)))
    return seconds


def _plunges(step: Step, cut: BaseGeometry) -> float:
    """The area of a blade's cut at its width, slice by slice along the radius."""
    assert step.spindle is not None and step.tool is not None
    width = step.tool.width or 1.0
    return sum(
        SECONDS * thick * max(1.0, (high - low) / width) / (step.feed * spindle_rpm(step.spindle, radius))
        for thick, low, high, radius in _slices(cut, step.side)
    )


def _slices(cut: BaseGeometry, side: str) -> Iterator[tuple[float, float, float, float]]:
    """(thickness along the plunge, low, high across it, radius)."""
    area = cut if side == "face" else _turned(cut)
    for thick, low, high in _columns(area):
        yield thick, low, high, 0.5 * (low + high)
    # For the face the columns run along z at one radius after the other; for the others along z at one r.


def _walls(step: Step, cut: BaseGeometry, surface: BaseGeometry) -> float:
    assert step.spindle is not None
    if step.operation == "part off":
        return 0.0
    feeds = [m.feed for m in step.moves if m.feed is not None]
    return _along(step.spindle, min(feeds, default=step.feed), _edge(cut, surface))


def _threads(step: Step) -> float:
    """Each pass over its own length, run-in and pull-out left out."""
    assert step.spindle is not None
    rpm = spindle_rpm(step.spindle, 0.0)
    ways = [
        (abs(b.z - a.z), b.lead)
        for a, b in zip(step.moves, step.moves[1:])
        if b.kind is MoveKind.THREAD and b.lead is not None
    ]
    return sum(SECONDS * length / (lead * rpm) for length, lead in ways)


def _deep(step: Step, cut: BaseGeometry) -> float:
    """Drills: the depth they open up."""
    assert step.spindle is not None
    if cut.is_empty:
        return 0.0
    depth = cut.bounds[2] - cut.bounds[0]
    return SECONDS * float(depth) / (step.feed * spindle_rpm(step.spindle, 0.0))
