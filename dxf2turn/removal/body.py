"""The part as one setup sees it: what must stay, where threads may be cut, how deep a cut went."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from dxf2turn.features.model import Knurl, Thread, TurnedPart
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import polygon
from dxf2turn.removal.sweep import areas, mirrored, polygons_of
from dxf2turn.removal.tolerances import (
    EDGE_POINTS,
    EDGE_SPACING,
    GOUGE,
    KNURL_SHARE,
    SAGITTA,
    THREAD_DEPTH,
    THREAD_FLANK_SHARE,
)


@dataclass(frozen=True, slots=True)
class Frame:
    """Where a setup's z lies on the part: z_setup = sign * z_part + offset. r is the same in both."""

    sign: float
    offset: float

    def to_setup(self, region: BaseGeometry) -> BaseGeometry:
        """A region of the part in setup coordinates."""
        return affine_transform(region, (self.sign, 0.0, 0.0, 1.0, self.offset, 0.0))

    def to_part(self, region: BaseGeometry) -> BaseGeometry:
        """A region in setup coordinates on the part."""
        return affine_transform(region, (self.sign, 0.0, 0.0, 1.0, -self.sign * self.offset, 0.0))

    def point_in_setup(self, at: Point) -> Point:
        """A place on the part in setup coordinates."""
        return Point(self.sign * at.x + self.offset, at.y)

    def point_on_part(self, at: Point) -> Point:
        """A place in setup coordinates on the part."""
        return Point(self.sign * (at.x - self.offset), at.y)


@dataclass(frozen=True, slots=True)
class Zone:
    """A thread in the part: `room` may be entered by thread moves, `body` must be cut by them."""

    id: str
    designation: str
    room: BaseGeometry
    body: BaseGeometry


@dataclass(frozen=True, slots=True)
class Guard:
    """What a cutting move must not enter: `region`, and `core`, the same less the gouge tolerance.

    surface: where depth starts, the edge of the body on both sides of the axis: the axis is no surface.
    """

    region: BaseGeometry
    core: BaseGeometry
    surface: BaseGeometry


@dataclass(frozen=True, slots=True)
class Body:
    """What must stay: for ordinary moves, for thread moves (thread zones free) and under a knurl."""

    target: BaseGeometry
    plain: Guard
    threading: Guard
    knurling: Guard
    zones: tuple[Zone, ...]

    def placed(self, frame: Frame) -> Body:
        """The same body in a setup's coordinates."""
        zones = tuple(
            replace(zone, room=frame.to_setup(zone.room), body=frame.to_setup(zone.body))
            for zone in self.zones
        )
        return Body(
            target=frame.to_setup(self.target),
            plain=_placed_guard(self.plain, frame),
            threading=_placed_guard(self.threading, frame),
            knurling=_placed_guard(self.knurling, frame),
            zones=zones,
        )


def body_of(part: TurnedPart) -> Body:
    """The part's target as polygons, in part coordinates."""
    target = polygon(part.target.segments, SAGITTA)
    target = target if target.is_valid else areas(shapely.make_valid(target))
    threads = (thread for thread in part.of_kind("thread") if isinstance(thread, Thread))
    zones = tuple(_zone(part, thread, target) for thread in threads)
    knurls = [_knurl_band(k, target) for k in part.of_kind("knurl") if isinstance(k, Knurl)]
    return Body(
        target=target,
        plain=_guard(target),
        threading=_guard(shapely.difference(target, thread_rooms(zones))),
        knurling=_guard(shapely.difference(target, shapely.union_all(knurls))),
        zones=zones,
    )


def _guard(region: BaseGeometry) -> Guard:
    whole = shapely.union(region, mirrored(region))
    less = shapely.buffer(whole, -GOUGE, join_style="mitre")
    z_low, _, z_high, r_high = whole.bounds
    core = shapely.intersection(less, shapely.box(z_low, 0.0, z_high, r_high))
    return Guard(region, core, whole.boundary)


def _placed_guard(guard: Guard, frame: Frame) -> Guard:
    placed = Guard(*(frame.to_setup(one) for one in (guard.region, guard.core, guard.surface)))
    shapely.prepare(placed.core)
    return placed


