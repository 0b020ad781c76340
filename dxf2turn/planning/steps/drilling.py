"""Centre drilling and drilling: the largest drill under the bore, or the hole itself."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.planning.bench import FAR, Bench, Choice, made_step
from dxf2turn.planning.blade import blade_of, lowest_at
from dxf2turn.planning.cutting import Task, choose
from dxf2turn.planning.operations.drill import drill_cuts
from dxf2turn.planning.reamers import reaming
from dxf2turn.planning.rest import features_at, inside_rest, is_started, places
from dxf2turn.planning.steps.drill_fit import EXACT_DIAMETER, beyond_bars, hole_of, shares_its_point
from dxf2turn.planning.targets import bore_goes_on, front_bore
from dxf2turn.planning.tool_space.axes import FACE
from dxf2turn.planning.tool_space.links import approach, retract
from dxf2turn.planning.tool_space.sweep import after
from dxf2turn.planning.tools import boring_bars
from dxf2turn.shop.model import Tool
from dxf2turn.units import plain_text

FOR_REAMING = 0.05  # left on the radius at least where a reamer follows, mm
STEPS = 4  # drills of different diameters in one bore
CORE = 0.2  # stock this near to the axis shows how deep the bore is open, mm
WORTH = 20.0  # least volume that is worth a drill, mm3
WORTH_FLAT = 2.0  # and one that makes a floor flat: a bar would not get to its middle, mm3
RING = 75.0  # a ring around an open hole must be so many times as much: else it is bored
EXACT_BONUS = 1.3  # so much more counts a drill that leaves nothing to bore
SHALLOW = 1.0  # a hole less deep than this is only made with a flat drill, mm
FLAT = 0.01  # a drill so near to a floor stands on it, mm
THIN = 0.1  # half the thickness of what is worth a drill, mm


@dataclass(frozen=True, slots=True)
class Drilling:
    """A drill with the z of its tip at the bottom. exact: it makes the finished hole."""

    tool: Tool
    tip: float
    exact: bool

    @property
    def hole(self) -> BaseGeometry:
        """The hole it makes, in front of the axis, setup coordinates."""
        outline = [(self.tip + p.x, p.y) for p in self.tool.outline if p.y >= 0.0]
        deep = shapely.MultiPoint([*outline, (self.tip, 0.0)]).convex_hull
        radius = 0.5 * (self.tool.diameter_mm or 0.0)
        long = shapely.box(self.tip + self.tool.point_length, 0.0, FAR, radius)
        return shapely.union(deep, long)


def drill(bench: Bench) -> Bench:
    """The bore that opens at the front, opened up with drills; nothing when it is open already.

    First the drill that takes most, then others for what is deeper or wide enough to be worth one.
    """
    for count in range(STEPS):
        if not front_bore(bench.clamping.part) or not places(inside_rest(bench), THIN):
            return bench
        first = count == 0 and _is_closed(bench)
        best = _best(bench, first or (count == 0 and _is_too_narrow(bench)))
        if best is None:
            return bench
        for one in (*_pilots(bench, best), best) if first else (best,):
            bench = _drilled(bench, one)
    return bench


def _is_closed(bench: Bench) -> bool:
    """Whether the stock reaches the axis: a tube needs no centre hole and no pilot."""
    return bench.stock.bounds[1] < CORE


def _is_too_narrow(bench: Bench) -> bool:
    """Whether no bar gets into the hole that is open: then only a drill opens it up."""
    return not boring_bars(bench.cell.shop, float(bench.stock.bounds[1]))


def _best(bench: Bench, first: bool) -> Drilling | None:
    """The drill that takes most stock out of the bore; a finished hole counts more than a rough one."""
    rest = inside_rest(bench)
    solid = shapely.intersection(rest, shapely.box(-FAR, 0.0, FAR, CORE))
    floor = float(solid.bounds[2]) if not solid.is_empty else -FAR
    best: tuple[float, Drilling | None] = (0.0, None)
    for tool in _from_large(bench):
        if EXACT_BONUS * _most(rest, tool) <= best[0]:
            break  # No smaller one takes as much.
        found = _drilling(bench, tool, hole_of(bench, tool) is not None)
        if found is None:
            continue
        taken = turned_volume(shapely.intersection(rest, found.hole))
        deeper = found.tip < floor - SHALLOW
        worth = WORTH if first or deeper or found.exact else WORTH * RING
        if taken > (WORTH_FLAT if found.tool.kind == "flat drill" else worth):
            score = taken * (EXACT_BONUS if found.exact else 1.0)
            best = max(best, (score, found), key=lambda entry: entry[0])
    return best[1]


def _most(rest: BaseGeometry, tool: Tool) -> float:
    """Volume that a drill could take at most: all within its radius, mm3."""
    return turned_volume(
        shapely.intersection(rest, shapely.box(-FAR, 0.0, FAR, 0.5 * (tool.diameter_mm or 0.0)))
    )


def turned_volume(region: BaseGeometry) -> float:
    """Volume of a region of the half plane turned about the axis, mm3 (Pappus: 2 pi r A)."""
    return 0.0 if region.is_empty else 2.0 * math.pi * float(region.centroid.y * region.area)


def _from_large(bench: Bench) -> list[Tool]:
    """Drills that go into the bore, from large to small."""
    widest = max(s.bounds.max_y for s in front_bore(bench.clamping.part))
    tools = bench.cell.shop.tools_of("drill", "flat drill")
    fitting = [t for t in tools if (t.diameter_mm or 0.0) <= 2.0 * widest + EXACT_DIAMETER]
    return sorted(fitting, key=lambda t: -(t.diameter_mm or 0.0))


def _drilling(bench: Bench, tool: Tool, exact: bool) -> Drilling | None:
    to_size = exact or tool.kind == "flat drill" or shares_its_point(bench, tool)
    to_size = to_size or beyond_bars(bench, tool)
    for_reamer = tool.kind == "drill" and _leaves_for_reamer(bench, tool)
    leave = FOR_REAMING if for_reamer else bench.cell.practice.drilling.leave_mm
    allowance = 0.0 if to_size else leave
    tip = _deepest(bench, tool, allowance)
    if tool.kind == "flat drill" and not _meets_floor(bench, tool, tip):
        return None
    least = SHALLOW if tool.kind == "drill" else 0.0
    if tip >= -least - tool.point_length or not _turns(bench, tool):
        return None
    return Drilling(tool, tip, exact)


def _leaves_for_reamer(bench: Bench, tool: Tool) -> bool:
    """Whether the hole is reamed and this drill leaves what the reamer takes."""
    reamed = reaming(bench)
    return reamed is not None and reamed.leaves_enough(tool, bench.cell.practice.reaming)


def _meets_floor(bench: Bench, tool: Tool, z: float) -> bool:
    """Whether there is a flat floor or shoulder of the bore at z that a flat drill stands on."""
    return any(
        abs(s.start.x - z) < FLAT
        and abs(s.end.x - z) < FLAT
        and s.bounds.min_y < 0.5 * (tool.diameter_mm or 0.0)
        for s in front_bore(bench.clamping.part)
    )


def _deepest(bench: Bench, tool: Tool, allowance: float) -> float:
    """Lowest z that the tip may go to, so that `allowance` is left and no holder touches the part."""
    clamping = bench.clamping
    back = clamping.parting if clamping.parting is not None else -clamping.part.length
    past = bench.cell.practice.drilling.past_through_mm
    base = back - past - bore_goes_on(clamping.part) - tool.point_length
    lowest = max(base, -(tool.reach or 0.0), clamping.lowest_inside)
    return max(lowest, lowest_at(blade_of(tool, FACE), clamping.part.segments, allowance, 0.0))


def _turns(bench: Bench, tool: Tool) -> bool:
    """Whether the machine has the torque for a drill."""
    radius = 0.5 * (tool.diameter_mm or 0.0)
    return choose(bench.cell, tool, Task(operation=tool.kind, radius=radius)).turns


def _pilots(bench: Bench, best: Drilling) -> Iterator[Drilling]:
    """The centre hole and, for a big drill, the pilot hole."""
    diameter = best.tool.diameter_mm or 0.0
    first = diameter
    pilot = None
    if diameter >= bench.cell.practice.drilling.pilot_from_mm and best.tool.kind == "drill":
        pilot = _pilot(bench, best)
        first = pilot.tool.diameter_mm or diameter if pilot is not None else diameter
    centre = None if is_started(bench) else _centre(bench, first, best)
    if centre is not None:
        yield centre
    if pilot is not None:
        yield pilot


def _pilot(bench: Bench, best: Drilling) -> Drilling | None:
    limit = bench.cell.practice.drilling.pilot_share * (best.tool.diameter_mm or 0.0)
    tools = [
        t
        for t in bench.cell.shop.tools_of("drill")
        if (t.diameter_mm or 0.0) <= limit and (t.reach or 0.0) >= -best.tip
    ]
    tool = max(tools, key=lambda t: t.diameter_mm or 0.0, default=None)
    return None if tool is None else Drilling(tool, best.tip, False)


def _centre(bench: Bench, diameter: float, best: Drilling) -> Drilling | None:
    """A centre hole smaller than the drill, so that nothing of it stays; none where it would go too deep."""
    practice = bench.cell.practice.drilling
    largest = min(practice.countersink_share * diameter, practice.largest_centre_mm)
    tools = [
        t
        for t in bench.cell.shop.tools_of("centre drill")
        if t.insert.startswith("A") and (t.diameter_mm or 0.0) <= largest
    ]
    tool = max(tools, key=lambda t: t.diameter_mm or 0.0, default=None)
    if tool is None or best.tool.kind == "flat drill":
        return None
    depth = _countersunk(tool)
    return Drilling(tool, -depth, False) if depth < -best.tip - SHALLOW else None


def _countersunk(tool: Tool) -> float:
    """Depth at which the cone of a centre drill has the tool's nominal countersink diameter."""
    wanted = 0.5 * (tool.diameter_mm or 0.0)
    upper = sorted((p.x, p.y) for p in tool.outline if p.y >= 0.0)
    for (z0, r0), (z1, r1) in zip(upper, upper[1:]):
        if r0 < wanted <= r1:
            return z0 + (z1 - z0) * (wanted - r0) / (r1 - r0)
    return upper[-1][0]


