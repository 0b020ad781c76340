"""Drilled holes: a plain inside cylinder with the cone of a drill point, or a long plain through hole."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from dxf2turn.features.model import Hole
from dxf2turn.features.outline import Outline, spread
from dxf2turn.geometry.segment import Line


def find_holes(outline: Outline) -> Iterator[Hole]:
    """Blind holes with a point on the axis, and through holes of one diameter that are long for it."""
    for index in outline.profile.run("inside"):
        hollow = outline.is_axial(index) and outline.faces_axis(index)
        if hollow and outline.whole_cylinder(index)[0] == index:
            hole = _pointed(outline, index) or _through(outline, index)
            if hole is not None:
                yield hole


def _pointed(outline: Outline, wall: int) -> Hole | None:
    walls = outline.whole_cylinder(wall)
    for cone in (outline.before(walls[0]), outline.after(walls[-1])):
        if cone is None or not _is_point(outline, cone):
            continue
        line = outline.segment(cone)
        steep = math.atan2(abs(line.end.y - line.start.y), abs(line.end.x - line.start.x))
        depth = sum(outline.segment(index).length for index in walls) + _mouth(outline, walls, cone)
        return _hole(outline, (cone, *walls), depth, 2.0 * steep)
    return None


def _mouth(outline: Outline, walls: tuple[int, ...], cone: int) -> float:
    """Axial extent of the edge break between the wall and an end face: a depth counts from the face."""
    at_start = outline.before(walls[0]) == cone
    step = outline.after if at_start else outline.before
    edge = step(walls[-1] if at_start else walls[0])
    if edge is None or outline.role(edge) != "inside" or outline.is_radial(edge):
        return 0.0
    beyond = step(edge)
    if beyond is not None and outline.role(beyond) == "inside":
        return 0.0
    box = outline.segment(edge).bounds
    return box.max_x - box.min_x


def _is_point(outline: Outline, cone: int) -> bool:
    """A cone down to the axis with the angle of a drill point."""
    line = outline.segment(cone)
    if outline.role(cone) != "inside" or not isinstance(line, Line):
        return False
    if min(line.start.y, line.end.y) > outline.tolerances.gap:
        return False
    full = 2.0 * math.atan2(abs(line.end.y - line.start.y), abs(line.end.x - line.start.x))
    return outline.rules.point_least <= full <= outline.rules.point_most


def _through(outline: Outline, wall: int) -> Hole | None:
    """The only cylinder of a bore that reaches through, when it is long for its diameter."""
    inside = outline.profile.run("inside")
    cylinders = tuple(index for index in inside if outline.is_axial(index))
    if outline.profile.is_solid or cylinders != outline.whole_cylinder(wall):
        return None
    hole = _hole(outline, cylinders, 0.0, math.pi)
    length = hole.z_front - hole.z_back
    if length <= outline.rules.drilled_length * hole.diameter_mm or length < 0.8 * outline.profile.length:
        return None
    return replace(hole, depth=length, through=True)


def _hole(outline: Outline, segments: tuple[int, ...], depth: float, point_angle: float) -> Hole:
    """A blind hole of some segments, as wide as they are."""
    z_front, z_back, r_small, r_large = spread(outline, segments)
    return Hole(
        id="",
        side="inside",
        z_front=z_front,
        z_back=z_back,
        r_small=r_small,
        r_large=r_large,
        segments=tuple(sorted(segments)),
        diameter_mm=2.0 * r_large,
        depth=depth,
        point_angle=point_angle,
        through=False,
    )
