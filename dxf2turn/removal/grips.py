"""What holds the work must lie on it: on raw stock, or on a plain finished cylinder or bore; never in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.features.model import Feature
from dxf2turn.geometry.point import Point
from dxf2turn.planning.model import Setup
from dxf2turn.removal.body import Frame, depth_in
from dxf2turn.removal.model import Trouble
from dxf2turn.removal.simulate import Scene
from dxf2turn.removal.sweep import areas
from dxf2turn.removal.tolerances import AREA_NOISE, GRIP_SHARE, SEAT, SEAT_LENGTH

NEVER_HELD = ("thread", "knurl", "groove", "taper")


@dataclass(frozen=True, slots=True)
class Contact:
    """Where one body of what holds the work lies along it, at a radius; mm.

    length: in touch; rough: so much of it is no surface of the part. low, high: z of what is. inside: the
    work lies around the body.
    """

    length: float
    rough: float
    low: float
    high: float
    radius: float
    inside: bool


def grip_troubles(
    scene: Scene, stock: BaseGeometry, features: Iterable[Feature], frame: Frame, when: str
) -> Iterator[Trouble]:
    """What is wrong with the grip on the stock as it is at the start or at the end of a setup.

    features: with z of the part, see `frame`.
    """
    setup, target = scene.setup, scene.body.target
    inside = areas(shapely.intersection(shapely.buffer(scene.jaws, -SEAT, join_style="mitre"), stock))
    if inside.area > AREA_NOISE:
        depth, at = depth_in(stock.boundary, inside)
        yield _trouble(setup, at, depth, f"stands {depth:.3f} mm deep in the work {when}")
    contacts = [c for ring in setup.jaws for c in _contacts(shapely.Polygon(ring), stock, target)]
    held, wanted = sum(c.length for c in contacts), max(GRIP_SHARE * setup.grip_length, SEAT_LENGTH)
    if held < wanted:
        yield _trouble(setup, _place(setup), wanted - held, f"is {held:.2f} mm long {when}, not {wanted:.2f}")
    for contact in contacts:
        at = Point(contact.high, contact.radius)
        if contact.inside and contact.rough > SEAT_LENGTH:
            yield _trouble(setup, at, contact.rough, f"lies in a bore that is not finished {when}")
        for feature in features:
            length = _shared_length(feature, contact, frame)
            if length > SEAT_LENGTH:
                yield _trouble(setup, at, length, f"lies on the {feature.kind} {feature.id} {when}")


def _contacts(body: BaseGeometry, stock: BaseGeometry, target: BaseGeometry) -> Iterator[Contact]:
    """Where a body touches the stock along the axis, from outside and from inside."""
    touched = shapely.intersection(stock.boundary, shapely.buffer(body, SEAT, join_style="mitre"))
    surface = shapely.buffer(target.boundary, SEAT)
    for radius, inside in ((body.bounds[1], False), (body.bounds[3], True)):
        level = _level(touched, radius)
        if level.is_empty:
            continue
        fine = shapely.intersection(level, surface)
        low, _, high, _ = level.bounds if fine.is_empty else fine.bounds
        yield Contact(level.length, level.length - fine.length, low, high, radius, inside)


def _level(touched: BaseGeometry, radius: float) -> BaseGeometry:
    """The lines of a contact that lie along the axis at a radius; the axis itself is none."""
    lines = (line for line in getattr(touched, "geoms", [touched]) if line.length > 0.0)
    pieces = (leg for line in lines for leg in _legs(line))
    return shapely.union_all([leg for leg in pieces if _lies_along(leg, radius)])


def _legs(line: BaseGeometry) -> Iterator[BaseGeometry]:
    corners = shapely.get_coordinates(line)
    return (shapely.LineString(pair) for pair in zip(corners, corners[1:]))


def _lies_along(leg: BaseGeometry, radius: float) -> bool:
    low_z, low, high_z, high = leg.bounds
    return radius > SEAT and abs(low - radius) <= SEAT and abs(high - radius) <= SEAT and high_z > low_z


def _shared_length(feature: Feature, contact: Contact, frame: Frame) -> float:
    """The length of a contact on which a feature lies that must not be held."""
    side = "inside" if contact.inside else "outside"
    if contact.length - contact.rough <= SEAT_LENGTH:
        return 0.0
    if feature.kind not in NEVER_HELD or feature.side != side:
        return 0.0
    ends = sorted(frame.point_in_setup(Point(z, 0.0)).x for z in (feature.z_back, feature.z_front))
    return min(ends[1], contact.high) - max(ends[0], contact.low)


def _place(setup: Setup) -> Point:
    """The middle of the face of what holds the work."""
    face = max((p for ring in setup.jaws[:1] for p in ring), default=Point(0.0, 0.0))
    return Point(*map(float, face))


def _trouble(setup: Setup, at: Point, size: float, text: str) -> Trouble:
    return Trouble(kind="grip", setup=setup.no, step=0, move=0, at=at, size=size, text=f"the grip {text}")
