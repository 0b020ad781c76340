"""From a polygon's ring back to the exact lines and arcs that it was flattened from.

Polygons decide what the edge of a region is (topology); here every edge of the ring is traced back to its
curve, and neighbouring curves are cut with each other in closed form (coordinates). What belongs to no
known curve (edges of jaws, limits of the machine) stays as it is.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import TAU, Arc, Line, Segment
from dxf2turn.planning.work import SAGITTA

Numbers = NDArray[np.float64]

TRACE = 0.003  # an edge within this of a curve may be part of it, mm; several times the flattening
SLACK = 0.05  # an edge may reach past the end of its curve by this, mm
TRUST = 0.0006  # distance at which a change of curve is as likely as a stray edge, mm
JOINT = 0.1  # ends of two curves that touch are searched within this of the ring's corner, mm
SHORT = 1e-6  # pieces shorter than this are left out, mm
NONE = -1  # "no curve"


@dataclass(frozen=True, slots=True)
class Piece:
    """One exact piece of a ring. curve: index of the curve it lies on, NONE for an edge of no curve."""

    curve: int
    path: Segment


@dataclass(frozen=True, slots=True)
class Run:
    """Edges of the ring on one curve: from corner `first` on. curve: its index or NONE."""

    first: int
    curve: int


def trace(ring: Numbers, curves: Sequence[Segment]) -> tuple[Piece, ...]:
    """The closed ring (n, 2; last point not repeated) as exact pieces, in the ring's direction.

    The curves must be travelled in the direction of the ring. Edges on no curve stay as they are.
    """
    labels = _labels(ring, curves)
    runs = _runs(labels)
    paths = [None if run.curve == NONE else curves[run.curve] for run in runs]
    corners = [Point(*map(float, ring[run.first])) for run in runs]
    joints = [_joint(paths[i - 1], paths[i], corner) for i, corner in enumerate(corners)]
    result: list[Piece] = []
    for i, (run, path) in enumerate(zip(runs, paths)):
        gap = joints[(i + 1) % len(runs)]
        piece = _between(path, joints[i][1], gap[0])
        if piece is not None:
            result.append(Piece(run.curve, piece))
        elif joints[i][1].distance(gap[0]) > TRACE:
            chords = _chords(ring, run.first, runs[(i + 1) % len(runs)].first)
            result.extend(Piece(run.curve, chord) for chord in chords)
        if gap[0].distance(gap[1]) > SHORT:
            result.append(Piece(NONE, Line(*gap)))
    return tuple(result)


def _chords(ring: Numbers, first: int, last: int) -> list[Line]:
    """The ring's own edges from one corner to another, for a stretch that can't be traced to its curve."""
    count = (last - first) % len(ring) or len(ring)
    corners = [Point(*map(float, ring[(first + i) % len(ring)])) for i in range(count + 1)]
    return [Line(a, b) for a, b in pairwise(corners) if a.distance(b) > SHORT]


def _labels(ring: Numbers, curves: Sequence[Segment]) -> list[int]:
    """The curve of every edge: near it, and changing as seldom as possible."""
    near = _near(ring, curves)
    start = min(near, key=lambda edge: min(near[edge].values()), default=0)
    order = [(start + i) % len(ring) for i in range(len(ring))]
    costs: list[dict[int, tuple[float, int]]] = []
    for edge in order:
        costs.append(_best_steps(costs[-1] if costs else {}, near.get(edge, {NONE: 0.0})))
    return _walk_back(costs, order)


def _best_steps(before: dict[int, tuple[float, int]], near: dict[int, float]) -> dict[int, tuple[float, int]]:
    """Least cost so far for each curve an edge may lie on, and the curve before."""
    cheapest = min(before, key=lambda k: before[k][0], default=NONE)
    found: dict[int, tuple[float, int]] = {}
    for curve, off in near.items():
        own = (off / TRUST) ** 2
        change = before[cheapest][0] + 1.0 if before else 0.0
        stay = before[curve][0] if curve in before else math.inf
        found[curve] = (own + stay, curve) if stay <= change else (own + change, cheapest)
    return found


def _walk_back(costs: list[dict[int, tuple[float, int]]], order: list[int]) -> list[int]:
    labels = [NONE] * len(order)
    curve = min(costs[-1], key=lambda k: costs[-1][k][0])
    for step in range(len(order) - 1, -1, -1):
        labels[order[step]] = curve
        curve = costs[step][curve][1]
    return labels


def _near(ring: Numbers, curves: Sequence[Segment]) -> dict[int, dict[int, float]]:
    """For each edge the curves it may lie on with their distances: edge -> curve -> mm."""
    starts, ends = ring, np.roll(ring, -1, axis=0)
    boxes = np.asarray([curve.bounds for curve in curves]).reshape(-1, 4) + SLACK * np.array([-1, -1, 1, 1])
    tree = shapely.STRtree(shapely.box(*boxes.T))
    edges, found = tree.query(shapely.points(0.5 * (starts + ends)))
    near: dict[int, dict[int, float]] = {}
    for kind, off in ((Line, _off_lines), (Arc, _off_arcs)):
        mine = np.asarray([isinstance(curve, kind) for curve in curves], dtype=bool)[found]
        e, c = edges[mine], found[mine]
        if len(c):
            distances = off(starts[e], ends[e], [curves[k] for k in c])
            for edge, curve, distance in zip(e.tolist(), c.tolist(), distances.tolist()):
                if distance < TRACE:
                    near.setdefault(edge, {})[curve] = distance
    return near


def _off_lines(starts: Numbers, ends: Numbers, lines: Sequence[Segment]) -> Numbers:
    """Distance of each edge from its line; infinite beside it or against its direction."""
    a = np.array([line.start for line in lines])
    along = np.array([line.end for line in lines]) - a
    length = np.maximum(np.hypot(along[:, 0], along[:, 1]), SHORT)
    along = along / length[:, None]
    t0, t1 = ((points - a) * along for points in (starts, ends))
    first, last = t0.sum(axis=1), t1.sum(axis=1)
    off = np.maximum(np.abs(_cross(along, starts - a)), np.abs(_cross(along, ends - a)))
    middle = 0.5 * (first + last)
    beside = (middle < -SLACK) | (middle > length + SLACK) | (last < first - SHORT)
    return np.where(beside, np.inf, off)


def _off_arcs(starts: Numbers, ends: Numbers, arcs: Sequence[Segment]) -> Numbers:
    """The same for arcs; the middle counts as well, as a straight side may bridge a hollow."""
    shapes = [(*arc.centre, arc.radius, arc.start_angle, arc.sweep) for arc in arcs if isinstance(arc, Arc)]
    x, y, radius, first, sweep = np.array(shapes).T
    one, two = starts - np.stack([x, y], axis=1), ends - np.stack([x, y], axis=1)
    middle = 0.5 * (one + two)
    ends = (np.abs(np.hypot(*places.T) - radius) for places in (one, two))
    off = np.maximum(np.maximum(*ends), np.abs(np.hypot(*middle.T) - radius) - SAGITTA)
    slack = SLACK / radius
    turned = ((np.arctan2(middle[:, 1], middle[:, 0]) - first) * np.sign(sweep) + slack) % TAU - slack
    against = _cross(one, two) * np.sign(sweep) < -SHORT * radius
    return np.where((turned > np.abs(sweep) + slack) | against, np.inf, off)


def _cross(a: Numbers, b: Numbers) -> Numbers:
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]


def _runs(labels: Sequence[int]) -> list[Run]:
    """Neighbouring edges on one curve, joined; every edge on no curve is a run of its own."""
    runs = [
        Run(i, label)
        for i, label in enumerate(labels)
        if label == NONE or label != labels[i - 1] or len(labels) == 1
    ]
    return runs or [Run(0, labels[0])]


def _joint(one: Segment | None, two: Segment | None, near: Point) -> tuple[Point, Point]:
    """End of the first curve and start of the second at a corner of the ring; two if they don't meet."""
    if one is None or two is None:
        known = one or two
        foot = near if known is None else _foot(known, near)
        return foot, foot
    if one.end.distance(two.start) < SHORT and one.end.distance(near) < JOINT:
        return one.end, two.start
    meets = sorted(crossings(one, two), key=near.distance)
    if meets and meets[0].distance(near) < SLACK:
        return meets[0], meets[0]
    return _foot(one, near), _foot(two, near)


