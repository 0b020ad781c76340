"""Tools drawn by hand, so that planning can be tested without the shop's data."""

from __future__ import annotations

import math

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import polygon
from dxf2turn.geometry.segment import Line
from dxf2turn.shop.model import Tool


def rounded(core: tuple[Point, ...], nose: float) -> tuple[Point, ...]:
    """A convex core grown by the nose radius, chords inside the true shape."""
    lines = tuple(Line(a, b) for a, b in zip(core, core[1:] + core[:1]))
    shape = polygon(lines, 1e-3)
    grown = shape.buffer(nose, quad_segs=12) if nose else shape
    return tuple(Point(*p) for p in grown.exterior.coords[:-1])[::-1]


def blade(
    width: float = 3.0, nose: float = 0.2, reach: float = 20.0, corner: str = "left", kind: str = "grooving"
) -> Tool:
    """A grooving or parting blade for outside work."""
    shift = 0.0 if corner == "left" else -width
    low, high = shift + nose, shift + width - nose
    core = (Point(low, nose), Point(high, nose), Point(high, reach - nose), Point(low, reach - nose))
    holder = (
        Point(shift + 0.1, 5),
        Point(shift + width - 0.1, 5),
        Point(shift + width - 0.1, reach),
        Point(shift + 0.1, reach),
    )
    head = (
        Point(shift - 8, reach),
        Point(shift + width + 2, reach),
        Point(shift + width + 2, reach + 30),
        Point(shift - 8, reach + 30),
    )
    return Tool(
        id=f"B{width:g}{corner[0]}",
        kind=kind,
        insert=f"blade {width:g}",
        holder_style=None,
        nose_radius=nose,
        nose_centre=core[0] if corner == "left" else core[1],
        core=core,
        outline=rounded(core, nose),
        holder=(holder, head),
        width=width,
        hand="neutral",
        controlled=f"{corner} corner",
        reach=reach,
    )


def inside_blade(width: float = 2.0, nose: float = 0.1, depth: float = 3.0, bar: float = 10.0) -> Tool:
    """An inside grooving bar: blade towards +r, shank towards +z."""
    core = (Point(nose, -nose), Point(nose, -depth), Point(width - nose, -depth), Point(width - nose, -nose))
    shank = (Point(0, -depth), Point(0, -depth - bar), Point(80, -depth - bar), Point(80, -depth))
    return Tool(
        id="I",
        kind="inside grooving",
        insert="inside blade",
        holder_style=None,
        nose_radius=nose,
        nose_centre=core[0],
        core=core,
        outline=rounded(core, nose),
        holder=(shank,),
        width=width,
        hand="neutral",
        controlled="left corner",
        reach=depth,
        least_bore_mm=2 * (bar / 2 + depth),
    )


POINT_60 = math.radians(60)
