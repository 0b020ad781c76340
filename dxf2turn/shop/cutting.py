"""Speed, feed and depth for an operation, a tool and a work material, out of the shop's cutting table.

The table gives ranges; what a plan starts from is chosen by the shop's practice
(`practice.toml`). Limits
of the machine (power, torque, slides) and of a slender part come on top: `forces.py`, `bending.py`.
"""

from __future__ import annotations

from collections.abc import Mapping

from dxf2turn.errors import BadShopData
from dxf2turn.shop.model import CuttingData, CuttingRow, Material, Shop, Tool
from dxf2turn.shop.practice import CuttingPractice, DrillingPractice, Practice
from dxf2turn.shop.roughness import feed_for

# The table's word for the operations of a plan, and the word that stands in where a row is missing.
WORDS: Mapping[str, str] = {
    "face": "face rough",
    "finish face": "face finish",
    "rough turn": "rough",
    "finish turn": "finish",
    "part off": "part",
    "bore": "bore rough",
    "finish bore": "bore finish",
    "inside groove": "groove",
    "face groove": "groove",
    "inside thread": "thread",
    "flat drill": "drill",
    "reamer": "ream",
}
STAND_INS: Mapping[str, str] = {
    "face rough": "rough",
    "face finish": "finish",
    "bore rough": "rough",
    "bore finish": "finish",
    "centre drill": "drill",
    "ream": "drill",
    "tap": "thread",
    "groove": "rough",
    "part": "groove",
    "thread": "groove",
}
OTHER_MATERIAL: Mapping[str, str] = {"carbide": "HSS", "HSS": "carbide"}


def cutting_data(shop: Shop, operation: str, tool: Tool, material: Material) -> CuttingData:
    """What a plan starts from. feed is 0 for threads and taps (it is the lead); depth 0 where none applies.

    operation: a word of the plan ("rough turn") or of the table ("rough"). Raises BadShopData when the table
    has no row that could stand in.
    """
    row, note = _row(shop, WORDS.get(operation, operation), tool.material, material.speed_class)
    return CuttingData(
        speed_m_per_min=_at(row.speed_m_per_min, shop.practice.cutting.start_share),
        feed_mm_per_rev=_feed(row, tool, shop.practice),
        depth=_depth(row, tool, shop.practice.cutting),
        source=row.source + note,
        speed_range=row.speed_m_per_min,
        feed_range=row.feed_mm_per_rev,
        depth_range=row.depth,
    )


def finishing_feed(data: CuttingData, tool: Tool, ra_um: float | None, practice: CuttingPractice) -> float:
    """Feed in mm/rev for a finishing cut: the table's, lowered where the roughness asks for it.

    ra_um: the roughness asked for, None = none. The feed goes below the table's range when it must.
    """
    if ra_um is None or tool.nose_radius == 0.0:
        return data.feed_mm_per_rev
    asked = feed_for(ra_um / practice.roughness_factor, tool.nose_radius)
    most = data.feed_range[1] if data.feed_range else data.feed_mm_per_rev
    return min(asked, most, practice.nose_share * tool.nose_radius)


def drill_feed(diameter_mm: float, practice: DrillingPractice) -> float:
    """Feed of a drill in mm/rev by its diameter."""
    return min(practice.feed_share * diameter_mm, practice.feed_most_mm_per_rev)


def _row(shop: Shop, operation: str, tool_material: str, speed_class: str) -> tuple[CuttingRow, str]:
    """The row, and a note for its source when another one stands in.

    First another operation with the same tool material, then the other tool material.
    """
    found = {(r.operation, r.tool_material): r for r in shop.cutting if r.speed_class == speed_class}
    for kind in (tool_material, OTHER_MATERIAL.get(tool_material, tool_material)):
        word: str | None = operation
        while word is not None:
            if (word, kind) in found:
                same = (word, kind) == (operation, tool_material)
                note = "" if same else f"; no row for {operation}: {word} with {kind} stands in"
                return found[word, kind], note
            word = STAND_INS.get(word)
    raise BadShopData(
        f"materials.toml: table cutting: no row for speed_class {speed_class!r}, operation {operation!r},"
        f" tool {tool_material!r}"
    )


def _feed(row: CuttingRow, tool: Tool, practice: Practice) -> float:
    """Feed by kind of tool, mm/rev."""
    cutting, drilled = practice.cutting, drill_feed(tool.diameter_mm or 0.0, practice.drilling)
    if tool.kind in ("threading", "inside threading", "tap"):
        return 0.0
    if tool.kind in ("drill", "flat drill"):
        return drilled
    if tool.kind == "reamer":
        return practice.reaming.feed_share * drilled
    if tool.kind == "centre drill":
        return practice.drilling.centre_feed_share * drilled
    feed = _at(row.feed_mm_per_rev, cutting.start_share) if row.feed_mm_per_rev else 0.0
    if tool.width is not None and tool.kind != "knurl":
        return min(feed, cutting.blade_feed_share * tool.width)
    return min(feed, cutting.nose_share * tool.nose_radius) if tool.nose_radius else feed


def _depth(row: CuttingRow, tool: Tool, practice: CuttingPractice) -> float:
    """Depth of cut on the radius: roughing the largest, finishing the middle, never above the tool's."""
    if tool.kind in ("drill", "flat drill", "reamer", "centre drill"):
        return 0.5 * (tool.diameter_mm or 0.0)
    if tool.width is not None:
        return practice.blade_depth_share * tool.width if tool.kind != "knurl" else 0.0
    if row.depth is None:
        return 0.0
    depth = _at(row.depth, practice.start_share if "finish" in row.operation else 1.0)
    return min(depth, tool.max_depth) if tool.max_depth is not None else depth


def _at(pair: tuple[float, float], share: float) -> float:
    return pair[0] + (pair[1] - pair[0]) * share
