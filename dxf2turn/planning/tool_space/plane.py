"""The tool space as a roughing or finishing operation sees it: in the plane (u, v) of `axes.py`.

The tool feeds along -u, and the levels go down along v. Outside work, bores, left-hand tools and facing
are the same there.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.offset import Contact
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.planning.tool_space.axes import Axes
from dxf2turn.planning.tool_space.space import ToolSpace


@dataclass(frozen=True, slots=True)
class PlaneSpace:
    """A tool space in (u, v): free places, and the rings of its edge with the forbidden side on the left."""

    axes: Axes
    free: Polygon
    edges: tuple[tuple[Contact, ...], ...]


def in_plane(space: ToolSpace, axes: Axes) -> PlaneSpace:
    """The space seen in a working plane."""
    rings = tuple(_turned(ring, axes) for ring in space.edges)
    return PlaneSpace(axes, shape_uv(space.free, axes), rings)


def _turned(ring: tuple[Contact, ...], axes: Axes) -> tuple[Contact, ...]:
    """A mirrored ring is travelled the other way, so that the forbidden side stays on the left."""
    mapped = [replace(c, path=axes.curve(c.path), corner=vector_uv(c.corner, axes)) for c in ring]
    if not axes.mirrored:
        return tuple(mapped)
    return tuple(replace(contact, path=contact.path.reversed()) for contact in reversed(mapped))


def vector_uv(vector: Vector, axes: Axes) -> Vector:
    """A vector of (z, r) in (u, v)."""
    turned = axes.uv(Point(*vector))
    return Vector(turned.x, turned.y)


def shape_uv(shape: BaseGeometry, axes: Axes) -> BaseGeometry:
    """A region of (z, r) in (u, v)."""
    return shapely.transform(shape, axes.uv_all)
