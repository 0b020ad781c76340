"""The form of a groove: square, vee, round, angled or undercut, by the angles of its walls and its floor."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from dxf2turn.features.outline import Outline
from dxf2turn.features.rules import Rules
from dxf2turn.geometry.point import Vector
from dxf2turn.geometry.segment import Arc, Line, Segment


@dataclass(frozen=True, slots=True)
class Form:
    """corner_radius: of the floor corners (the larger one), or of the floor of a round groove.
    is_pocket: has a floor, two walls (the shoulder is one) or a round, and the walls are steep."""

    form: str
    corner_radius: float
    overhangs: bool
    is_pocket: bool


@dataclass(frozen=True, slots=True)
class _Parts:
    """What a pocket is made of, seen in the direction in which it opens."""

    segments: list[Segment]
    walls: list[Line]
    arcs: list[Arc]
    width: float
    floor: float
    low_lean: float  # of the piece at the low mouth edge; 0 upright, pi/2 flat
    square: Vector  # out of the groove and square to its mouth
    shoulder: Segment | None = None  # the wall that goes on above the mouth


def form_of(outline: Outline, core: tuple[int, ...], up: Vector, shoulder: int, depth: float) -> Form:
    """The form of a pocket's segments (without edge breaks) that opens towards `up`.

    depth: of the pocket. shoulder: +1 when the shoulder face behind the last segment is its wall, -1 for the
    first, 0 for none.
    """
    rules = outline.rules
    parts = _parts(rules, [outline.segment(index) for index in core], (up, shoulder, depth))
    parts = replace(parts, shoulder=_shoulder(outline, core, shoulder))
    radius = max((arc.radius for arc in parts.arcs), default=0.0)
    undercut = bool(shoulder) and radius >= rules.undercut_radius * depth and _leaves_flat(rules, parts)
    name = "undercut" if undercut else _name(rules, parts, up, shoulder)
    along = up.left
    overhangs = any((s.end - s.start).dot(along) < -outline.tolerances.gap for s in parts.segments)
    walls = [*parts.walls, *([parts.shoulder] if parts.shoulder is not None else [])]
    steep = all(_lean(wall, up) <= rules.pocket_wall for wall in walls)
    wide_floor = parts.floor >= rules.wide_floor * parts.width
    is_pocket = (
        undercut or wide_floor or (steep and (len(walls) > 1 or bool(parts.arcs) or parts.floor > 0.0))
    )
    return Form(name, radius, overhangs, is_pocket)


def _parts(rules: Rules, segments: list[Segment], about: tuple[Vector, int, float]) -> _Parts:
    """A nearly flat line is floor, unless it climbs a good part of the depth: then it is a wall (a barb)."""
    up, shoulder, depth = about
    lines = [s for s in segments if isinstance(s, Line)]
    low = segments[-1] if shoulder < 0 else segments[0]
    square = up if shoulder else _square_to_mouth(segments, up)
    climb = rules.floor_rise * depth
    floors = [line for line in lines if any(_lies_flat(rules, line, to, climb) for to in (up, square))]
    return _Parts(
        segments,
        [line for line in lines if line not in floors],
        [s for s in segments if isinstance(s, Arc)],
        abs((segments[-1].end - segments[0].start).dot(up.left)),
        sum(line.length for line in floors),
        _lean(low, up),
        square,
    )


def _lies_flat(rules: Rules, line: Line, up: Vector, climb: float) -> bool:
    flat = math.pi / 2 - rules.flat_floor
    return _lean(line, up) > flat and abs((line.end - line.start).dot(up)) <= climb


def _square_to_mouth(segments: list[Segment], up: Vector) -> Vector:
    """The direction out of a groove that is cut into a taper, where its mouth leans; else about `up`."""
    mouth = (segments[-1].end - segments[0].start).unit()
    return up if mouth is None else mouth.left if mouth.left.dot(up) > 0.0 else -mouth.left


def _shoulder(outline: Outline, core: tuple[int, ...], shoulder: int) -> Segment | None:
    """The wall beside the pocket that goes on above its mouth."""
    index = {1: outline.after(core[-1]), -1: outline.before(core[0])}.get(shoulder)
    return None if index is None else outline.segment(index)


def _leaves_flat(rules: Rules, parts: _Parts) -> bool:
    """An undercut leaves the cylinder at a shallow angle, but at one."""
    return math.pi / 2 - rules.shallow <= parts.low_lean <= math.pi / 2 - rules.corner


def _name(rules: Rules, parts: _Parts, up: Vector, shoulder: int) -> str:
    rounded = sum(abs((arc.end - arc.start).dot(up.left)) for arc in parts.arcs)
    walls: list[Segment] = [*parts.walls, *([parts.shoulder] if parts.shoulder is not None else [])]
    inclined = [wall for wall in walls if _lean(wall, up) > rules.square_wall]
    even = any(_are_even(rules, inclined, about) for about in (up, parts.square))
    inclined += _curved_walls(rules, parts, up)
    if even and parts.floor + rounded <= rules.vee_floor * parts.width:
        return "vee"
    if parts.arcs and parts.floor <= rules.round_floor * parts.width and not shoulder:
        return "round"
    return "angled" if inclined or not parts.floor else "square"


def _are_even(rules: Rules, walls: list[Segment], up: Vector) -> bool:
    leans = [_lean(wall, up) for wall in walls]
    return len(leans) >= 2 and max(leans) - min(leans) <= rules.even_walls


def _curved_walls(rules: Rules, parts: _Parts, up: Vector) -> list[Segment]:
    """Arcs at the mouth that never stand upright: a wall that is a large radius."""
    ends = {0: 0.0, len(parts.segments) - 1: 1.0}
    found: list[Segment] = []
    for place, at in ends.items():
        arc = parts.segments[place]
        if isinstance(arc, Arc) and math.acos(min(1.0, abs(arc.tangent_at(at).dot(up)))) > rules.square_wall:
            found.append(arc)
    return found


def _lean(segment: Segment, up: Vector) -> float:
    """Angle between a line and the opening direction, 0 (upright wall) to pi/2 (floor); 0 for an arc."""
    if not isinstance(segment, Line):
        return 0.0
    return math.acos(min(1.0, abs(segment.tangent_at(0.5).dot(up))))
