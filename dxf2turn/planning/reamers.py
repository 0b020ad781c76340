"""Which hole is reamed: a small H7 through hole for which the crib has the reamer."""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.features.model import Bore, Hole
from dxf2turn.planning.bench import Bench
from dxf2turn.planning.blade import blade_of, lowest_at
from dxf2turn.planning.fits import carrier
from dxf2turn.planning.targets import front_bore
from dxf2turn.planning.tool_space.axes import FACE
from dxf2turn.shop.model import Tool
from dxf2turn.shop.practice import ReamingPractice

PAST = 0.15  # how far the reamer's full diameter goes past a through hole, mm
ROUND = 0.001  # sizes closer than this are the same, mm


@dataclass(frozen=True, slots=True)
class Reaming:
    """A hole and its reamer; tip: lowest z that the reamer's end may go to."""

    feature: Hole | Bore
    tool: Tool
    tip: float

    def leaves_enough(self, drill: Tool, practice: ReamingPractice) -> bool:
        """Whether a drill leaves what the reamer takes."""
        left = self.feature.diameter_mm - (drill.diameter_mm or 0.0)
        return practice.least_mm <= left <= practice.most_mm


def reaming(bench: Bench) -> Reaming | None:
    """The reaming of the bore that opens at the front; None when it has no such hole."""
    part = bench.clamping.part
    mine = {id(segment) for segment in front_bore(part)}
    largest = bench.cell.practice.reaming.largest_mm
    for limits in bench.limits:
        if limits.what != "diameter" or limits.grade != 7 or limits.lower != 0.0 or limits.nominal > largest:
            continue
        span = sorted((part.z_here(limits.z_front), part.z_here(limits.z_back)))
        feature = carrier(part.features, limits, (span[0], span[1]))
        if not isinstance(feature, Hole | Bore) or feature.id in bench.finished:
            continue
        if not any(id(part.segments[i]) in mine for i in feature.segments):
            continue
        for tool in bench.cell.shop.tools_of("reamer"):
            if abs((tool.diameter_mm or 0.0) - limits.nominal) < ROUND and tool.insert.endswith("H7"):
                tip = _lowest(bench, tool)
                if tip <= feature.z_back - tool.point_length:
                    return Reaming(feature, tool, tip)
    return None


def _lowest(bench: Bench, tool: Tool) -> float:
    """Lowest z that the end of a reamer may go to: its lead past the hole, never into the part."""
    past = -bench.clamping.part.length - tool.point_length - PAST
    low = lowest_at(blade_of(tool, FACE), bench.clamping.part.segments, 0.0, 0.0)
    return max(past, low, -(tool.reach or 0.0))