def _drilled(bench: Bench, drilling: Drilling) -> Bench:
    tool = drilling.tool
    diameter = tool.diameter_mm or 0.0
    operation = "centre drill" if tool.kind == "centre drill" else "drill"
    choice = choose(bench.cell, tool, Task(operation=tool.kind, radius=0.5 * diameter))
    practice = bench.cell.practice.drilling
    cuts = drill_cuts(tool, _meets(bench, tool), drilling.tip, choice.feed, practice, bench.cell.clearance)
    work = bench.work(bench.clamping.part.segments)
    if not math.isfinite(cuts[0].z):
        return bench  # The hole is open already.
    way_in = approach(work, tool, cuts[0].end)
    way_out = retract(after(work, cuts, tool), tool, cuts[-1].end)
    if way_in is None or way_out is None:
        return bench
    features = features_at(bench.clamping.part, drilling.hole, ("inside",))
    why = f"{_why(bench, drilling, bool(features))}; {choice.why}"
    chosen = Choice(spindle=choice.spindle, feed=choice.feed, depth=0.5 * diameter, why=why)
    moves = (*way_in, *cuts[1:], *way_out)
    pecks = sum(1 for m in cuts if m.feed is not None)
    return bench.with_step(
        made_step(operation, tool, chosen, moves, side="inside", passes=pecks, features=features)
    )


