"""Hand-made turning tools and an own replay of moves, for the tests of the cutting core.

The replay shares nothing with `planning/tool_space/sweep.py`: it moves the tool in small steps and unites its
places.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely
from shapely import Polygon
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.region import polygon
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.work import SAGITTA, Work
from dxf2turn.shop.model import CuttingData, Tool

ROUGH = CuttingData(speed_m_per_min=200, feed_mm_per_rev=0.25, depth=2.0)
FINE = CuttingData(speed_m_per_min=250, feed_mm_per_rev=0.1, depth=0.3)
HOME = Point(80.0, 90.0)


def grown(core: tuple[Point, ...], nose: float) -> tuple[Point, ...]:
    """The core grown by the nose radius, chords 0.002 mm inside the true shape at most."""
    shape = shapely.MultiPoint(core).convex_hull.buffer(nose, quad_segs=24)
    return tuple(Point(*p) for p in shape.exterior.coords[:-1])[::-1]


def insert(corner: float, kappa: float, nose: float, hand: str = "right") -> Tool:
    """A rhombic insert for outside work: corner and cutting edge angle in degrees, edges 12 mm."""
    main = math.radians(180.0 - kappa)
    trailing = main - math.radians(corner)
    a, b = Vector.from_angle(trailing, 12.0), Vector.from_angle(main, 12.0)
    tip = Point(nose, nose)
    core = (tip, tip + a, tip + a + b, tip + b)
    back = tip + Vector.from_angle(0.5 * (main + trailing), 3.0)
    seat = (back, back + a, back + a + b * 2.0, back + b * 2.0)
    shank = (Point(6.0, 22.0), Point(26.0, 22.0), Point(26.0, 90.0), Point(6.0, 90.0))
    pieces = (core, seat, shank)
    if hand == "left":
        pieces = tuple(tuple(Point(-p.x, p.y) for p in (piece[0], *piece[:0:-1])) for piece in pieces)
    return Tool(
        id=f"{hand}{corner:g}",
        kind="turning",
        insert=f"{corner:g} degrees",
        holder_style=None,
        nose_radius=nose,
        nose_centre=pieces[0][0],
        core=pieces[0],
        outline=grown(pieces[0], nose),
        holder=pieces[1:],
        hand=hand,
        corner_angle=math.radians(corner),
        cutting_edge_angle=math.radians(kappa),
    )


def bar(diameter: float, reach: float, nose: float = 0.4) -> Tool:
    """A boring bar with an 80 degree insert at 95 degrees, tip at the top left, shank towards +z."""
    main, trailing = math.radians(-85.0), math.radians(-5.0)
    side = 0.5 * diameter
    a, b = Vector.from_angle(trailing, side), Vector.from_angle(main, side)
    tip = Point(nose, -nose)
    core = (tip, tip + b, tip + a + b, tip + a)
    below = -(1.0 + diameter)
    shank = (Point(2.0, -2.0), Point(2.0, below), Point(reach, below), Point(reach, -2.0 - 0.02 * reach))
    head = (
        Point(reach, below - 8.0),
        Point(reach + 40.0, below - 8.0),
        Point(reach + 40.0, 6.0),
        Point(reach, 6.0),
    )
    return Tool(
        id=f"bar{diameter:g}",
        kind="boring",
        insert="80 degrees",
        holder_style=None,
        nose_radius=nose,
        nose_centre=tip,
        core=core,
        outline=grown(core, nose),
        holder=(shank, head),
        corner_angle=math.radians(80.0),
        cutting_edge_angle=math.radians(95.0),
        reach=reach,
        least_bore_mm=diameter + 2.0,
    )


def work_on(target: tuple[Segment, ...], stock: BaseGeometry, jaws: BaseGeometry | None = None) -> Work:
    """Work on a closed profile."""
    return Work(target, polygon(target, SAGITTA), stock, jaws or Polygon(), HOME, 1.0)


def closed(*corners: tuple[float, float]) -> tuple[Segment, ...]:
    """A closed profile of straight pieces from its corners."""
    points = [Point(*corner) for corner in corners]
    return tuple(Line(a, b) for a, b in zip(points, points[1:] + points[:1]))


@dataclass(frozen=True)
class Replay:
    """What moves did: deepest cut into the part, contacts, what stock is left."""

    gouge: float
    rapid_contacts: tuple[Move, ...]
    holder_contacts: tuple[Move, ...]
    stock: BaseGeometry


def replay(work: Work, tool: Tool, moves: tuple[Move, ...], step: float = 0.05) -> Replay:
    """Drive the tool along its moves in steps, cutting and looking for contacts."""
    cutter = [Polygon(tool.outline)]
    holder = [Polygon(piece).buffer(-0.004) for piece in tool.holder]
    body = [cutter[0].buffer(-0.004), *holder]
    stock, gouge = work.stock, 0.0
    rapids: list[Move] = []
    holders: list[Move] = []
    for before, move in zip(moves, moves[1:]):
        way = places(before, move, step)
        if move.kind is MoveKind.RAPID:
            met = folded(path_of(body, way)).intersection(stock.union(work.keep_out))
            rapids.extend([move] if met.area > 1e-6 else [])
            continue
        cut = folded(path_of(cutter, way))
        gouge = max(gouge, depth_in(work.part, cut))
        stock = stock.difference(cut)
        met = folded(path_of(holder, way)).intersection(stock.union(work.keep_out))
        holders.extend([move] if met.area > 1e-6 else [])
    return Replay(gouge, tuple(rapids), tuple(holders), stock)


def places(before: Move, move: Move, step: float) -> list[Point]:
    """Places of the controlled point on a straight or circular move."""
    start, end = before.end, move.end
    if move.centre is None:
        return [start, end]
    turn = (end - move.centre).angle - (start - move.centre).angle
    turn = -((-turn) % math.tau) if move.clockwise else turn % math.tau
    count = max(2, math.ceil(abs(turn) * start.distance(move.centre) / step))
    out = start - move.centre
    return [
        move.centre + Vector.from_angle(out.angle + turn * i / count, out.length) for i in range(count + 1)
    ]


def path_of(pieces: list[Polygon], way: list[Point]) -> BaseGeometry:
    """Convex pieces at all places of a polyline, each drawn out along the legs."""
    drawn = [
        translate(piece, *a).union(translate(piece, *b)).convex_hull
        for piece in pieces
        for a, b in zip(way, way[1:])
    ]
    return shapely.union_all(drawn)


def folded(region: BaseGeometry) -> BaseGeometry:
    """What a region covers of the half plane r >= 0 while the work turns."""
    image = shapely.transform(region, lambda points: points * (1.0, -1.0))
    return region.union(image).intersection(shapely.box(-1e4, 0.0, 1e4, 1e4))


def depth_in(part: Polygon, cut: BaseGeometry) -> float:
    """Greatest depth of a cut below the surface of a part; the axis is no surface."""
    loss = cut.intersection(part)
    if loss.is_empty:
        return 0.0
    whole = part.union(shapely.transform(part, lambda points: points * (1.0, -1.0)))
    corners = shapely.points(shapely.get_coordinates(loss))
    return float(shapely.distance(corners, whole.boundary).max())


def thickness(region: BaseGeometry, part: Polygon) -> float:
    """Greatest distance of a region from the part."""
    if region.is_empty:
        return 0.0
    corners = shapely.points(shapely.get_coordinates(shapely.segmentize(region, 0.05)))
    return float(shapely.distance(corners, part).max())


def feeds(moves: tuple[Move, ...]) -> list[tuple[Move, Move]]:
    """The cutting moves with the move before each."""
    return [(a, b) for a, b in zip(moves, moves[1:]) if b.kind is not MoveKind.RAPID]
