"""From the coordinates of an entity to the plane of the drawing.

`Placement` is an affine map of space: nested blocks with their scales, rotations and extrusions.
`Plane` is what is left of it for one entity: a map from the entity's own x, y to drawing x, y.
Turns by whole quarters and the identity are exact, so ends that are equal in the file stay equal.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from dxf2turn.geometry.point import Point
from dxf2turn.reading.damage import Unusable

Triple = tuple[float, float, float]
UP: Triple = (0.0, 0.0, 1.0)
_NEAR_WORLD_Z = 1.0 / 64.0  # bound of the arbitrary axis rule, DXF reference (from memory)
_FLAT = 1e-9  # share of an axis that may leave the plane
_SIMILAR = 1e-9  # relative difference of two axes that still count as equal


class Placement(NamedTuple):
    """p' = x * x_axis + y * y_axis + z * z_axis + origin."""

    x_axis: Triple
    y_axis: Triple
    z_axis: Triple
    origin: Triple

    def vector(self, v: Triple) -> Triple:
        """A direction carried along."""
        (x, y, z), a, b, c = v, self.x_axis, self.y_axis, self.z_axis
        return (
            x * a[0] + y * b[0] + z * c[0],
            x * a[1] + y * b[1] + z * c[1],
            x * a[2] + y * b[2] + z * c[2],
        )

    def point(self, p: Triple) -> Triple:
        """A point carried along."""
        if self is WORLD:
            return p
        x, y, z = self.vector(p)
        return x + self.origin[0], y + self.origin[1], z + self.origin[2]

    def flat(self, p: Triple) -> Point:
        """A point carried along and seen from above."""
        x, y, _ = self.point(p)
        return Point(x, y)

    def then(self, outer: Placement) -> Placement:
        """This placement first, `outer` after it."""
        return Placement(
            outer.vector(self.x_axis),
            outer.vector(self.y_axis),
            outer.vector(self.z_axis),
            outer.point(self.origin),
        )


WORLD = Placement((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), UP, (0.0, 0.0, 0.0))


class Plane(NamedTuple):
    """(x, y) -> (a x + c y + e, b x + d y + f)."""

    a: float
    b: float
    c: float
    d: float
    e: float
    f: float

    def at(self, x: float, y: float) -> Point:
        """A point of the entity in drawing coordinates."""
        if self is PLAIN:
            return Point(x, y)
        return Point(self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f)

    @property
    def mirrored(self) -> bool:
        return self.a * self.d - self.b * self.c < 0.0

    @property
    def keeps_circles(self) -> bool:
        """Whether a circle stays one: both axes equally long and square to each other."""
        long = self.a * self.a + self.b * self.b + self.c * self.c + self.d * self.d
        unequal = self.a * self.a + self.b * self.b - self.c * self.c - self.d * self.d
        return abs(unequal) <= _SIMILAR * long and abs(self.a * self.c + self.b * self.d) <= _SIMILAR * long

    @property
    def collapsed(self) -> bool:
        """Whether the plane is squeezed to a line or a point."""
        long = self.a * self.a + self.b * self.b + self.c * self.c + self.d * self.d
        return abs(self.a * self.d - self.b * self.c) <= _FLAT * long or long == 0.0


PLAIN = Plane(1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


def direction(angle_deg: float) -> tuple[float, float]:
    """(cos, sin) of an angle in degrees, exact at whole quarters."""
    quarter = round(angle_deg / 90.0)
    rest = math.radians(angle_deg - 90.0 * quarter)
    c, s = math.cos(rest), math.sin(rest)
    return ((c, s), (-s, c), (-c, -s), (s, -c))[quarter % 4]


def object_axes(extrusion: Triple) -> tuple[Triple, Triple, Triple]:
    """Axes of an entity's own coordinates for its extrusion direction.

    Source: "arbitrary axis algorithm" of the DXF reference (from memory; checked in the tests against
    another library). An extrusion without length counts as straight up.
    """
    length = math.hypot(*extrusion)
    if length == 0.0 or extrusion == UP:
        return WORLD.x_axis, WORLD.y_axis, WORLD.z_axis
    nx, ny, nz = (part / length for part in extrusion)
    if abs(nx) < _NEAR_WORLD_Z and abs(ny) < _NEAR_WORLD_Z:
        ax: Triple = (nz, 0.0, -nx)  # world Y x N
    else:
        ax = (-ny, nx, 0.0)  # world Z x N
    size = math.hypot(*ax)
    ax = (ax[0] / size, ax[1] / size, ax[2] / size)
    ay = (ny * ax[2] - nz * ax[1], nz * ax[0] - nx * ax[2], nx * ax[1] - ny * ax[0])
    return ax, ay, (nx, ny, nz)


def object_placement(extrusion: Triple) -> Placement:
    """The placement from an entity's own coordinates to those of its block."""
    return WORLD if extrusion == UP else Placement(*object_axes(extrusion), (0.0, 0.0, 0.0))


def entity_plane(placement: Placement, extrusion: Triple, elevation: float) -> Plane:
    """The plane of an entity in its own coordinates; raises Unusable when it is seen edge-on or aslant."""
    if placement is WORLD and extrusion == UP:
        return PLAIN
    whole = object_placement(extrusion).then(placement)
    if max(abs(whole.x_axis[2]), abs(whole.y_axis[2])) > _FLAT * (
        math.hypot(*whole.x_axis) + math.hypot(*whole.y_axis)
    ):
        raise Unusable("lies in a plane that is tilted against the drawing plane", serious=True)
    origin = whole.point((0.0, 0.0, elevation))
    plane = Plane(*whole.x_axis[:2], *whole.y_axis[:2], *origin[:2])
    if plane.collapsed:
        raise Unusable("is squeezed flat by the scale of its block", serious=True)
    return plane


def insert_placement(
    base: Triple, at: Triple, scale: Triple, rotation_deg: float, extrusion: Triple
) -> Placement:
    """The placement of a block's entities: base point off, scale, turn, insertion point, extrusion."""
    c, s = direction(rotation_deg)
    turned = Placement(
        (scale[0] * c, scale[0] * s, 0.0), (-scale[1] * s, scale[1] * c, 0.0), (0.0, 0.0, scale[2]), at
    )
    offset = turned.vector(base)
    placed = turned._replace(origin=(at[0] - offset[0], at[1] - offset[1], at[2] - offset[2]))
    return placed.then(object_placement(extrusion))