def _foot(curve: Segment, point: Point) -> Point:
    """The nearest point on the endless line or whole circle."""
    if isinstance(curve, Line):
        return curve.point_at(curve.parameter_of(point))
    out = (point - curve.centre).unit()
    return point if out is None else curve.centre + out * curve.radius


def _between(curve: Segment | None, start: Point, end: Point) -> Segment | None:
    """The curve between two points; None when too short or turned round by rounding."""
    if start.distance(end) <= SHORT:
        return None
    if curve is None:
        return Line(start, end)
    if isinstance(curve, Line):
        return Line(start, end) if (end - start).dot(curve.end - curve.start) > 0.0 else None
    piece = Arc(start, end, curve.centre, curve.clockwise)
    # An arc may reach a little past its curve; one turned round by rounding is almost a whole circle.
    return piece if abs(piece.sweep) < 0.5 * (abs(curve.sweep) + TAU) else None


def crossings(one: Segment, two: Segment) -> list[Point]:
    """Points where two endless lines or whole circles meet."""
    if isinstance(one, Line) and isinstance(two, Line):
        a, b = one.end - one.start, two.end - two.start
        cross = a.cross(b)
        return [] if cross == 0.0 else [one.start + a * ((two.start - one.start).cross(b) / cross)]
    if isinstance(one, Line):
        return _line_circle(one.start, one.end - one.start, two)
    if isinstance(two, Line):
        return _line_circle(two.start, two.end - two.start, one)
    return _circle_circle(one, two)


def _line_circle(foot: Point, along: Vector, arc: Segment) -> list[Point]:
    """A line that misses the circle by rounding touches it."""
    assert isinstance(arc, Arc)
    unit = along.unit()
    if unit is None:
        return []
    to_centre = arc.centre - foot
    middle, off = to_centre.dot(unit), to_centre.cross(unit)
    if abs(off) > arc.radius + SHORT:
        return []
    half = math.sqrt(max(0.0, arc.radius**2 - off * off))
    return [foot + unit * (middle - half), foot + unit * (middle + half)]


def _circle_circle(one: Arc, two: Arc) -> list[Point]:
    """On the line through both crossings, the radical line."""
    between = two.centre - one.centre
    distance = between.length
    if distance < SHORT:
        return []
    share = (distance**2 + one.radius**2 - two.radius**2) / (2.0 * distance**2)
    return _line_circle(one.centre + between * share, between.left, one)
