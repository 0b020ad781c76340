"""Tools on the axis: centre drills, drills, reamers, taps; and the knurling wheel.

Symmetrical about the axis, tip at (0, 0), body towards +z. Beyond the reach stands the chuck or sleeve.
"""

from __future__ import annotations

import math

from dxf2turn.geometry.point import ORIGIN, Point
from dxf2turn.shop.bodies import usual
from dxf2turn.shop.model import Tool
from dxf2turn.shop.outline import OUTLINE_SAGITTA, Polygon, box, rounded
from dxf2turn.shop.schema import AxisTool, CentreDrill, Drill, FlatDrill, Knurl, Reamer, Tap

CHUCK_LENGTH = usual("drill_chuck_length")  # of the drill chuck that is kept clear of the work, mm
CHUCK_LEAST = usual("drill_chuck_least")  # diameter of the chuck for small tools, mm
CHUCK_MORE = usual("drill_chuck_more")  # a larger tool's sleeve is this much larger than the tool, mm
CENTRE_BODY = usual("centre_drill_body")  # a centre drill stands out of its chuck by this many body diameters
CONE = math.radians(60.0)  # included angle of a centre hole, ISO 6411
PROTECTION = math.radians(120.0)  # included angle of the protecting cone of form B, ISO 6411
PILOT_POINT = math.radians(usual("pilot_point"))  # point angle of a centre drill's pilot
PILOT_LENGTH = usual("pilot_length")  # length of a centre drill's pilot in pilot diameters
TAP_END = usual("tap_end")  # a tap's end is smaller than its size by so many pitches
WHEEL_HEIGHT = usual("wheel_height")  # of a knurling wheel above its lowest point, mm
FORK = usual("fork")  # the fork is this much wider than its wheel on each side, mm
FORK_HEIGHT = usual("fork_height")  # of the fork that is kept clear of the work, mm


def drill_tool(entry: Drill) -> Tool:
    """A twist drill."""
    point = 0.5 * entry.diameter_mm / math.tan(0.5 * math.radians(entry.point_angle_deg))
    return _axis_tool(entry, "drill", point, math.radians(entry.point_angle_deg))


def flat_drill_tool(entry: FlatDrill) -> Tool:
    """A drill that leaves a flat bottom."""
    return _axis_tool(entry, "flat drill", 0.0, math.pi, end=entry.diameter_mm)


def reamer_tool(entry: Reamer) -> Tool:
    """A machine reamer with a short 45 degree lead; `insert` names the hole it leaves."""
    if entry.lead_mm >= 0.5 * entry.diameter_mm:
        raise ValueError("lead_mm is more than half of diameter_mm")
    return _axis_tool(entry, "reamer", entry.lead_mm, None, end=entry.diameter_mm - 2.0 * entry.lead_mm)


def tap_tool(entry: Tap) -> Tool:
    """A machine tap; `insert` names the thread, hand its direction."""
    end = entry.diameter_mm - TAP_END * entry.pitch_mm
    if end <= 0.0:
        raise ValueError("pitch_mm is too big for diameter_mm")
    return _axis_tool(entry, "tap", entry.lead_pitches * entry.pitch_mm, None, end=end)


def centre_drill_tool(entry: CentreDrill) -> Tool:
    """A centre drill: pilot, 60 degree cone or the arc of form R, body. It is not convex."""
    if entry.protected_from_mm is not None and entry.round_mm is not None:
        raise ValueError("protected_from_mm makes it form B and round_mm form R: leave one of them out")
    pilot = 0.5 * entry.pilot_mm
    start, cone = pilot / math.tan(0.5 * PILOT_POINT), PILOT_LENGTH * entry.pilot_mm
    form, widening = _cone(entry, cone) if entry.round_mm is None else _trumpet(entry, cone, entry.round_mm)
    full, body = widening[-1]
    length = full + CENTRE_BODY * entry.body_mm
    outline = _both_sides([ORIGIN, Point(start, pilot), Point(cone, pilot), *widening, Point(length, body)])
    name = f"{entry.pilot_mm:g}" if entry.number is None else f"#{entry.number}"
    return Tool(
        id=entry.id, kind="centre drill", insert=f"{form}{name}", holder_style=None,
        nose_radius=0.0, nose_centre=ORIGIN, core=outline, outline=outline,
        holder=(_chuck(length, entry.body_mm),),
        hand="neutral", controlled="tip", reach=full, diameter_mm=entry.diameter_mm, point_angle=PILOT_POINT,
        point_length=start, direction="M03", material=entry.material, note=entry.note,
        round_radius=entry.round_mm or 0.0,
    )  # fmt: skip


