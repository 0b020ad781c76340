"""What the shop has, as tables for the screen and as a document."""

from __future__ import annotations

import json
from typing import Any

from dxf2turn.output.json_geometry import value
from dxf2turn.output.text_table import columns
from dxf2turn.output.wording import Wording, degrees, one_line
from dxf2turn.shop.model import Machine, Material, Shop, Tool
from dxf2turn.units import Unit, plain_text

FORMAT = "dxf2turn-shop/1"


def render_text(shop: Shop, unit: Unit) -> str:
    """Machines, tools, materials, bars and tube; * marks what is taken when nothing is asked for."""
    w = Wording(unit)
    bars = ", ".join(w.short(size) for size in shop.bar_diameters_mm)
    blocks = [
        ["Machines", *columns([_MACHINE_HEADS, *(_machine(shop, item, w) for item in shop.machines)])],
        ["Tools", *columns([_tool_heads(w), *(_tool(item, w) for item in shop.tools)])],
        ["Materials", *columns([_MATERIAL_HEADS, *(_material(shop, item) for item in shop.materials)])],
        [f"Round bars, diameter in {w.unit_word}", bars],
        *_tubes(shop, w),
    ]
    return "\n\n".join("\n".join(block) for block in blocks) + "\n"


def _tubes(shop: Shop, w: Wording) -> list[list[str]]:
    """The block of the tubes; none where the shop has no tube."""
    if not shop.tubes_mm:
        return []
    groups = ", ".join(shop.tube_groups) or "none"
    head = f"Tube, outside diameter x bore in {w.unit_word}, in ISO 513 {groups}"
    return [[head, ", ".join(f"{w.short(outside)} x {w.short(bore)}" for outside, bore in shop.tubes_mm)]]


_MACHINE_HEADS = (
    "", "name", "kW", "rev/min", "swing", "length", "jaws", "jaws inside", "mandrel", "stations", "tailstock",
    "steady",
)  # fmt: skip


def _machine(shop: Shop, machine: Machine, w: Wording) -> tuple[str, ...]:
    return (
        "*" if machine.name == shop.default_machine else "",
        machine.name,
        plain_text(machine.power_kw, 1),
        f"{machine.min_rpm:.0f} to {machine.max_rpm:.0f}",
        w.size(machine.max_swing_mm),
        w.size(machine.max_length_mm),
        _range(machine.grip_mm, w),
        _range(machine.inside_grip_mm, w),
        _range(machine.mandrel_mm, w),
        str(machine.stations),
        "yes" if machine.tailstock else "no",
        "yes" if machine.steady else "no",
    )


def _range(sizes: tuple[float, float] | None, w: Wording) -> str:
    """Least and largest diameter; "no" where the machine has no such thing."""
    return "no" if sizes is None else f"{w.short(sizes[0])} to {w.short(sizes[1])}"


def _tool_heads(w: Wording) -> tuple[str, ...]:
    return (
        "id",
        "kind",
        "hand",
        "insert or size",
        "holder",
        f"nose R {w.unit_word}",
        "width",
        "edge",
        "reach",
    )


def _tool(tool: Tool, w: Wording) -> tuple[str, ...]:
    size = tool.width if tool.width is not None else tool.diameter_mm
    return (
        tool.id,
        tool.kind,
        tool.hand,
        one_line(tool.insert),
        tool.holder_style or "",
        w.short(tool.nose_radius) if tool.nose_radius else "",
        w.short(size) if size else "",
        degrees(tool.cutting_edge_angle) if tool.cutting_edge_angle is not None else "",
        w.short(tool.reach) if tool.reach else "",
    )


_MATERIAL_HEADS = ("", "name", "ISO 513", "kg/m3", "kc1.1 N/mm2", "mc", "description", "also")


def _material(shop: Shop, material: Material) -> tuple[str, ...]:
    return (
        "*" if material.name == shop.default_material else "",
        material.name,
        material.group,
        plain_text(material.density, 0),
        plain_text(material.kc11, 0),
        plain_text(material.mc, 3),
        one_line(material.description),
        ", ".join(material.also),
    )


def render_json(shop: Shop) -> str:
    """The shop as a document; mm, kW, rev/min, kg/m3, N/mm2, degrees."""
    content: dict[str, Any] = {
        "format": FORMAT,
        "default_machine": shop.default_machine,
        "default_material": shop.default_material,
        "machines": [_machine_values(item) for item in shop.machines],
        "tools": [_tool_values(item) for item in shop.tools],
        "materials": [_material_values(item) for item in shop.materials],
        "bar_diameters_mm": list(shop.bar_diameters_mm),
        "tubes_mm": [list(tube) for tube in shop.tubes_mm],
        "tube_groups": list(shop.tube_groups),
    }
    return json.dumps(content, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def _machine_values(machine: Machine) -> dict[str, Any]:
    return {
        "name": machine.name,
        "power_kw": value(machine.power_kw),
        "min_rpm": value(machine.min_rpm),
        "max_rpm": value(machine.max_rpm),
        "max_swing_mm": value(machine.max_swing_mm),
        "max_length_mm": value(machine.max_length_mm),
        "spindle_bore_mm": value(machine.spindle_bore_mm),
        "grip_mm": list(machine.grip_mm),
        "inside_grip_mm": machine.inside_grip_mm and list(machine.inside_grip_mm),
        "mandrel_mm": machine.mandrel_mm and list(machine.mandrel_mm),
        "stations": machine.stations,
        "tailstock": machine.tailstock,
        "steady": machine.steady,
        "source": machine.source,
    }


def _tool_values(tool: Tool) -> dict[str, Any]:
    return {
        "id": tool.id,
        "kind": tool.kind,
        "hand": tool.hand,
        "insert": tool.insert,
        "holder_style": tool.holder_style,
        "nose_radius_mm": value(tool.nose_radius),
        "width_mm": value(tool.width),
        "diameter_mm": value(tool.diameter_mm),
        "reach_mm": value(tool.reach),
        "least_bore_mm": value(tool.least_bore_mm),
    }


def _material_values(material: Material) -> dict[str, Any]:
    return {
        "name": material.name,
        "also": list(material.also),
        "group": material.group,
        "description": material.description,
        "density_kg_per_m3": value(material.density),
        "kc11_n_per_mm2": value(material.kc11),
        "mc": value(material.mc),
        "source": material.source,
    }
