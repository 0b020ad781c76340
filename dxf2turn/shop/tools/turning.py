"""Outside turning tools: an ISO 1832 insert in an ISO 5608 holder.

Built for a right-hand tool (imaginary tip at 0, 0; insert and shank towards +z and +r, main cutting
edge to the left), then mirrored for the left hand.
"""

from __future__ import annotations

import math

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.shop.bodies import usual
from dxf2turn.shop.inserts import Insert, Style, core_of, insert, style
from dxf2turn.shop.model import Tool
from dxf2turn.shop.outline import Polygon, box, cut_left, flat_outline, mirrored_z, rounded
from dxf2turn.shop.schema import Turning

SEAT = usual("seat")  # the seat ends this far behind the centre of the nose, mm
HEAD = usual("head")  # length of the head in shank widths
OFFSET = usual("offset_shank")  # tip to the far side of an offset shank, in shank widths
STRAIGHT = usual("straight_shank")  # the same for a straight shank
SHANK = usual("clear_shank")  # length of the shank that is kept clear of the work, in shank widths
FAR = 1e4
ROUND_FLANK = math.radians(usual("round_flank"))  # the head of a round insert widens so on both sides


def turning_tool(entry: Turning) -> Tool:
    """The tool of an entry. Raises ValueError with a sentence for people."""
    found, holder = insert(entry.insert), style(entry.style)
    _check(found, holder, entry)
    radius = found.nose_radius
    nose = Point(radius, radius)
    main, trailing = edges(found, holder)
    core = rounded(core_of(found, nose, main, trailing))
    outline, holders = flat_outline(core, radius), _holder(entry, nose, main, trailing)
    if entry.hand == "left":
        nose, core, outline = Point(-radius, radius), mirrored_z(core), mirrored_z(outline)
        holders = tuple(mirrored_z(polygon) for polygon in holders)
    return Tool(
        id=entry.id, kind="turning", insert=entry.insert, holder_style=entry.style, nose_radius=radius,
        nose_centre=nose, core=core, outline=outline, holder=holders, hand=entry.hand,
        cutting_edge_angle=holder.cutting_edge_angle, corner_angle=found.corner_angle,
        max_depth=entry.max_depth_mm, direction="M03", material=entry.material,
        controlled="imaginary tip", note=entry.note,
    )  # fmt: skip


def edges(found: Insert, holder: Style) -> tuple[Vector, Vector]:
    """Unit directions of the main and the trailing edge away from the nose.

    The feed is -z; the main edge stands at kappa to it, the trailing edge a corner angle further on.
    A round insert has no straight edges: it gets the flanks of its head.
    """
    if found.corner_angle is None:
        upright = 0.5 * math.pi
        return Vector.from_angle(upright + ROUND_FLANK), Vector.from_angle(upright - ROUND_FLANK)
    main = math.pi - holder.cutting_edge_angle
    return Vector.from_angle(main), Vector.from_angle(main - found.corner_angle)


def behind(nose: Point, main: Vector, trailing: Vector, window: Polygon) -> Polygon:
    """The part of a convex window behind the main edge, with the seat's clearance."""
    return cut_left(window, seat_corner(nose, main, trailing), -main)


def seat_corner(nose: Point, main: Vector, trailing: Vector) -> Point:
    """The corner of the seat: `SEAT` behind both edges of the core."""
    return nose + (main + trailing) * (SEAT / math.sin(main.angle - trailing.angle))


def _holder(entry: Turning, nose: Point, main: Vector, trailing: Vector) -> tuple[Polygon, ...]:
    """Head (a wedge behind both edges) and shank."""
    width = entry.shank_mm
    right = (
        nose.x + 0.5 * width if entry.hand == "neutral" else width * (OFFSET if main.dx >= 0.0 else STRAIGHT)
    )
    left = right - width
    window_left = -FAR if main.dx >= 0.0 else left
    reached = nose.y + max(0.0, right - nose.x) * trailing.dy / trailing.dx if trailing.dx > 0.0 else 0.0
    top = max(HEAD * width, reached + 0.5 * width)
    window = cut_left(box(window_left, right, -FAR, top), seat_corner(nose, main, trailing), trailing)
    head = behind(nose, main, trailing, window)
    return rounded(head), box(left, right, top, top + SHANK * width)


def _check(found: Insert, holder: Style, entry: Turning) -> None:
    if holder.end_cutting:
        raise ValueError(
            f"style {holder.letter!r} is for facing only; side cutting styles are A B D G J L N R S T V"
        )
    if found.corner_angle is not None:
        free = math.pi - holder.cutting_edge_angle - found.corner_angle
        if free <= 0.0:
            raise ValueError(
                f"insert {entry.insert} in style {holder.letter!r}: the trailing edge would rub"
                f" ({math.degrees(free):.1f} degrees free)"
            )
    if 2.0 * found.nose_radius > entry.shank_mm:
        raise ValueError("shank_mm is smaller than the insert")
