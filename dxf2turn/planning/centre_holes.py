"""Centre holes (ISO 6411) as the crib's centre drills make them.

A drawing shows a centre hole in full, or only names it at an end face (the simplified way of ISO 6411). In
both cases the target is given the hole that the centre drill of that size leaves: mouth and cone are the
drawing's, depth and point of the pilot are the tool's, for nothing runs there.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from dxf2turn.contour.model import Profile
from dxf2turn.features.model import CentreHole, TurnedPart
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.shop.model import Shop, Tool
from dxf2turn.tables import rows
from dxf2turn.units import plain_text

ON_AXIS = 1e-6  # mm
FACE_LEFT = 0.2  # so much of the end face stays around the mouth of a centre hole at least, mm
SMALLEST_OF_THE_GUIDE = 1.0  # pilot of the smallest centre hole that the guide column knows, mm
SAME_DEPTH = 0.05  # a pilot this near to the drawn depth is as drawn, mm


@dataclass(frozen=True, slots=True)
class End:
    """One end of a profile. face: index of the segment that reaches the axis or the hole's mouth there;
    hole: indices of a blind hole that starts on the axis, in the order of the profile."""

    face: int
    hole: tuple[int, ...]
    front: bool


def with_centre_holes(part: TurnedPart, shop: Shop) -> TurnedPart:
    """The part whose target has its centre holes as the crib's drills make them, and findings about it."""
    target, findings = part.target, list(part.findings)
    back_first = sorted(part.of_kind("centre_hole"), key=lambda hole: hole.side == "face")
    for hole in back_first:  # What is cut in at the front comes last in the profile.
        assert isinstance(hole, CentreHole)
        tool = drill_for(shop, hole.form, hole.size)
        if tool is None:
            findings.append(_no_drill(hole))
            continue
        end = _end(target, hole.side)
        changed = _carved(target, end, tool, hole) if end is not None else None
        findings += _told(hole, tool, changed is not None)
        target = changed or target
    if target is part.target:
        return replace(part, findings=tuple(findings)) if len(findings) > len(part.findings) else part
    return replace(part, target=target, findings=tuple(findings))


def drill_for(shop: Shop, form: str, size: str) -> Tool | None:
    """The centre drill for a size such as "2.5/5.3"."""
    name = f"{form}{size.split('/')[0]}"
    return next((tool for tool in shop.tools_of("centre drill") if tool.insert == name), None)


def size_for(diameter_mm: float) -> tuple[str, ...]:
    """Sizes of form A for a shaft diameter, the usual one first (guide column), then smaller ones.

    For ends that are too thin even for the smallest of the guide the sizes below it follow.
    """
    sizes: list[str] = []
    for row in rows("centre_holes"):
        words = row["for_shaft_diameter_mm"].split()
        if row["form"] != "A" or not (words or row.number("d_mm") < SMALLEST_OF_THE_GUIDE):
            continue
        sizes.insert(0, row["d_mm"])
        if not words:
            continue
        largest = {"up": words[-1], "over": words[-1] if len(words) > 2 else "inf"}[words[0]]
        if diameter_mm <= float(largest):
            break
    return tuple(sizes)


def outline_to(tool: Tool, radius: float) -> tuple[Point, ...]:
    """What a centre drill leaves from its tip (0, 0) to where its hole has a radius, z towards the mouth."""
    upper = sorted({p for p in tool.outline if p.y >= 0.0})
    found = [upper[0]]
    for a, b in pairwise(upper):
        if b.y < radius:
            found.append(b)
            continue
        share = (radius - a.y) / (b.y - a.y)
        return (*found, Point(a.x + share * (b.x - a.x), radius))
    return tuple(found)


def _end(profile: Profile, side: str) -> End | None:
    """The end of a profile where a hole is noted or drawn; None where a bore is open to the axis."""
    front = side == "face"
    count, roles = len(profile.segments), profile.roles
    mine = [i for i, role in enumerate(roles) if role == ("front" if front else "back")]
    if not mine:
        return None
    face = mine[0] if front else mine[-1]
    step = -1 if front else 1
    hole: list[int] = []
    at = (face + step) % count
    while roles[at] == "inside":
        hole.append(at)
        at = (at + step) % count
    if roles[at] != "axis":
        return None
    return End(face, tuple(sorted(hole)), front)


def _carved(profile: Profile, end: End, tool: Tool, hole: CentreHole) -> Profile | None:
    """The profile with the hole; None where the end face has no room or the drawn hole is another one."""
    face = profile.segments[end.face]
    mouth = (face.start if end.front else face.end) if end.hole else None
    radius = mouth.y if mouth is not None else hole.r_large
    walls = _walls(tool, radius, face.start.x if end.front else face.end.x, end.front)
    if end.hole:
        drawn = [profile.segments[i] for i in end.hole]
        if [type(wall) for wall in walls] != [type(wall) for wall in drawn]:
            return None
        return _redrawn(profile, end, walls)
    outer = face.end if end.front else face.start
    if not isinstance(face, Line) or abs(face.start.x - face.end.x) > ON_AXIS:
        return None
    return _cut_in(profile, end, walls) if outer.y >= radius + FACE_LEFT else None


