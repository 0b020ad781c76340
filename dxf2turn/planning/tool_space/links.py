"""Rapids between cuts: the shortest way of a few corners on which the whole tool stays clear.

Ways are made of a lift off the surface, one or two turns along the axes, and a descent to the next cut.
Each leg is swept with the whole tool (cutting part and holder) against stock, jaws and chuck. Away from the
two ends the tool keeps a distance; in a narrow bore a smaller one, never none.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.tool_space.sweep import TOUCH, meets, whole_shapes
from dxf2turn.planning.work import Work
from dxf2turn.shop.model import Tool

SHARES = (1.0, 0.3, 0.05)  # of the clearance that are kept from everything, best first
LIFTS = tuple(Vector(z, r) for z in (0.0, 1.0, -1.0) for r in (0.0, 1.0, -1.0))
LIFT = 1.2  # way off a surface along each axis, in clearances
SMALL_LIFTS = (0.36, 0.2)  # and where there is no room for that, in a bore little wider than its bar, mm
RISES = tuple(
    sign * rise for rise in (1.5, 2.5, 4.0, 6.0, 9.0, 13.0, 18.0, 25.0) for sign in (1.0, -1.0)
)  # mm
SAME = 1e-9

Way = tuple[Point, ...]


@dataclass(slots=True)
class Surroundings:
    """What a tool must not touch now. Remembers the legs it has judged."""

    tool: Tool
    obstacles: tuple[BaseGeometry, ...]
    clearance: float
    _judged: dict[tuple[Point, Point, float], bool] = field(default_factory=dict)

    def clear(self, start: Point, end: Point, distance: float) -> bool:
        """Whether the whole tool stays `distance` away on a straight leg (0: may slide along)."""
        key = (start, end, distance)
        if key not in self._judged:
            shapes = whole_shapes(self.tool, distance if distance > 0.0 else -TOUCH)
            leg = np.asarray([start, end])
            self._judged[key] = not any(meets(leg, shapes, region) for region in self.obstacles)
        return self._judged[key]


def surroundings(work: Work, tool: Tool) -> Surroundings:
    """Stock and what must be kept out, made ready for many questions."""
    obstacles = tuple(region for region in (work.stock, work.keep_out) if not region.is_empty)
    shapely.prepare(obstacles)
    return Surroundings(tool, obstacles, work.clearance)


def route(around: Surroundings, start: Point, end: Point) -> Way | None:
    """The shortest clear way from start to end, start left out; None when there is none of a few corners."""
    if start.distance(end) < SAME:
        return ()
    _, _, z_high, r_high = shapely.total_bounds(around.obstacles).tolist()
    beyond = Point(z_high + LIFT * around.clearance, r_high + LIFT * around.clearance)
    for corners in (_plain_corners, _corners_past_an_edge):
        for distance in (share * around.clearance for share in SHARES):
            lifts, descents = (list(_open_places(around, place, distance)) for place in (start, end))
            ways = (
                (start, p, *between, q, end)
                for p, q in itertools.product(lifts, descents)
                for between in corners(p, q, beyond)
            )
            for way in sorted(ways, key=_length):
                if _is_clear(around, way[1:-1], distance):
                    return _thinned(way)[1:]
    return None


def _open_places(around: Surroundings, place: Point, distance: float) -> Iterator[Point]:
    """Where the tool can go from a place to have its distance from everything: there itself, or off it.

    On the way off it may touch; a surface that was just cut is where it comes from.
    """
    full = LIFT * around.clearance
    sizes = (full,) if distance >= around.clearance else (full, *SMALL_LIFTS)
    for off in dict.fromkeys(place + lift * size for size in sizes for lift in LIFTS):
        if around.clear(off, off, distance) and around.clear(place, off, 0.0):
            yield off


def linked(around: Surroundings, moves: Sequence[Move], end: Point) -> tuple[Move, ...] | None:
    """Moves from where `moves` ended to `end`: rapids, after a way back along the last cut where the tool
    can't lift off; None when there is no clear way even then."""
    way = route(around, moves[-1].end, end)
    if way is not None:
        return rapids(way)
    back = back_along(moves)
    way = route(around, back[-1].end, end) if back else None
    return None if way is None else (*back, *rapids(way))


def back_along(moves: Sequence[Move]) -> tuple[Move, ...]:
    """The last cut travelled backwards in feed, to where it began; empty when the last move is a rapid."""
    back: list[Move] = []
    for before, move in zip(reversed(moves[:-1]), reversed(moves)):
        if move.kind is MoveKind.RAPID:
            break
        back.append(
            replace(move, z=before.z, r=before.r, clockwise=not move.clockwise and move.centre is not None)
        )
    return tuple(back)


def rapids(way: Iterable[Point]) -> tuple[Move, ...]:
    """A way as rapid moves."""
    return tuple(Move(MoveKind.RAPID, point.x, point.y) for point in way)


def approach(work: Work, tool: Tool, start: Point) -> tuple[Move, ...] | None:
    """From the tool-change point (stated by the first move) to the start of a cut; None: no clear way."""
    home = work.tool_change
    way = route(surroundings(work, tool), home, start)
    return None if way is None else rapids((home, *way))


def retract(work: Work, tool: Tool, end: Point) -> tuple[Move, ...] | None:
    """From the end of a cut back to the tool-change point; None: no clear way."""
    way = route(surroundings(work, tool), end, work.tool_change)
    return None if way is None else rapids(way)


def _plain_corners(p: Point, q: Point, beyond: Point) -> Iterator[Way]:
    """One corner, or over the top or in front of everything."""
    z, r = beyond
    yield (Point(p.x, q.y),)
    yield (Point(q.x, p.y),)
    yield Point(p.x, r), Point(q.x, r)
    yield Point(z, p.y), Point(z, q.y)
    yield Point(z, p.y), Point(z, r), Point(q.x, r)
    yield Point(p.x, r), Point(z, r), Point(z, q.y)


def _corners_past_an_edge(p: Point, q: Point, beyond: Point) -> Iterator[Way]:
    """Along z at other heights: over a collar, or through the throat of a bore."""
    z = beyond.x
    for rise in RISES:
        low, high = p.y + rise, q.y + rise
        yield Point(p.x, low), Point(q.x, low)
        yield Point(p.x, high), Point(q.x, high)
        yield Point(p.x, low), Point(z, low), Point(z, q.y)
        yield Point(z, p.y), Point(z, high), Point(q.x, high)


def _length(way: Way) -> float:
    return sum(a.distance(b) for a, b in zip(way, way[1:]))


def _is_clear(around: Surroundings, way: Way, distance: float) -> bool:
    return all(a == b or around.clear(a, b, distance) for a, b in zip(way, way[1:]))


def _thinned(way: Way) -> Way:
    """Without corners that lie on top of each other or on the straight line between their neighbours."""
    kept: list[Point] = [way[0]]
    for here, following in zip(way[1:], (*way[2:], None)):
        if here.distance(kept[-1]) < SAME:
            continue
        if following is not None and _straight(kept[-1], here, following):
            continue
        kept.append(here)
    return tuple(kept)


def _straight(a: Point, b: Point, c: Point) -> bool:
    one, two = b - a, c - b
    return abs(one.cross(two)) < SAME and one.dot(two) > 0.0
