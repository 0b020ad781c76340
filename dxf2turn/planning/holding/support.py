"""The bodies that support long work at its free end: a live centre with its sleeve, a steady.

Setup coordinates, mm. A centre is put as far in as its 60 degree point goes: until it touches the wall of
the hole. A steady stands on a plain cylinder with its whole width.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point
from dxf2turn.planning.clamping import Ring, rectangle
from dxf2turn.shop.model import LiveCentre, Machine

POINT = math.radians(30.0)  # half the angle of a centre's point: 60 degrees (ISO 6411)
ANGLE_OFF = math.radians(1.5)  # a cone this near to the point's angle is a seat
WIDER = 2.0  # a centre's nose is so much thicker than the mouth of the hole, mm
SLEEVE = 200.0  # length of the sleeve that is looked at, mm
NEAR = 0.01  # a wall this near to the point's cone is its seat, mm


@dataclass(frozen=True, slots=True)
class Seat:
    """Where a centre runs: z of the apex of its cone, the radii between which it touches."""

    apex: float
    inner: float
    outer: float


def seat_in(stock: BaseGeometry, least: float) -> Seat | None:
    """The seat of a centre in the front of the stock; None where it would run on an edge.

    least: length of cone that it runs on at least, mm.
    """
    walls = list(_walls(stock))
    if not walls:
        return None
    slope = 1.0 / math.tan(POINT)
    apex = max(p.x - p.y * slope for wall in walls for p in wall)
    touching = [(a, b) for a, b in walls if all(p.x - p.y * slope > apex - NEAR for p in (a, b))]
    cones = [
        (a, b) for a, b in touching if abs(math.atan2(abs(a.y - b.y), abs(a.x - b.x)) - POINT) < ANGLE_OFF
    ]
    if sum(a.distance(b) for a, b in cones) < least:
        return None
    radii = [p.y for wall in cones for p in wall]
    return Seat(apex, min(radii), max(radii))


def _walls(stock: BaseGeometry) -> Iterator[tuple[Point, Point]]:
    """The edges of the stock that look to the axis or to the front, above the axis."""
    for piece in getattr(stock, "geoms", [stock]):
        ring = shapely.geometry.polygon.orient(piece).exterior.coords
        for a, b in pairwise(Point(*p) for p in ring):
            if max(a.y, b.y) > NEAR:
                yield a, b


def centre_on(seat: Seat, machine: Machine) -> tuple[Ring, ...] | None:
    """The slimmest live centre of a machine that fits a seat, with nose, body and sleeve; convex pieces."""
    fitting = (c for c in machine.centres if c.nose_mm >= 2.0 * seat.outer + WIDER)
    centre = next(fitting, None)
    return None if centre is None else _bodies(seat.apex, centre, machine.sleeve_mm)


def _bodies(apex: float, centre: LiveCentre, sleeve_mm: float) -> tuple[Ring, ...]:
    nose, tip = 0.5 * centre.nose_mm, 0.5 * centre.tip_mm
    first, behind = (apex + radius / math.tan(POINT) for radius in (tip, nose))
    body = behind + centre.nose_length
    sleeve = body + centre.body_length
    point = (Point(first, 0.0), Point(behind, 0.0), Point(behind, nose), Point(first, tip))
    return (
        point,
        rectangle(behind, body, 0.0, nose),
        rectangle(body, sleeve, 0.0, 0.5 * centre.body_mm),
        rectangle(sleeve, sleeve + SLEEVE, 0.0, 0.5 * sleeve_mm),
    )


def steady_on(z: float, radius: float, machine: Machine) -> tuple[Ring, ...]:
    """A steady with the middle of its pads at z on a cylinder."""
    half = 0.5 * machine.steady_width
    return (rectangle(z - half, z + half, radius, 0.5 * machine.steady_frame_mm),)
