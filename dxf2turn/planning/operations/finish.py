"""Finish turning and boring: continuous cuts along the exact edge of the tool space, where stock remains.

The edge is made of lines and arcs offset for the nose; what the tool can't reach is not part of it. A cut
starts and ends in the air or on a surface that is finished already.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.offset import Contact
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Segment
from dxf2turn.planning.axes import AXES, Axes
from dxf2turn.planning.holder import clear_runs
from dxf2turn.planning.links import linked, surroundings
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.passes import RUN_IN
from dxf2turn.planning.plane import PlaneSpace, in_plane
from dxf2turn.planning.sides import of_side
from dxf2turn.planning.space import tool_space
from dxf2turn.planning.sweep import after, areas, holder_meets, track
from dxf2turn.planning.work import CLEARANCE, SAGITTA, Work
from dxf2turn.shop.model import CuttingData, Tool

FAR = 1e4  # beyond any part, mm
SPACING = 0.1  # stock is looked for along the edge at places this far apart, mm
PROBE = 0.005  # stock thinner than this is none, mm
THICK = 1.5  # stock thicker than this, and than three depths of cut, is for roughing, mm
BRIDGE = 4.0  # a shorter stretch without stock is passed in feed, mm
OVERLAP = 0.3  # a cut begins and ends this far beyond the stock, along the edge, mm
ROOM = 0.3 * CLEARANCE  # a cut starts at least this far from any stock, mm
FAR_SIDE = 0.5  # a contact this far below the axis is on the far side, mm
ON_SURFACE = 0.02  # a place of the target this close to the surface of the part is on it, mm
LEAST = 1e-6  # shorter pieces are none, mm


@dataclass(frozen=True, slots=True)
class Search:
    """Where stock is looked for: z between low and high, no thicker than `thick`; mm."""

    work: Work
    tool: Tool
    axes: Axes
    room: BaseGeometry  # stock on the side that is asked for
    surface: BaseGeometry | None  # what is to be finished; None = all of the target
    low: float
    high: float
    thick: float


def finish_moves(
    work: Work,
    tool: Tool,
    data: CuttingData,
    side: str = "outside",
    z_range: tuple[float, float] | None = None,
) -> tuple[Move, ...]:
    """Cuts along the target wherever the tool reaches it and stock remains beside it.

    side: "outside" or "inside". z_range: (lower, upper) z of the surfaces to finish; the controlled point
    never goes below the lower one. Empty when there is nothing to cut.
    """
    axes = replace(AXES[side], forward=-1.0) if tool.hand == "left" else AXES[side]
    low, high = z_range or (work.part.bounds[0], FAR)
    plane = in_plane(tool_space(work, tool, behind=low), axes)
    room = of_side(areas(shapely.difference(work.stock, work.part)), work.part, side)
    shapely.prepare(room)
    search = Search(work, tool, axes, room, work.surface, low, high, max(THICK, 3.0 * data.depth))
    moves = (Move(MoveKind.RAPID, *work.tool_change),)
    for path in (p for ring in plane.edges for p in _stretches(ring, search)):
        for run in clear_runs(work, tool, axes, path):
            cut = _cut(work, search, data, plane, run, moves)
            work = after(work, (moves[-1], *cut), tool)
            moves += cut
    if len(moves) == 1:
        return ()
    back = linked(surroundings(work, tool), moves, work.tool_change)
    return (*moves, *back) if back is not None else ()


def _stretches(ring: Sequence[Contact], search: Search) -> Iterator[tuple[Segment, ...]]:
    """The parts of a ring that touch stock, in its direction."""
    ring = _from_the_air(ring)
    starts = [0.0, *itertools.accumulate(contact.path.length for contact in ring)]
    spans: list[list[float]] = []
    for contact, start in zip(ring, starts):
        for first, last in _touching(contact, search):
            first, last = start + first - OVERLAP, start + last + OVERLAP
            if spans and first - spans[-1][1] < BRIDGE:
                spans[-1][1] = last
            else:
                spans.append([first, last])
    for first, last in spans:
        yield tuple(_part(ring, starts, first, last))


def _from_the_air(ring: Sequence[Contact]) -> tuple[Contact, ...]:
    """The ring begun at its longest piece that touches nothing."""
    free = [i for i, contact in enumerate(ring) if contact.edge]
    if not free:
        return tuple(ring)
    first = max(free, key=lambda i: ring[i].path.length)
    return (*ring[first:], *ring[:first])


def _touching(contact: Contact, search: Search) -> Iterator[tuple[float, float]]:
    """Where along one contact (lengths from its start) stock stands beside the surface."""
    path = contact.path
    if contact.edge or path.length < LEAST:
        return
    count = max(2, math.ceil(path.length / SPACING) + 1)
    shares = np.linspace(0.0, 1.0, count).tolist()
    on = [_has_stock(contact, t, search) for t in shares]
    begin = None
    for t, there in zip((*shares, None), (*on, False)):
        if there and begin is None:
            begin = t
        elif not there and begin is not None:
            end = 1.0 if t is None else t
            yield max(0.0, begin - shares[1]) * path.length, end * path.length
            begin = None


def _has_stock(contact: Contact, t: float, search: Search) -> bool:
    """Stock beside the surface at one place; a contact with the far side of the work is none."""
    path, axes = contact.path, search.axes
    inward = path.tangent_at(t).left
    touch = path.point_at(t) + contact.corner + inward * search.tool.nose_radius
    near, far = (axes.zr(touch + -inward * depth) for depth in (PROBE, search.thick))
    if near.y < -FAR_SIDE or not search.low <= near.x <= search.high:
        return False
    if search.surface is not None and search.surface.distance(shapely.Point(axes.zr(touch))) > ON_SURFACE:
        return False
    return bool(shapely.contains_xy(search.room, near.x, abs(near.y))) and not bool(
        shapely.contains_xy(search.room, far.x, abs(far.y))
    )


def _part(ring: Sequence[Contact], starts: Sequence[float], first: float, last: float) -> Iterator[Segment]:
    for contact, start in zip(ring, starts):
        length = contact.path.length
        t0, t1 = (first - start) / max(length, LEAST), (last - start) / max(length, LEAST)
        t0, t1 = max(0.0, t0), min(1.0, t1)
        if t1 - t0 > LEAST and (t1 - t0) * length > LEAST:
            yield contact.path.part(t0, t1)


def _cut(
    work: Work,
    search: Search,
    data: CuttingData,
    plane: PlaneSpace,
    path: Sequence[Segment],
    done: Sequence[Move],
) -> tuple[Move, ...]:
    """Rapid to the start, run in, along the path, run out; empty where no safe way was found."""
    around = surroundings(work, search.tool)
    for entry in _entries(path[0], plane.free):
        start = plane.axes.zr(entry)
        link = linked(around, done, start) if around.clear(start, start, ROOM) else None
        if link is None:
            continue
        feed = data.feed_mm_per_rev
        cut = [plane.axes.feed(path[0].start, feed), *(plane.axes.along(s, feed) for s in path)]
        cut += [plane.axes.feed(p, feed) for p in _exit(path[-1], plane, search)]
        moves = (Move(MoveKind.RAPID, *start), *cut)
        way = np.concatenate([track(a, b) for a, b in zip(moves, moves[1:])])
        if not holder_meets(search.tool, way, work.stock):
            return (*link, *cut)
    return ()


def _entries(first: Segment, free: Polygon) -> Iterator[Point]:
    """Places to run in from: along the path, aslant, or straight at the surface."""
    along, away = first.tangent_at(0.0), -first.tangent_at(0.0).left
    for far in (RUN_IN, 2.0 * RUN_IN, 4.0 * RUN_IN):
        for way in (-along, away + -along, away, Vector(0.0, 1.0), Vector(1.0, 1.0)):
            place = first.start + way * far
            if _is_free(free, place, first.start):
                yield place


def _exit(last: Segment, plane: PlaneSpace, search: Search) -> tuple[Point, ...]:
    """Where to run out to: straight on where that is free; else the cut ends at the surface."""
    place = last.end + last.tangent_at(1.0) * RUN_IN
    if plane.axes.zr(place).x < search.low:
        return ()
    return (place,) if _is_free(plane.free, last.end, place) else ()


def _is_free(free: Polygon, a: Point, b: Point) -> bool:
    return bool(shapely.covers(shapely.buffer(free, 2.0 * SAGITTA), LineString([a, b])))
