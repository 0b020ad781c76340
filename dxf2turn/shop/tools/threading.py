"""Outside threading tools: one tooth, symmetrical about its tip.

The controlled point is the lowest point of the tooth, in the middle of its tip flat if it has one.
"""

from __future__ import annotations

import math

from dxf2turn.geometry.point import Point
from dxf2turn.shop.bodies import usual
from dxf2turn.shop.model import Tool
from dxf2turn.shop.outline import Polygon, box, flat_outline, mirrored_z, rounded
from dxf2turn.shop.schema import ThreadForm, Threading

FLUSH = usual("tooth_flush")  # the block stands back from the tooth's left side by this, mm
SHANK = usual("clear_shank")  # length of the shank that is kept clear of the work, in shank widths
OVERLAP = usual("tooth_overlap")  # the block begins this far below the top of the tooth, mm


def threading_tool(entry: Threading) -> Tool:
    """The tool of an entry. Raises ValueError with a sentence for people."""
    core = tooth_core(entry, entry.height_mm)
    left = FLUSH - entry.half_width_mm
    start = entry.height_mm - OVERLAP
    block = box(left, left + entry.shank_mm, start, start + SHANK * entry.shank_mm)
    return Tool(
        id=entry.id, kind="threading", insert=f"{entry.profile} {entry.form_angle_deg:g} degrees",
        holder_style=None, nose_radius=entry.nose_radius_mm, nose_centre=core[0], core=core,
        outline=flat_outline(core, entry.nose_radius_mm),
        holder=(rounded(mirrored_z(block) if entry.hand == "left" else block),), hand=entry.hand,
        form_angle=math.radians(entry.form_angle_deg), pitch_range=(entry.pitch_mm[0], entry.pitch_mm[1]),
        thread_profile=entry.profile, tip_flat=entry.tip_flat_mm, controlled="tip", direction="M03",
        material=entry.material, note=entry.note,
    )  # fmt: skip


def tooth_core(form: ThreadForm, height: float) -> Polygon:
    """Core of a tooth with its tip at (0, 0), `height` high, half_width_mm to each side, corner first.

    Grown by the nose radius the flanks stand at half the form angle to the radius, tangent to the nose;
    the theoretical corner between flank and tip flat lies at half of tip_flat_mm.
    """
    radius, half = form.nose_radius_mm, 0.5 * math.radians(form.form_angle_deg)
    side = form.half_width_mm - radius
    # From the theoretical corner the nose centre is radius / tan((90 + half) / 2) inwards.
    inner = 0.5 * form.tip_flat_mm - radius / math.tan(0.25 * math.pi + 0.5 * half)
    if form.tip_flat_mm > 0.0 and inner < 0.0:
        raise ValueError("nose_radius_mm is too big for tip_flat_mm")
    centre = max(0.0, inner)
    shoulder = radius + (side - centre) / math.tan(half)
    if side <= centre:
        raise ValueError("half_width_mm is too small for the tip of the tooth")
    if shoulder >= height - radius:
        raise ValueError(
            f"the tooth is {height:g} mm high, but its flanks alone need {shoulder + radius:.2f} mm:"
            " make half_width_mm smaller or the tooth higher"
        )
    points = [Point(-centre, radius)] + ([Point(centre, radius)] if centre > 0.0 else [])
    points += [Point(side, shoulder), Point(side, height - radius)]
    points += [Point(-side, height - radius), Point(-side, shoulder)]
    return rounded(points)