def _meets(bench: Bench, tool: Tool) -> float:
    """z of the tip where the drill first meets stock on its way; nan where there is none.

    In a hole that is open already the flanks of the point meet it first, not the tip.
    """
    under = shapely.intersection(bench.stock, shapely.box(-FAR, 0.0, FAR, 0.5 * (tool.diameter_mm or 0.0)))
    corners = shapely.get_coordinates(under)
    flattest = min(p.x / p.y for p in tool.outline if p.y > 0.0)
    return float(max(corners[:, 0] - flattest * corners[:, 1])) if len(corners) else math.nan


def _why(bench: Bench, drilling: Drilling, to_size: bool) -> str:
    """The reason for people. to_size: the drill leaves a finished surface, if not the whole hole."""
    tool = drilling.tool
    size = plain_text(tool.diameter_mm or 0.0)
    if tool.kind == "centre drill":
        return f"centre hole {size} mm, smaller than the drill: it starts the drill on the axis (rule T18)"
    if drilling.exact:
        return f"drill {size} mm makes the hole as drawn"
    if _leaves_for_reamer(bench, tool):
        return f"drill {size} mm: leaves what the reamer takes"
    if tool.kind == "flat drill":
        return f"flat drill {size} mm: makes the flat bottom"
    if to_size:
        return f"drill {size} mm: goes to size here, no bar does"
    left = plain_text(bench.cell.practice.drilling.leave_mm)
    return f"drill {size} mm: takes most of the bore and leaves {left} mm for boring"