def _cone(entry: CentreDrill, z: float) -> tuple[str, list[Point]]:
    """Form A or B: the corners between the pilot, which ends at z, and the body."""
    pilot, body = 0.5 * entry.pilot_mm, 0.5 * entry.body_mm
    protected = 0.5 * (entry.protected_from_mm or entry.body_mm)
    if not pilot < protected <= body:
        raise ValueError("pilot_mm must be smaller than body_mm, with protected_from_mm between them")
    wide = z + (protected - pilot) / math.tan(0.5 * CONE)
    full = Point(wide + (body - protected) / math.tan(0.5 * PROTECTION), body)
    return ("A" if entry.protected_from_mm is None else "B"), [
        *([Point(wide, protected)] if protected < body else []),
        full,
    ]


def _trumpet(entry: CentreDrill, z: float, radius: float) -> tuple[str, list[Point]]:
    """Form R: an arc that leaves the pilot, which ends at z, smoothly; as tangents, so never too large."""
    pilot, body = 0.5 * entry.pilot_mm, 0.5 * entry.body_mm
    if not pilot < body < pilot + radius:
        raise ValueError("body_mm must be larger than pilot_mm, by less than twice round_mm")
    turn = math.acos(1.0 - (body - pilot) / radius)
    count = math.ceil(0.5 * turn / math.acos(radius / (radius + OUTLINE_SAGITTA)))
    half = 0.5 * turn / count
    out = radius / math.cos(half)
    angles = [(2 * i + 1) * half for i in range(count)]
    corners = [Point(z + out * math.sin(a), pilot + radius - out * math.cos(a)) for a in angles]
    return "R", [*corners, Point(z + radius * math.sin(turn), body)]


def knurl_tool(entry: Knurl) -> Tool:
    """A knurling wheel, left corner controlled; `insert` is form and pitch."""
    wheel = box(0.0, entry.width_mm, 0.0, WHEEL_HEIGHT)
    fork = box(-FORK, entry.width_mm + FORK, 0.5 * WHEEL_HEIGHT, FORK_HEIGHT)
    return Tool(
        id=entry.id, kind="knurl", insert=f"{entry.form} {entry.pitch_mm:g}", holder_style=None,
        nose_radius=0.0, nose_centre=ORIGIN, core=wheel, outline=wheel, holder=(fork,), width=entry.width_mm,
        hand="neutral", controlled="left corner", pitch_range=(entry.pitch_mm, entry.pitch_mm),
        direction="M03", material=entry.material, note=entry.note,
    )  # fmt: skip


def _axis_tool(entry: AxisTool, kind: str, point: float, point_angle: float | None, end: float = 0.0) -> Tool:
    """point: length along z to the full diameter; end: diameter at the very tip."""
    radius = 0.5 * entry.diameter_mm
    upper = [Point(0.0, 0.5 * end), Point(point, radius), Point(entry.reach_mm, radius)]
    outline = _both_sides(upper if end > 0.0 else [ORIGIN, *upper[1:]])
    return Tool(
        id=entry.id, kind=kind, insert=_designation(entry), holder_style=None, nose_radius=0.0,
        nose_centre=ORIGIN, core=outline, outline=outline,
        holder=(_chuck(entry.reach_mm, entry.diameter_mm),), hand=getattr(entry, "hand", "right"),
        controlled="tip", reach=entry.reach_mm,
        diameter_mm=entry.diameter_mm, point_angle=point_angle, point_length=point,
        pitch_range=(entry.pitch_mm, entry.pitch_mm) if isinstance(entry, Tap) else None,
        direction="M03", material=entry.material, note=entry.note,
    )  # fmt: skip


def _designation(entry: AxisTool) -> str:
    if isinstance(entry, Tap):
        return entry.thread
    if isinstance(entry, Reamer):
        return f"{entry.diameter_mm:g} {entry.grade}"
    return f"{entry.diameter_mm:g}"


def _both_sides(upper: list[Point]) -> Polygon:
    """Upper half from the tip to the back, mirrored: counter-clockwise."""
    lower = [Point(p.x, -p.y) for p in upper]
    return rounded([*(p for p in lower if p != ORIGIN), *reversed(upper)])


def _chuck(start: float, diameter: float) -> Polygon:
    radius = 0.5 * max(CHUCK_LEAST, diameter + CHUCK_MORE)
    return box(start, start + CHUCK_LENGTH, -radius, radius)
