"""Polygons of the sum of a region and a convex tool, from exact paths: topology for `space.py`.

Straight sides and convex arcs give one convex piece each, hollow arcs one for each chord, so a part of
thirty segments is the union of about a hundred pieces.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.offset import Contact, Feeler, normals
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import flatten_segment
from dxf2turn.geometry.segment import TAU, Arc, Line, Segment
from dxf2turn.geometry.swept import swept_hulls

SAME_DIRECTION = 1e-6  # two directions closer than this are one, radians
NEAR_DIRECTION = 0.02  # the same where there are many: 0.00005 of a radius, still far below the flattening
MANY = 200
Corners = NDArray[np.float64]
Path = Sequence[Segment]


def flat(tool: Feeler, sagitta: float, directions: Iterable[float] = ()) -> Corners:
    """The mirrored tool as a polygon (n, 2), chords within `sagitta` of its arcs, corners on them.

    directions: angles where a corner should lie, so that sides of that direction are offset exactly; of
    those that are almost the same only one is taken.
    """
    if tool.radius <= 0.0:
        return np.asarray(tool.corners, dtype=float)
    step = 2.0 * math.acos(max(0.0, 1.0 - sagitta / tool.radius))
    even = np.arange(0.0, TAU, TAU / math.ceil(TAU / step))
    angles = np.concatenate([even, _apart(np.asarray(list(directions), dtype=float) % TAU)])
    corners = np.asarray(tool.corners, dtype=float)
    out = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    resting = corners[np.argmax(out @ corners.T, axis=1)] + tool.radius * out
    if not tool.directions:
        return resting
    sides = np.asarray(tool.directions, dtype=float)
    flat_out = tool.radius * np.stack([np.cos(sides), np.sin(sides)], axis=1)
    ends = np.concatenate([corners + flat_out, np.roll(corners, -1, axis=0) + flat_out])
    return np.concatenate([resting, ends])


def _apart(angles: Corners) -> Corners:
    """Sorted angles without those that follow another one closely: the more there are, the further apart."""
    least = SAME_DIRECTION if len(angles) < MANY else NEAR_DIRECTION
    kept: list[float] = []
    for angle in np.sort(angles).tolist():
        if not kept or angle - kept[-1] > least:
            kept.append(angle)
    return np.asarray(kept)


def directions_of(paths: Iterable[Path]) -> tuple[float, ...]:
    """Directions out of the body at all ends of its sides."""
    return tuple(angle for path in paths for both in zip(*normals(tuple(path))) for angle in both)


def path_sum(
    inside: BaseGeometry, paths: Iterable[Path], curves: Iterable[Contact], shape: Corners, sagitta: float
) -> BaseGeometry:
    """Sum of a body (`inside`, its closed counter-clockwise `paths`) and a convex polygon.

    curves: the contacts of the exact sum; those on convex arcs give its outside points.
    """
    rounds: dict[int, list[Point]] = {}
    sides = [segment for path in paths for segment in path]
    for contact in curves:
        if contact.source is not None:
            rounds.setdefault(contact.source, []).extend(flatten_segment(contact.path, sagitta))
    pieces = [translate(inside, *shape[0])]
    pieces.extend(_hulls([ends for side in sides if (ends := _chords(side, sagitta))], shape))
    for index, side in enumerate(sides):
        if isinstance(side, Arc) and not side.clockwise:
            both = np.concatenate([np.asarray(side.start) + shape, np.asarray(side.end) + shape])
            edge = np.asarray(rounds.get(index, [])).reshape(-1, 2)
            pieces.append(shapely.convex_hull(shapely.linestrings(np.concatenate([both, edge]))))
    return shapely.union_all(pieces)


def _chords(side: Segment, sagitta: float) -> list[Point]:
    """Ends of the straight pieces of a side that is no convex arc."""
    if isinstance(side, Line):
        return [side.start, side.end]
    return flatten_segment(side, sagitta) if side.clockwise else []


def _hulls(runs: Sequence[Sequence[Point]], shape: Corners) -> list[BaseGeometry]:
    """Hulls of the shape at both ends of every straight piece."""
    if not runs:
        return []
    points = [np.asarray(run, dtype=float) for run in runs]
    starts, ends = (np.concatenate([run[here] for run in points]) for here in (slice(-1), slice(1, None)))
    return swept_hulls(starts, ends, shape)


def both_halves(profile: Path, tolerance: float) -> tuple[tuple[Segment, ...], ...]:
    """The closed counter-clockwise outlines of the turned body in the whole plane.

    A profile with pieces on the axis becomes one outline with its mirror image; one with a bore right
    through becomes two.
    """
    runs = _runs_off_axis(profile, tolerance)
    if len(runs) == 1 and len(runs[0]) == len(profile):
        return tuple(profile), _mirrored(profile)
    return tuple(run + _mirrored(run) for run in runs)


def _runs_off_axis(profile: Path, tolerance: float) -> list[tuple[Segment, ...]]:
    on_axis = [
        abs(s.start.y) <= tolerance and abs(s.end.y) <= tolerance and isinstance(s, Line) for s in profile
    ]
    if not any(on_axis):
        return [tuple(profile)]
    first = on_axis.index(True)
    runs: list[list[Segment]] = [[]]
    for segment, on in zip((*profile[first:], *profile[:first]), on_axis[first:] + on_axis[:first]):
        if not on:
            runs[-1].append(segment)
        elif runs[-1]:
            runs.append([])
    return [tuple(run) for run in runs if run]


def _mirrored(path: Path) -> tuple[Segment, ...]:
    """The mirror image at the axis, travelled so that it is counter-clockwise again."""
    return tuple(_image(segment).reversed() for segment in reversed(path))


def _image(segment: Segment) -> Segment:
    start, end = Point(segment.start.x, -segment.start.y), Point(segment.end.x, -segment.end.y)
    if isinstance(segment, Line):
        return Line(start, end, segment.origin)
    centre = Point(segment.centre.x, -segment.centre.y)
    return Arc(start, end, centre, not segment.clockwise, segment.origin)
