"""Clamping: one way to hold the work, as the planner sees it before it is filled with steps."""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.findings import Finding
from dxf2turn.geometry.point import Point
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.shop.model import Tool

Ring = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Centring:
    """A centre hole to be made: the drill, the plane of the hole's mouth and its radius there, mm."""

    tool: Tool
    z: float
    radius: float
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Clamping:
    """Setup coordinates, mm.

    stock: material as this setup starts, clipped to r >= 0. jaws: convex polygons no tool may enter.
    grip_inside: it is a bore that is held, the whole outside is free.
    outside_to: the outside is turned from the front down to this z; over: and so far past it.
    raw_radius: of the stock behind that place, it is not turned here.
    blades_up_to: hollows of the outside no wider than this are left to blades (or to the other setup):
    grooves, and what lies behind the last steep fall. Turning tools go into wider ones as far as they reach.
    lowest: no tool works below this z. parting: z of the front corner of the parting cut, None when the
    piece stays in one with what is gripped; parting_room: widest blade for it. whole: the part is complete
    behind `outside_to`, no bar follows. findings: what to look at about the way it is held.
    support: "none", "tailstock" or "steady"; supports: convex polygons of it. purpose: which steps are made,
    see `sequence.py`. centring: a hole that the part has not, for the centre of the next setup. stub: length
    and radius of stock that stays in front of the part until its centre hole is no longer needed.
    prepare: what a person does before the setup, prepare_s: how long that takes, s.
    """

    no: int
    part: PlacedPart
    stock: BaseGeometry
    jaws: tuple[Ring, ...]
    grip: str
    grip_length: float
    grip_radius: float
    grip_inside: bool = False
    outside_to: float
    over: float
    raw_radius: float
    lowest: float
    parting: float | None = None
    parting_room: float = 0.0
    blades_up_to: float = math.inf
    support: str = "none"
    whole: bool = False
    findings: tuple[Finding, ...] = ()
    supports: tuple[Ring, ...] = ()
    purpose: str = "all"
    centring: Centring | None = None
    stub: tuple[float, float] | None = None
    prepare: str = ""
    prepare_s: float = 0.0

    @property
    def keep_out(self) -> BaseGeometry:
        """Jaws and supports as one region."""
        return shapely.union_all([shapely.Polygon(ring) for ring in (*self.jaws, *self.supports)])

    @property
    def jaw_face(self) -> float:
        """z of the face of the jaws, where the free length begins."""
        return max(point.x for point in self.jaws[0])

    @property
    def turned_to(self) -> float:
        """z where outside turning ends."""
        return self.outside_to - self.over

    @property
    def lowest_inside(self) -> float:
        """z below which no tool works in the bore: jaws outside are in nobody's way there."""
        return self.lowest if self.grip_inside else -math.inf

    @property
    def finished_to(self) -> float:
        """z down to which threads and knurls are made: also on what an earlier setup has turned."""
        turned = max(self.outside_to, -self.part.length)
        return min(turned, self.lowest) if self.whole and not self.grip_inside else turned


def rectangle(z0: float, z1: float, r0: float, r1: float) -> Ring:
    """A rectangle counter-clockwise, z0 < z1, r0 < r1."""
    return (Point(z0, r0), Point(z1, r0), Point(z1, r1), Point(z0, r1))


def bar_polygon(front: float, back: float, radius: float, bore: float = 0.0) -> BaseGeometry:
    """A piece of round stock."""
    return shapely.box(back, bore, front, radius)
