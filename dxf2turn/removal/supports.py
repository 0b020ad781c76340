"""A centre must run on a cone, a steady on a cylinder that is there, from the start of a setup to its end."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point
from dxf2turn.planning.model import Setup
from dxf2turn.removal.body import depth_in
from dxf2turn.removal.model import Trouble
from dxf2turn.removal.sweep import NOTHING, areas
from dxf2turn.removal.tolerances import AREA_NOISE, PADS_SHARE, SEAT, SEAT_LENGTH, TOUCH

CENTRE, STEADY = "tailstock", "steady"


def support_region(setup: Setup) -> BaseGeometry:
    """The bodies of a support as one region; empty where there is none."""
    pieces = [shapely.Polygon(ring) for ring in setup.supports]
    return areas(shapely.union_all(pieces)) if pieces else NOTHING


def support_troubles(
    setup: Setup, stock: BaseGeometry, threads: BaseGeometry, when: str
) -> Iterator[Trouble]:
    """What is wrong with the support on the stock as it is at the start or at the end of a setup.

    threads: their zones; a steady's pads must not run there.
    """
    bodies = support_region(setup)
    if (setup.support == "none") != bodies.is_empty:
        yield _trouble(setup, Point(0.0, 0.0), 0.0, f"states support {setup.support!r} without its shape")
    if bodies.is_empty or setup.support == "none":
        return
    inside = areas(shapely.intersection(shapely.buffer(bodies, -TOUCH), stock))
    if inside.area > AREA_NOISE:
        depth, at = depth_in(stock.boundary, inside)
        yield _trouble(setup, at, depth, f"the {_name(setup)} stands {depth:.3f} mm deep in the stock {when}")
    touched = shapely.intersection(stock.boundary, shapely.buffer(bodies, SEAT))
    wanted = _wanted(setup)
    if touched.length < wanted:
        at = Point(*map(float, bodies.representative_point().coords[0]))
        text = f"the {_name(setup)} touches the work over {touched.length:.2f} mm {when}, not {wanted:.2f}"
        yield _trouble(setup, at, wanted - touched.length, text)
    if setup.support == STEADY and shapely.intersects(shapely.buffer(bodies, SEAT), threads):
        at = Point(*map(float, bodies.representative_point().coords[0]))
        yield _trouble(setup, at, 0.0, "the steady runs on a thread")


def _wanted(setup: Setup) -> float:
    """Length of the work's edge that the support must touch."""
    if setup.support == CENTRE:
        return SEAT_LENGTH
    low = min(point.x for ring in setup.supports for point in ring)
    return PADS_SHARE * (max(point.x for ring in setup.supports for point in ring) - low)


def _name(setup: Setup) -> str:
    return "steady" if setup.support == STEADY else "centre"


def _trouble(setup: Setup, at: Point, size: float, text: str) -> Trouble:
    return Trouble(kind="support", setup=setup.no, step=0, move=0, at=at, size=size, text=text)
