"""Blades for outside work: grooving, parting, face grooving. Two corners of one radius.

The controlled point of a grooving or parting blade is its left corner (towards the chuck): the blade covers
z from 0 to its width. That of a face grooving blade is its lower corner (towards the axis).
"""

from __future__ import annotations

from dxf2turn.geometry.point import Point
from dxf2turn.shop.bodies import usual
from dxf2turn.shop.model import Tool
from dxf2turn.shop.outline import Polygon, box, flat_outline, mirrored_z, rounded
from dxf2turn.shop.schema import FaceGrooving, Grooving

TIP_HEIGHT = usual("tip_height")  # height of the cutting part of a deep blade, mm
SUPPORT_START = usual("support_start")  # the support begins this far below the top of the cutting part, mm
SUPPORT_SHARE = usual("support_share")  # narrower than the blade on each side, share of its width
ROUND_TIPS = usual("round_tips")  # the cutting part is at least this many corner radii high
BEYOND = usual("beyond_reach")  # the block starts this far beyond the reach, mm
SHANK = usual("clear_shank")  # length of the shank that is kept clear of the work, in shank widths


def grooving_tool(entry: Grooving) -> Tool:
    """A grooving blade."""
    return _outside(entry, "grooving")


def parting_tool(entry: Grooving) -> Tool:
    """A parting blade."""
    return _outside(entry, "parting")


def face_grooving_tool(entry: FaceGrooving) -> Tool:
    """A face grooving blade: cuts towards -z; the lower corner is the controlled point."""
    radius, width = entry.corner_radius_mm, entry.width_mm
    tip = _tip_height(entry.reach_mm, entry.corner_radius_mm)
    core = _turned(blade_core(width, radius, tip))
    inset = SUPPORT_SHARE * width
    block_start = entry.reach_mm + BEYOND
    support = box(tip - SUPPORT_START, block_start, inset, width - inset)
    block = box(block_start, block_start + entry.shank_mm, inset, inset + SHANK * entry.shank_mm)
    return Tool(
        id=entry.id, kind="face grooving", insert=f"blade {width:g} R{radius:g}", holder_style=None,
        nose_radius=radius, nose_centre=Point(radius, radius), core=core, outline=flat_outline(core, radius),
        holder=(rounded(support), block), width=width, controlled="lower corner", reach=entry.reach_mm,
        direction="M03", material=entry.material, note=entry.note,
        first_groove_mm=(entry.first_groove_mm[0], entry.first_groove_mm[1]),
    )  # fmt: skip


def blade_core(width: float, radius: float, height: float) -> Polygon:
    """Core of a blade that covers z 0..width and r 0..height: left corner first, counter-clockwise.

    A full-radius blade (radius = half the width) has a core of two points.
    """
    if 2.0 * radius >= width:
        return (Point(radius, radius), Point(radius, height - radius))
    return rounded(box(radius, width - radius, radius, height - radius))


def _outside(entry: Grooving, kind: str) -> Tool:
    radius, width = entry.corner_radius_mm, entry.width_mm
    core = blade_core(width, radius, _tip_height(entry.reach_mm, entry.corner_radius_mm))
    outline, holder = flat_outline(core, radius), _holder(entry)
    controlled = "left corner"
    if entry.hand == "left":
        # The blade still covers z 0..width: both hands are programmed alike, only the shank is on the left.
        holder = tuple(_other_hand(polygon, width) for polygon in holder)
    return Tool(
        id=entry.id, kind=kind, insert=f"blade {width:g} R{radius:g}", holder_style=None, nose_radius=radius,
        nose_centre=Point(radius, radius), core=core, outline=outline, holder=holder, width=width,
        hand=entry.hand, controlled=controlled, reach=entry.reach_mm, direction="M03",
        material=entry.material, note=entry.note or "controlled point: left corner of the blade",
    )  # fmt: skip


def _holder(entry: Grooving) -> tuple[Polygon, ...]:
    """Support behind the cutting part and the block it stands in; flush with the blade on the left."""
    width, inset = entry.width_mm, SUPPORT_SHARE * entry.width_mm
    block_start = entry.reach_mm + BEYOND
    support = box(
        inset, width - inset, _tip_height(entry.reach_mm, entry.corner_radius_mm) - SUPPORT_START, block_start
    )
    block = box(inset, inset + entry.shank_mm, block_start, block_start + SHANK * entry.shank_mm)
    return rounded(support), rounded(block)


def _tip_height(reach: float, radius: float) -> float:
    return max(min(TIP_HEIGHT, reach + SUPPORT_START), ROUND_TIPS * radius)


def _other_hand(polygon: Polygon, width: float) -> Polygon:
    return rounded([Point(p.x + width, p.y) for p in mirrored_z(polygon)])


def _turned(polygon: Polygon) -> Polygon:
    """z and r exchanged, still counter-clockwise, the controlled corner still first."""
    swapped = [Point(p.y, p.x) for p in polygon]
    return (swapped[0], *reversed(swapped[1:]))
