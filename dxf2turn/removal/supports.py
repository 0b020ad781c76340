"""A centre must run on a cone, a steady on a cylinder that is there, from the start of a setup to its end."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point
from dxf2turn.planning.model import Setup
from dxf2turn.removal.body import depth_in
from dxf2turn.removal.model import Trouble
from dxf2turn.removal.sweep import NOTHING, areas, polygons_of
from dxf2turn.removal.tolerances import AREA_NOISE, PADS_SHARE, SEAT, SEAT_LENGTH, TOUCH

CENTRE, STEADY = "centre", "steady"


def support_region(setup: Setup) -> BaseGeometry:
    """The bodies of a support as one region; empty where there is none."""
    pieces = [shapely.Polygon(ring) for ring in setup.supports]
    return areas(shapely.union_all(pieces)) if pieces else NOTHING


def support_troubles(
    setup: Setup, stock: BaseGeometry, threads: BaseGeometry, when: str
) -> Iterator[Trouble]:
    """What is wrong with the supports on the stock as it is at the start or at the end of a setup.

    threads: their zones; a steady's pads must not run there.
    """
    bodies = polygons_of(support_region(setup))
    if (setup.support == "none") != (not bodies):
        yield _trouble(setup, Point(0.0, 0.0), 0.0, f"states support {setup.support!r} without its shape")
    for body in bodies:
        name = _name(body)
        inside = areas(shapely.intersection(shapely.buffer(body, -TOUCH), stock))
        if inside.area > AREA_NOISE:
            depth, at = depth_in(stock.boundary, inside)
            yield _trouble(setup, at, depth, f"the {name} stands {depth:.3f} mm deep in the stock {when}")
        at = Point(*map(float, body.representative_point().coords[0]))
        touched = shapely.intersection(stock.boundary, shapely.buffer(body, SEAT)).length
        wanted = SEAT_LENGTH if name == CENTRE else PADS_SHARE * (body.bounds[2] - body.bounds[0])
        if touched < wanted:
            text = f"the {name} touches the work over {touched:.2f} mm {when}, not {wanted:.2f}"
            yield _trouble(setup, at, wanted - touched, text)
        if name == STEADY and shapely.intersects(shapely.buffer(body, SEAT), threads):
            yield _trouble(setup, at, 0.0, "the steady runs on a thread")


def _name(body: BaseGeometry) -> str:
    """A centre reaches the axis, a steady stands around the work."""
    return CENTRE if body.bounds[1] <= SEAT else STEADY


def _trouble(setup: Setup, at: Point, size: float, text: str) -> Trouble:
    return Trouble(kind="support", setup=setup.no, step=0, move=0, at=at, size=size, text=text)