def _walls(tool: Tool, radius: float, z: float, front: bool) -> tuple[Segment, ...]:
    """The walls of the hole in the order of the profile: from the axis to the mouth in front."""
    shape = _curves(tool, radius)
    deep = shape[-1].end.x
    if front:
        return tuple(_placed(wall, z - deep, 1.0) for wall in shape)
    return tuple(_placed(wall, z + deep, -1.0).reversed() for wall in reversed(shape))


def _curves(tool: Tool, radius: float) -> tuple[Segment, ...]:
    """What a centre drill leaves from its tip (0, 0) to where its hole has a radius; arcs stay arcs."""
    if tool.round_radius == 0.0:
        return tuple(Line(a, b) for a, b in pairwise(outline_to(tool, radius)))
    tip, start, end = sorted({p for p in tool.outline if p.y >= 0.0})[:3]
    centre = Point(end.x, end.y + tool.round_radius)
    across = math.sqrt(tool.round_radius**2 - (centre.y - radius) ** 2)
    return Line(tip, start), Line(start, end), Arc(end, Point(end.x + across, radius), centre, False)


def _placed(wall: Segment, z: float, way: float) -> Segment:
    """A wall moved to z along the axis, way -1: mirrored before."""
    start, end = (Point(z + way * p.x, p.y) for p in (wall.start, wall.end))
    if isinstance(wall, Line):
        return Line(start, end)
    return Arc(start, end, Point(z + way * wall.centre.x, wall.centre.y), wall.clockwise != (way < 0.0))


def _redrawn(profile: Profile, end: End, walls: tuple[Segment, ...]) -> Profile:
    """The drawn hole replaced piece by piece, the axis up to it."""
    segments = list(profile.segments)
    for index, wall in zip(end.hole, walls):
        segments[index] = replace(wall, origin=segments[index].origin)
    return replace(profile, segments=_axis_to(tuple(segments), profile.roles, walls, end.front))


def _axis_to(
    segments: tuple[Segment, ...], roles: tuple[str, ...], walls: tuple[Segment, ...], front: bool
) -> tuple[Segment, ...]:
    """The segments with the end of the axis moved to the bottom of a hole."""
    runs = [i for i, role in enumerate(roles) if role == "axis"]
    index = runs[-1] if front else runs[0]
    axis = segments[index]
    start, end = (axis.start, walls[0].start) if front else (walls[-1].end, axis.end)
    return (*segments[:index], Line(start, end, axis.origin), *segments[index + 1 :])


def _cut_in(profile: Profile, end: End, walls: tuple[Segment, ...]) -> Profile | None:
    """A hole cut into a plain end face.

    Its pieces come last (front) or between the back and the axis, so that all indices of features stay what
    they were; None where more than the axis follows the back.
    """
    segments, roles = list(profile.segments), profile.roles
    face = segments[end.face]
    start, stop = (walls[-1].end, face.end) if end.front else (face.start, walls[0].start)
    segments[end.face] = Line(start, stop, face.origin)
    cut = _axis_to(tuple(segments), roles, walls, end.front)
    more = ("inside",) * len(walls)
    if end.front:
        return replace(profile, segments=(*cut, *walls), roles=(*roles, *more))
    at = end.face + 1
    if "inside" in roles[at:]:
        return None
    return replace(profile, segments=(*cut[:at], *walls, *cut[at:]), roles=(*roles[:at], *more, *roles[at:]))


def _told(hole: CentreHole, tool: Tool, made: bool) -> Iterator[Finding]:
    deep = _curves(tool, hole.r_large)[-1].end.x
    where = Location(z=hole.z_front if hole.side == "face" else hole.z_back, r=hole.r_large)
    name = f"{hole.form}{hole.size}"
    if not made:
        yield Finding(
            code="planning/centre-hole-not-made",
            severity=Severity.FIX,
            text=f"the centre hole {name} ({hole.side}) can't be made as the drawing has it",
            hint="draw it with pilot, point and cone, or name it (ISO 6411) at a plain end face",
            where=where,
        )
    elif abs(deep - (hole.z_front - hole.z_back)) > SAME_DEPTH:
        yield Finding(
            code="planning/centre-hole-depth",
            severity=Severity.NOTE,
            text=(
                f"the centre hole {name} becomes {plain_text(deep, 1)} mm deep with the crib's drill "
                f"{tool.insert}; its mouth is as drawn"
            ),
            hint="nothing has to be done: the centre runs on the cone, not in the pilot hole",
            where=where,
            measured=deep,
        )


def _no_drill(hole: CentreHole) -> Finding:
    return Finding(
        code="planning/no-centre-drill",
        severity=Severity.FIX,
        text=f"the crib has no centre drill for {hole.form}{hole.size}",
        hint="add it to centre_drill in tools.toml, or name a size of the crib on the drawing",
        where=Location(z=hole.z_front if hole.side == "face" else hole.z_back, r=hole.r_large),
    )
