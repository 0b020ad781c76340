"""Bars for inside work: boring, inside grooving, inside threading.

Built like an outside tool (tip at 0, 0, everything towards +z and +r), then mirrored at the axis so that
the bar lies below the tip. The bar's axis is `offset_mm` from the tip; it sticks out `overhang_mm` of its
sleeve.
"""

from __future__ import annotations

import math
from typing import Any

from dxf2turn.geometry.point import Point
from dxf2turn.shop.bodies import usual
from dxf2turn.shop.inserts import Insert, core_of, insert, style
from dxf2turn.shop.model import Tool
from dxf2turn.shop.outline import Polygon, box, flat_outline, mirrored_r, rounded
from dxf2turn.shop.schema import Bar, Boring, InsideGrooving, InsideThreading
from dxf2turn.shop.tools.blades import blade_core
from dxf2turn.shop.tools.threading import tooth_core
from dxf2turn.shop.tools.turning import FAR, behind, edges

SLEEVE_WALL = usual("sleeve_wall")  # the sleeve is this much larger than its bar on each side, mm
SLEEVE_LENGTH = usual("sleeve_length")  # of the sleeve that is kept clear of the work, mm
FLUSH = usual("bar_flush")  # the bar's end stands back from the cutting part by this, mm
ROOT = usual("bar_root")  # a blade is sunk into its bar by this, so that both overlap, mm
MODULUS = {name: usual(f"modulus_{name}") for name in ("steel", "carbide", "damped")}  # Young's, N/mm2


def boring_bar(entry: Boring) -> Tool:
    """The tool of an entry. Raises ValueError with a sentence for people."""
    found, holder = _insert(entry), style(entry.style)
    assert found.corner_angle is not None
    if math.pi - holder.cutting_edge_angle - found.corner_angle <= 0.0:
        raise ValueError(f"insert and style {entry.style!r} do not fit: the trailing edge would rub")
    nose = Point(found.nose_radius, found.nose_radius)
    main, trailing = edges(found, holder)
    core = rounded(core_of(found, nose, main, trailing))
    # Behind the main edge only: the bar lies lower than the trailing edge near the tip.
    low, high = entry.offset_mm - 0.5 * entry.bar_mm, entry.offset_mm + 0.5 * entry.bar_mm
    bar = behind(nose, main, trailing, box(-FAR, entry.overhang_mm, low, high))
    return Tool(
        kind="boring", insert=found.designation, holder_style=entry.style, nose_radius=found.nose_radius,
        nose_centre=Point(nose.x, -nose.y), core=mirrored_r(core),
        outline=mirrored_r(flat_outline(core, found.nose_radius)), holder=_below(entry, bar),
        cutting_edge_angle=holder.cutting_edge_angle, corner_angle=found.corner_angle,
        max_depth=entry.max_depth_mm, controlled="imaginary tip", reach=entry.overhang_mm,
        edges_only=entry.edges_only, **_common(entry),
    )  # fmt: skip


def inside_grooving_tool(entry: InsideGrooving) -> Tool:
    """The tool of an entry: the blade's left corner is the controlled point."""
    radius = entry.corner_radius_mm
    low, high = entry.offset_mm - 0.5 * entry.bar_mm, entry.offset_mm + 0.5 * entry.bar_mm
    core = blade_core(entry.width_mm, radius, low + ROOT)
    bar = box(FLUSH, entry.overhang_mm, low, high)
    return Tool(
        kind="inside grooving", insert=f"blade {entry.width_mm:g} R{radius:g}", holder_style=None,
        nose_radius=radius, nose_centre=Point(radius, -radius), core=mirrored_r(core),
        outline=mirrored_r(flat_outline(core, radius)), holder=_below(entry, bar), width=entry.width_mm,
        controlled="left corner", reach=entry.reach_mm, **_common(entry),
    )  # fmt: skip


def inside_threading_tool(entry: InsideThreading) -> Tool:
    """The tool of an entry: the tip is the controlled point."""
    low, high = entry.offset_mm - 0.5 * entry.bar_mm, entry.offset_mm + 0.5 * entry.bar_mm
    core = tooth_core(entry, low + ROOT)
    bar = box(FLUSH - entry.half_width_mm, entry.overhang_mm, low, high)
    return Tool(
        kind="inside threading", insert=f"{entry.profile} {entry.form_angle_deg:g} degrees",
        holder_style=None,
        nose_radius=entry.nose_radius_mm, nose_centre=Point(core[0].x, -core[0].y), core=mirrored_r(core),
        outline=mirrored_r(flat_outline(core, entry.nose_radius_mm)), holder=_below(entry, bar),
        form_angle=math.radians(entry.form_angle_deg), pitch_range=(entry.pitch_mm[0], entry.pitch_mm[1]),
        thread_profile=entry.profile, tip_flat=entry.tip_flat_mm, controlled="tip",
        reach=entry.overhang_mm, **_common(entry),
    )  # fmt: skip


def _insert(entry: Boring) -> Insert:
    """The ISO insert or the ground tip."""
    if entry.insert is not None:
        found = insert(entry.insert)
        if found.corner_angle is None:
            raise ValueError(f"{entry.insert}: round inserts are not offered in boring bars")
        return found
    assert entry.corner_angle_deg and entry.inscribed_circle_mm and entry.nose_radius_mm
    angle, circle, radius = entry.corner_angle_deg, entry.inscribed_circle_mm, entry.nose_radius_mm
    if 2.0 * radius >= circle:
        raise ValueError("nose_radius_mm is too big for inscribed_circle_mm")
    return Insert(f"ground {angle:g} degrees R{radius:g}", "C", math.radians(angle), circle, radius)


def _below(entry: Bar, bar: Polygon) -> tuple[Polygon, ...]:
    """Bar and sleeve, mirrored to below the tip."""
    low = entry.offset_mm - 0.5 * entry.bar_mm - SLEEVE_WALL
    high = entry.offset_mm + 0.5 * entry.bar_mm + SLEEVE_WALL
    sleeve = box(entry.overhang_mm, entry.overhang_mm + SLEEVE_LENGTH, low, high)
    return rounded(mirrored_r(bar)), mirrored_r(sleeve)


def _common(entry: Bar) -> dict[str, Any]:
    return {
        "id": entry.id,
        "hand": "right",
        "direction": "M03",
        "material": entry.material,
        "note": entry.note,
        "least_bore_mm": entry.least_bore_mm,
        "overhang": entry.overhang_mm,
        "bar_mm": entry.bar_mm,
        "bar_modulus": MODULUS[entry.bar_material],
    }
