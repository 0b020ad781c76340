"""Which tools may do a step, best first."""

from __future__ import annotations

import math
from collections.abc import Iterable

from dxf2turn.features.model import Thread
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.shop.model import Shop, Tool

STRONG = math.radians(79.0)  # a corner of at least this angle takes roughing cuts
SLIM = math.radians(56.0)  # V and D inserts
SQUARE = math.radians(
    91.0
)  # a square shoulder needs more than 90 degrees: else the whole edge rubs on it (T38)


def roughing_tools(shop: Shop) -> tuple[Tool, ...]:
    """Tools for roughing that cut a square shoulder, in the order of `ROUGHING`.

    One tool of each kind: with the nose that roughing usually has, then with the largest depth of cut.
    """
    best: dict[tuple[str, int], Tool] = {}
    for tool in shop.tools_of("turning"):
        kind = tool.hand, round(math.degrees(tool.corner_angle or 0.0))
        if _square(tool) and (kind not in best or _rough_rank(shop, tool) < _rough_rank(shop, best[kind])):
            best[kind] = tool
    return tuple(best[kind] for kind in ROUGHING if kind in best)


# Hand and corner angle of rhombic inserts (C, D, V): strong ones first; left-hand ones for shoulders that
# look to the chuck, where slimmer ones have made room.
ROUGHING = (("right", 80), ("right", 55), ("left", 55), ("right", 35))


def _rough_rank(shop: Shop, tool: Tool) -> tuple[float, float]:
    """The nose nearest to the shop's usual one for roughing first; then the largest depth of cut."""
    return (abs(tool.nose_radius - shop.practice.turning.rough_nose_mm), -(tool.max_depth or 0.0))


def _square(tool: Tool) -> bool:
    return (tool.cutting_edge_angle or 0.0) >= SQUARE


def finishing_tools(shop: Shop, part: PlacedPart, hands: tuple[str, ...] = ("right",)) -> tuple[Tool, ...]:
    """Tools for finishing: slim corners, the largest nose that the part's hollow corners allow.

    hands: which hands, in the order of preference.
    """
    smallest = smallest_hollow(part)
    found = [
        t
        for t in shop.tools_of("turning")
        if t.hand in hands
        and t.corner_angle
        and t.corner_angle < STRONG
        and (_square(t) or t.hand == "neutral")
    ]
    found.sort(
        key=lambda t: (
            t.nose_radius > smallest,
            hands.index(t.hand),
            abs(t.nose_radius - shop.practice.turning.usual_nose_mm),
            -(t.corner_angle or 0.0),
        )
    )
    return tuple(found[: 6 * len(hands)])


def slim_tools(shop: Shop) -> tuple[Tool, ...]:
    """Pointed tools for what others left: of each corner angle and hand the finest, the slimmest first."""
    found = [t for t in shop.tools_of("turning") if t.corner_angle and t.corner_angle < SLIM]
    found.sort(key=lambda t: (t.corner_angle, t.hand, -t.nose_radius))
    return tuple({(t.corner_angle, t.hand): t for t in found}.values())


def smallest_hollow(part: PlacedPart) -> float:
    """Smallest radius of a fillet on the outside, mm; inf where there is none."""
    radii = [f.radius for f in part.features if f.kind == "fillet" and f.side == "outside"]  # type: ignore[attr-defined]
    return min(radii, default=math.inf)


def grooving_tools(shop: Shop) -> tuple[Tool, ...]:
    """Blades for outside work, widest first, right hand before left."""
    return tuple(sorted(shop.tools_of("grooving"), key=lambda t: (-(t.width or 0.0), t.hand != "right")))


def inside_grooving_tools(shop: Shop) -> tuple[Tool, ...]:
    """Grooving bars, stoutest first, then widest."""
    return tuple(
        sorted(shop.tools_of("inside grooving"), key=lambda t: (-(t.bar_mm or 0.0), -(t.width or 0.0)))
    )


def face_grooving_tools(shop: Shop) -> tuple[Tool, ...]:
    """Face grooving blades, widest first."""
    return tuple(sorted(shop.tools_of("face grooving"), key=lambda t: -(t.width or 0.0)))


def parting_tools(shop: Shop, depth: float) -> tuple[Tool, ...]:
    """Parting blades that reach `depth`, not deeper than so many widths (rules T05, T52), narrowest first."""
    most = shop.practice.parting.most_widths
    fitting = [t for t in shop.tools_of("parting") if _reaches(t, depth, most)]
    return tuple(sorted(fitting, key=lambda t: t.width or 0.0))


def parting_tool(shop: Shop, depth: float) -> Tool | None:
    """The narrowest parting blade that reaches `depth`."""
    return next(iter(parting_tools(shop, depth)), None)


def _reaches(tool: Tool, depth: float, widths: float) -> bool:
    return (tool.reach or 0.0) >= depth and depth <= widths * (tool.width or 0.0)


def unique(tools: Iterable[Tool]) -> tuple[Tool, ...]:
    """Without repeats, in order."""
    return tuple(dict.fromkeys(tools))


def threading_tools(shop: Shop, thread: Thread, bore_radius: float) -> tuple[Tool, ...]:
    """Tools for a thread: its own profile before partial ones, right hand first; inside the stoutest bar."""
    kind = "inside threading" if thread.side == "inside" else "threading"
    fitting = [
        t
        for t in shop.tools_of(kind)
        if _cuts(t, thread) and (t.least_bore_mm or 0.0) <= 2.0 * bore_radius + ROUND
    ]
    fitting.sort(key=lambda t: (t.thread_profile == "partial", t.hand != "right", -(t.bar_mm or 0.0)))
    return tuple(fitting)


PROFILES = {"R": "G", "Rp": "G", "Rc": "G"}  # families that share a tooth form
ROUND = 0.001  # pitches and angles closer than this are the same, mm and radians


def _cuts(tool: Tool, thread: Thread) -> bool:
    low, high = tool.pitch_range or (0.0, 0.0)
    same_form = tool.form_angle is not None and abs(tool.form_angle - thread.form_angle) < ROUND
    profile = PROFILES.get(thread.family, thread.family)
    return (
        same_form
        and low - ROUND <= thread.pitch <= high + ROUND
        and tool.thread_profile in (profile, "partial")
    )


def boring_bars(shop: Shop, entry_radius: float, edges: bool = False) -> tuple[Tool, ...]:
    """Bars that enter the hole, the stoutest first, of equal ones the shortest.

    edges: those that only break far edges, instead of those that bore.
    """
    fitting = [
        t
        for t in shop.tools_of("boring")
        if t.edges_only == edges and (t.least_bore_mm or 0.0) <= 2.0 * entry_radius + ROUND
    ]
    fitting.sort(key=lambda t: (-(t.bar_mm or 0.0), t.overhang or 0.0, abs(t.nose_radius - 0.4)))
    return tuple(fitting)
