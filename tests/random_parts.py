"""Random turned parts as exact profiles: what a designer might draw, from a seed.

`random_profile(random.Random(7))` gives one `Profile`: front at z = 0, r >= 0, simple, sizes of 5 to 200 mm.
It is built from corners (z, r) with chamfers and radii worked in, so every arc has its exact centre.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass, replace

from dxf2turn.contour.model import Profile
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, Segment

HOLES = ("solid", "bore", "stepped", "blind", "blind back")
WALL = 2.0  # least wall around a hole, mm


@dataclass(frozen=True, slots=True)
class Corner:
    """A corner of an outline, in the order of travel (counter-clockwise, z right, r up).

    role: of the side that starts here. chamfer: leg along both sides; radius: of a tangent arc;
    edge: role of that chamfer or arc. centre: the side that starts here is an arc about it.
    """

    z: float
    r: float
    role: str = "outside"
    chamfer: float = 0.0
    radius: float = 0.0
    edge: str = ""
    centre: Point | None = None
    clockwise: bool = False

    @property
    def point(self) -> Point:
        return Point(self.z, self.r)


def profile_of(corners: Sequence[Corner]) -> Profile:
    """The closed profile through `corners`, in their order, edges broken as they say."""
    segments: list[Segment] = []
    roles: list[str] = []
    starts: list[Point] = []
    edges: list[tuple[Segment, str] | None] = []
    for index, corner in enumerate(corners):
        before, after = corners[index - 1], corners[(index + 1) % len(corners)]
        edge = _edge(before.point, corner, after.point)
        edges.append(None if edge is None else (edge, corner.edge or corner.role))
        starts.append(corner.point if edge is None else edge.end)
    for index, corner in enumerate(corners):
        following = (index + 1) % len(corners)
        edge = edges[following]
        end = corners[following].point if edge is None else edge[0].start
        segments.append(_side(starts[index], end, corner))
        roles.append(corner.role)
        if edge is not None:
            segments.append(edge[0])
            roles.append(edge[1])
    return _front_first(segments, roles)


def _side(start: Point, end: Point, corner: Corner) -> Segment:
    if corner.centre is None:
        return Line(start, end)
    return Arc(start, end, corner.centre, corner.clockwise)


def _edge(before: Point, corner: Corner, after: Point) -> Segment | None:
    """The chamfer or the arc at one corner between two straight sides."""
    if not corner.chamfer and not corner.radius:
        return None
    here = corner.point
    u, v = (before - here).unit(), (after - here).unit()
    assert u is not None and v is not None
    if corner.chamfer:
        return Line(here + u * corner.chamfer, here + v * corner.chamfer)
    half = 0.5 * math.acos(max(-1.0, min(1.0, u.dot(v))))
    middle = (u + v).unit()
    assert middle is not None
    reach = corner.radius / math.tan(half)
    centre = here + middle * (corner.radius / math.sin(half))
    return Arc(here + u * reach, here + v * reach, centre, u.cross(v) > 0.0)


def _front_first(segments: list[Segment], roles: list[str]) -> Profile:
    """The profile with its first segment after the last of the bore or the axis."""
    first = next(
        i
        for i in range(len(roles))
        if roles[i] not in ("axis", "inside") and roles[i - 1] in ("axis", "inside")
    )
    return Profile(tuple(segments[first:] + segments[:first]), tuple(roles[first:] + roles[:first]))


def random_profile(rng: random.Random, hole: str | None = None, arcs: bool = True) -> Profile:
    """One random part. hole: one of HOLES, None = any; arcs: False gives straight pieces only.

    A part too thin for the hole that was asked for comes out solid.
    """
    outside = _outside(rng, _sections(rng), arcs)
    thin = min(corner.r for corner in outside)
    kind = rng.choice(HOLES) if hole is None else hole
    if thin < WALL + 2.5:
        kind = "solid"
    if kind == "solid" and arcs and rng.random() < 0.3:
        outside = _with_ball(outside)
    elif kind in ("solid", "blind back"):
        outside = [Corner(0.0, 0.0, "front"), *outside]
    return profile_of([*outside, *_inside(rng, kind, thin - WALL, -outside[-1].z)])


def _sections(rng: random.Random) -> list[tuple[float, float, float]]:
    """(radius at the front, radius at the back, length) of each section, front to back."""
    count = rng.choice((1, 2, 3, 3, 4, 5, 6))
    radius = round(rng.uniform(4.0, 30.0), 1)
    sections = []
    for _ in range(count):
        length = round(rng.uniform(5.0, 40.0), 1)
        back = radius
        if rng.random() < 0.2:
            back = round(max(4.0, radius + rng.uniform(-0.2, 0.35) * length), 2)
        sections.append((radius, back, length))
        step = round(rng.uniform(1.6, 10.0), 1)
        radius = back + step if rng.random() < 0.65 or back - step < 4.0 else back - step
    return sections


def _outside(rng: random.Random, sections: list[tuple[float, float, float]], arcs: bool) -> list[Corner]:
    """Corners from the top of the front face to the top of the back face."""
    corners: list[Corner] = []
    z = 0.0
    for index, (front, back, length) in enumerate(sections):
        before = sections[index - 1][1] if index else 0.0
        after = sections[index + 1][0] if index + 1 < len(sections) else 0.0
        room = min(1.0, length / 6.0)
        corners.append(_broken(rng, Corner(z, front), front > before, room, arcs))
        if front == back and length > 9.0 and rng.random() < 0.4:
            corners.extend(_groove(rng, z, front, length, arcs))
        z = round(z - length, 4)
        last = index + 1 == len(sections)
        end = Corner(z, back, "back" if last else "outside", edge="outside")
        corners.append(_broken(rng, end, back > after, room, arcs))
    return corners


def _broken(rng: random.Random, corner: Corner, convex: bool, room: float, arcs: bool) -> Corner:
    """The corner with a chamfer, a radius or as it is; a concave one only gets a radius."""
    size = round(rng.uniform(0.2, 0.6) * room, 2)
    choice = rng.random()
    if arcs and choice < 0.35:
        return replace(corner, radius=size)
    if convex and choice < 0.75:
        return replace(corner, chamfer=size)
    return corner


def _groove(rng: random.Random, z: float, radius: float, length: float, arcs: bool) -> list[Corner]:
    """A groove in the middle of a cylinder: square, vee or round."""
    width = round(rng.uniform(1.0, min(4.0, length / 3.0)), 2)
    depth = round(rng.uniform(0.3, min(2.5, 0.2 * radius)), 2)
    start = round(z - rng.uniform(0.35, 0.5) * length, 3)
    end = round(start - width, 4)
    kind = rng.choice(("square", "vee", "round"))
    if kind == "round" and arcs:
        rise = math.sqrt((0.6 * width) ** 2 - (0.5 * width) ** 2)
        centre = Point(0.5 * (start + end), radius + rise)
        return [Corner(start, radius, centre=centre, clockwise=True), Corner(end, radius)]
    if kind == "vee":
        bottom = Corner(0.5 * (start + end), radius - depth)
        return [Corner(start, radius), bottom, Corner(end, radius)]
    floor = radius - depth
    corner = round(min(depth, width) / 5.0, 2) if arcs and rng.random() < 0.5 else 0.0
    return [
        Corner(start, radius),
        Corner(start, floor, radius=corner),
        Corner(end, floor, radius=corner),
        Corner(end, radius),
    ]


def _with_ball(outside: list[Corner]) -> list[Corner]:
    """The same part with a half ball in front of it, in place of the front face."""
    radius = outside[0].r
    moved = [
        replace(
            corner,
            z=corner.z - radius,
            centre=corner.centre and Point(corner.centre.x - radius, corner.centre.y),
        )
        for corner in outside
    ]
    tip = Corner(0.0, 0.0, centre=Point(-radius, 0.0))
    return [tip, replace(moved[0], chamfer=0.0, radius=0.0), *moved[1:]]


def _inside(rng: random.Random, kind: str, widest: float, length: float) -> list[Corner]:
    """What follows the outside: the rest of the back face, the hole or the axis, up to the front face."""
    if kind == "solid":
        return [Corner(-length, 0.0, "axis")]
    radius = round(rng.uniform(2.0, widest), 2)
    edge = round(min(0.5, 0.1 * length), 2) if rng.random() < 0.5 and radius + 0.6 < widest else 0.0
    mouth = Corner(0.0, radius, "front", chamfer=edge, edge="inside")
    back_mouth = Corner(-length, radius, "inside", chamfer=edge)
    depth = round(rng.uniform(0.2, 0.6) * length, 2)
    if kind == "bore":
        return [back_mouth, mouth]
    if kind == "stepped":
        small = round(rng.uniform(0.4, 0.8) * radius, 2)
        steps = [Corner(z, r, "inside") for z, r in ((-length, small), (-depth, small), (-depth, radius))]
        return [*steps, mouth]
    flat = rng.random() < 0.4
    tip = 0.0 if flat else min(radius / math.tan(math.radians(59.0)), 0.3 * length)
    if kind == "blind":
        floor = [Corner(-depth - tip, 0.0, "inside"), Corner(-depth, radius, "inside")]
        return [Corner(-length, 0.0, "axis"), *floor, mouth]
    return [
        back_mouth,
        Corner(-length + depth, radius, "inside"),
        Corner(-length + depth + tip, 0.0, "axis"),
    ]
