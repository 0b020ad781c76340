"""Tool space: where the controlled point of a tool may be, with its exact edge.

Neither the cutting part nor the holder may enter the part, nor the jaws. The part is taken with its mirror
image at the axis, because it turns; so a boring bar that reaches below the axis is stopped by the far wall.
The edge of the space is the finishing path; what no place of the space reaches is left for other tools.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TypeAlias

import numpy as np
import shapely
from shapely import LinearRing, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from dxf2turn.geometry.offset import Contact, Feeler, contacts, feeler
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.region import minkowski_sum, polygon
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.planning.tool_space.exact_boundary import NONE, trace
from dxf2turn.planning.tool_space.sums import both_halves, directions_of, flat, path_sum
from dxf2turn.planning.tool_space.sweep import areas, polygons
from dxf2turn.planning.work import SAGITTA, Work
from dxf2turn.shop.model import Tool

PAST_CENTRE = 0.2  # how far the centre of the nose may go past the axis, mm
HOLDER_GAP = 0.1  # least distance of a holder from the part, mm
JAW_GAP = 0.5  # least distance of the tool from jaws, chuck and centre, mm
JAW_SAGITTA = 0.05  # chord error of the nose beside the jaws, mm; small against their gap
MARGIN = 5.0  # room around everything, mm
AXIS = 1e-6  # a side of the profile this close to r = 0 lies on the axis, mm
CHIP = 0.01  # leftovers thinner than twice this are none, mm

FAR = 1e4  # beyond any part, mm
WAVES = 0.01  # edges of standing stock are straightened within this, mm
LONG_EDGE = 500.0  # longer than any part, mm
SHORT = 1e-9  # mm
OUTSIDE_KINDS = ("turning",)
NO_CORNER = Vector(0.0, 0.0)
Area: TypeAlias = Polygon | MultiPolygon


@dataclass(frozen=True, slots=True)
class ToolSpace:
    """free: the places the controlled point can get to from the tool-change point, chords within SAGITTA.

    edges: its closed rings as exact contacts, travelled with the forbidden side on the left (so the run
    along the outside of a part goes from front to back). body: the part in the whole plane.
    """

    tool: Tool
    free: Polygon
    edges: tuple[tuple[Contact, ...], ...]
    body: BaseGeometry


def tool_space(
    work: Work,
    tool: Tool,
    allowance: tuple[float, float] = (0.0, 0.0),
    behind: float | None = None,
) -> ToolSpace:
    """The space of a tool that leaves `allowance` (radial, axial; mm) on the work's target.

    behind: stock below this z stays, so the tool keeps out of it as well; None: only the part counts.
    """
    walls = Polygon() if behind is None else _standing(work.stock, behind - allowance[1])
    return _space(work.target, tool, allowance, Rest(walls, work.keep_out, work.tool_change))


@dataclass(frozen=True, slots=True)
class Rest:
    """What stands about the part: stock that stays, jaws, and where the tool comes from."""

    walls: Area
    keep_out: Area
    home: Point


# A step asks for the same space again: to compare tools, to cut and, after what it left, to compare again.
@lru_cache(maxsize=128)
def _space(target: tuple[Segment, ...], tool: Tool, allowance: tuple[float, float], rest: Rest) -> ToolSpace:
    cutting, holder = cutting_feeler(tool, allowance), holder_feelers(tool)
    body = _turned(target)
    sums: list[BaseGeometry] = []
    every: list[Contact] = []
    for solid in (body, *_standing_solids(rest.walls)):
        for one in (cutting, *holder):
            region, touching = _sum(solid, one)
            sums.append(region)
            every.extend(touching if solid is body and one is cutting else map(_uncut, touching))
    jaws = _jaw_sums(rest.keep_out, (feeler(tool.core, tool.nose_radius), *holder))
    bounds = shapely.union_all([body.inside, rest.walls, rest.keep_out]).bounds
    free = _reached(shapely.union_all([*sums, *jaws]), bounds, tool, rest.home)
    return ToolSpace(tool, free, tuple(_edges(free, every)), body.inside)


@dataclass(frozen=True, slots=True)
class Solid:
    """A body in the whole plane, and its closed outlines."""

    inside: Area
    outlines: tuple[tuple[Segment, ...], ...]


@lru_cache(maxsize=16)
def _turned(target: tuple[Segment, ...]) -> Solid:
    """A target with its mirror image at the axis."""
    outlines = both_halves(target, AXIS)
    return Solid(shapely.union_all([polygon(path, SAGITTA) for path in outlines]), outlines)


@lru_cache(maxsize=128)  # Tools share holders, and with any allowance a holder keeps the same distance.
def _sum(solid: Solid, one: Feeler) -> tuple[BaseGeometry, tuple[Contact, ...]]:
    """The places where a feeler would enter a body, and its contacts with it."""
    touching = tuple(_contacts(solid.outlines, one))
    shape = flat(one, SAGITTA, directions_of(solid.outlines))
    return path_sum(solid.inside, solid.outlines, touching, shape, SAGITTA), touching


def _standing(stock: Area, z: float) -> Area:
    """The stock below a plane, without the small waves that noses leave."""
    return shapely.simplify(shapely.intersection(stock, shapely.box(-FAR, 0.0, z, FAR)), WAVES)


def _standing_solids(walls: Area) -> Iterable[Solid]:
    """The pieces of stock in the whole plane."""
    image = shapely.transform(walls, lambda points: points * (1.0, -1.0))
    for piece in polygons(shapely.union(walls, image)):
        turned = orient(piece)
        yield Solid(turned, tuple(_lines(ring) for ring in (turned.exterior, *turned.interiors)))


def _lines(ring: LinearRing) -> tuple[Segment, ...]:
    corners = [Point(*p) for p in ring.coords]
    return tuple(Line(a, b) for a, b in zip(corners, corners[1:]))


def _uncut(contact: Contact) -> Contact:
    """A contact of the holder, or with stock that stays: nothing is cut along it."""
    return Contact(contact.path, None, contact.corner, edge=True)


@lru_cache(maxsize=256)
def cutting_feeler(tool: Tool, allowance: tuple[float, float] = (0.0, 0.0)) -> Feeler:
    """The mirrored cutting part, grown by what it must leave.

    An equal allowance all round is a bigger nose; the rest of the larger one stretches the core.
    """
    radial, axial = allowance
    even = min(radial, axial)
    core = _stretched(_with_long_edges(tool), axial - even, radial - even)
    return feeler(core, tool.nose_radius + even)


def _with_long_edges(tool: Tool) -> tuple[Point, ...]:
    """The core with the edges at the nose made long, for tools that cut along their path.

    A slope that is steeper than the trailing edge can't be entered, however short the insert is: its far
    corner does not cut. A blade plunges and keeps its shape; so does a round insert.
    """
    if tool.corner_angle is None or tool.nose_centre not in tool.core:
        return tool.core
    i = tool.core.index(tool.nose_centre)
    ways = [(tool.core[j % len(tool.core)] - tool.nose_centre).unit() for j in (i - 1, i + 1)]
    edges = [way * LONG_EDGE for way in ways if way is not None]
    if tool.kind not in OUTSIDE_KINDS:
        edges = [_beside_bar(max(edges, key=lambda edge: edge.dx), tool)]
    return hull_of([*tool.core, *(tool.nose_centre + edge for edge in edges)])


def _beside_bar(edge: Vector, tool: Tool) -> Vector:
    """The trailing edge of a boring tool no longer than to the far side of its bar: there is another wall.

    Its main edge points at that wall as well and stays as it is.
    """
    corners = [p for piece in (tool.outline, *tool.holder[:1]) for p in piece]
    across = max(p.y for p in corners) - min(p.y for p in corners)
    return edge * min(1.0, across / max(abs(edge.dy), SHORT))


@lru_cache(maxsize=256)
def holder_feelers(tool: Tool, gap: float = HOLDER_GAP) -> tuple[Feeler, ...]:
    """The mirrored pieces of the holder with their distance from the part."""
    return tuple(feeler(hull_of(piece), gap) for piece in tool.holder)


def _stretched(core: Sequence[Point], by_z: float, by_r: float) -> tuple[Point, ...]:
    if by_z <= 0.0 and by_r <= 0.0:
        return tuple(core)
    return hull_of([(p[0] + sz * by_z, p[1] + sr * by_r) for p in core for sz in (-1, 1) for sr in (-1, 1)])


def hull_of(points: Iterable[tuple[float, float]]) -> tuple[Point, ...]:
    """Convex hull, counter-clockwise; both ends of a line for points on a line."""
    hull = shapely.MultiPoint(list(points)).convex_hull
    if isinstance(hull, Polygon):
        return tuple(Point(*p) for p in orient(hull).exterior.coords[:-1])
    return tuple(Point(*p) for p in hull.coords)


def _contacts(paths: Iterable[Sequence[Segment]], tool: Feeler) -> list[Contact]:
    """The contacts of all outlines; sources count on from one outline to the next."""
    found: list[Contact] = []
    count = 0
    for path in paths:
        for contact in contacts(path, tool):
            source = None if contact.source is None else contact.source + count
            found.append(Contact(contact.path, source, contact.corner, contact.edge))
        count += len(path)
    return found


@lru_cache(maxsize=64)
def _jaw_sums(keep_out: Area, tools: tuple[Feeler, ...]) -> tuple[BaseGeometry, ...]:
    """Where the tool would come too near to what holds the work."""
    if keep_out.is_empty:
        return ()
    wide = shapely.buffer(keep_out, JAW_GAP, join_style="mitre")
    hulls = [shapely.convex_hull(shapely.MultiPoint(flat(one, JAW_SAGITTA))) for one in tools]
    return tuple(minkowski_sum(wide, hull.exterior.coords[:-1]) for hull in hulls)


def _reached(forbidden: BaseGeometry, bounds: Sequence[float], tool: Tool, home: Point) -> Polygon:
    """The part of the free places that the tool-change point belongs to."""
    low_z, _, high_z, high_r = bounds
    room = MARGIN + max(max(abs(p.x), abs(p.y)) for p in tool.outline)
    low_r = -PAST_CENTRE - tool.nose_centre.y
    box = shapely.box(
        min(low_z, home.x) - room, low_r, max(high_z, home.x) + room, max(high_r, home.y) + room
    )
    pieces = polygons(box.difference(forbidden))
    start = shapely.Point(home)
    return min(pieces, key=lambda piece: (piece.distance(start), -piece.area))


def _edges(free: Polygon, curves: Sequence[Contact]) -> Iterable[tuple[Contact, ...]]:
    turned = orient(free, sign=-1.0)
    paths = [contact.path for contact in curves]
    for ring in (turned.exterior, *turned.interiors):
        pieces = trace(np.asarray(ring.coords)[:-1], paths)
        yield tuple(
            Contact(piece.path, None, NO_CORNER, edge=True)
            if piece.curve == NONE
            else replace(curves[piece.curve], path=piece.path)
            for piece in pieces
        )


def covered(space: ToolSpace) -> BaseGeometry:
    """The region that the cutting part covers from all its free places."""
    return _covered(space.tool, space.free, space.edges)


@lru_cache(maxsize=128)
def _covered(tool: Tool, free: Polygon, edges: tuple[tuple[Contact, ...], ...]) -> BaseGeometry:
    """Sum of the free places and the cutting part, which is the mirrored one mirrored again."""
    paths = [tuple(contact.path.reversed() for contact in reversed(ring)) for ring in edges]
    cutter = feeler([Point(-p[0], -p[1]) for p in tool.core], tool.nose_radius)
    shape = flat(cutter, SAGITTA, directions_of(paths))
    return path_sum(free, paths, _contacts(paths, cutter), shape, SAGITTA)


def cleared(space: ToolSpace, stock: Area) -> BaseGeometry:
    """The part of the stock that the tool can remove."""
    return areas(shapely.intersection(stock, covered(space)))


def unreached(space: ToolSpace, stock: Area) -> BaseGeometry:
    """The stock outside the part that the tool can't remove, slivers left out."""
    rest = shapely.difference(stock, shapely.union(covered(space), space.body))
    return shapely.buffer(shapely.buffer(rest, -CHIP, join_style="mitre"), CHIP, join_style="mitre")