def frame_of(part: TurnedPart, flipped: bool) -> Frame:
    """Frame of a setup: z_setup = z_part, or -length - z_part when the part is turned end for end."""
    return Frame(-1.0, -part.target.length) if flipped else Frame(1.0, 0.0)


def depth_in(surface: BaseGeometry, region: BaseGeometry) -> tuple[float, Point]:
    """How far the deepest point of a region's edge lies from a surface, mm, and where it is.

    The edge is measured at close points, not at corners alone: a wedge is deepest between its corners.
    """
    spacing = max(EDGE_SPACING, region.length / EDGE_POINTS)
    # The boundary, not the region: dividing a polygon with a very short edge may give an empty one.
    corners = shapely.get_coordinates(shapely.segmentize(region.boundary, spacing))
    depths = shapely.distance(shapely.points(corners), surface)
    deepest = int(np.argmax(depths))
    return float(depths[deepest]), Point(*map(float, corners[deepest]))


def ring_volume(region: BaseGeometry) -> float:
    """Volume of a region turned about the axis, mm3: V = pi * |integral of r^2 dz| along its rings."""
    return math.fsum(
        _turned(piece.exterior) - math.fsum(_turned(hole) for hole in piece.interiors)
        for piece in polygons_of(region)
    )


def _turned(ring: shapely.LinearRing) -> float:
    z, r = np.asarray(ring.coords).T
    cones = np.diff(z) * (r[:-1] ** 2 + r[:-1] * r[1:] + r[1:] ** 2)
    return abs(math.pi / 3.0 * float(np.sum(cones)))


def _zone(part: TurnedPart, thread: Thread, target: BaseGeometry) -> Zone:
    """Room for thread moves: from the crest to the root, along the zone and its run-in and run-out."""
    flank = THREAD_FLANK_SHARE * thread.pitch
    room = _band(part, thread, (thread.run_in + flank, thread.run_out + flank), THREAD_DEPTH)
    body = _band(part, thread, (0.0, 0.0), -THREAD_DEPTH)
    return Zone(thread.id, thread.designation, room, shapely.intersection(body, target))


def _band(part: TurnedPart, thread: Thread, more: tuple[float, float], deeper: float) -> BaseGeometry:
    """Between the thread's root line, `deeper` by so much, and beyond its crest; `more`: front, back."""
    ahead, behind = (min(room, part.target.length) for room in more)  # room in the open is infinite
    front, back = thread.z_front + ahead, thread.z_back - behind
    outside = thread.side != "inside"
    roots = [_root_at(part, thread, z) + (-deeper if outside else deeper) for z in (front, back)]
    far = 2.0 * part.target.max_radius if outside else 0.0
    return shapely.Polygon([(front, roots[0]), (front, far), (back, far), (back, roots[1])])


def _root_at(part: TurnedPart, thread: Thread, z: float) -> float:
    """Radius of the thread's root at z."""
    outside = thread.side != "inside"
    fallback = thread.minor_diameter_mm if outside else thread.major_diameter_mm
    root = 0.5 * (thread.cut_to_mm or fallback)
    if thread.taper == 0.0:
        return root
    # A taper thread has its crest on the drawn cone; the root runs parallel to it.
    ends = sorted(
        p for i in thread.segments for p in (part.target.segments[i].start, part.target.segments[i].end)
    )
    (z0, r0), (z1, r1) = ends[0], ends[-1]
    crest = r0 + (z - z0) * (r1 - r0) / (z1 - z0)
    depth = 0.5 * abs((thread.cut_from_mm or thread.major_diameter_mm) - (thread.cut_to_mm or fallback))
    return crest - depth if outside else crest + depth


def _knurl_band(knurl: Knurl, target: BaseGeometry) -> BaseGeometry:
    depth = KNURL_SHARE * knurl.pitch
    top = target.bounds[3] * 2.0
    return shapely.box(knurl.z_back - depth, knurl.r_small - depth, knurl.z_front + depth, top)


def thread_rooms(zones: Iterable[Zone]) -> BaseGeometry:
    """Union of the rooms of all thread zones."""
    return shapely.union_all([zone.room for zone in zones])
