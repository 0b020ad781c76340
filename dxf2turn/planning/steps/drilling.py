"""Centre drilling and drilling: the largest drill under the bore, or the hole itself."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.features.model import Bore, Hole, Thread
from dxf2turn.geometry.segment import Line
from dxf2turn.planning.axes import FACE
from dxf2turn.planning.bench import FAR, Bench, Choice, made_step
from dxf2turn.planning.blade import blade_of, lowest_at
from dxf2turn.planning.cutting import Task, choose
from dxf2turn.planning.leftover import UNDER_THREAD
from dxf2turn.planning.links import approach, retract
from dxf2turn.planning.operations.drill import drill_cuts
from dxf2turn.planning.reamers import reaming
from dxf2turn.planning.rest import inside_rest, is_started, places
from dxf2turn.planning.sweep import after
from dxf2turn.planning.targets import bore_goes_on, front_bore
from dxf2turn.planning.tools import boring_bars
from dxf2turn.shop.forces import drilling_torque, torque_at
from dxf2turn.shop.model import Tool
from dxf2turn.units import plain_text

FOR_REAMING = 0.05  # left on the radius at least where a reamer follows, mm
BEYOND = 0.5  # the full diameter goes so far behind the part when the hole is through, mm
EXACT_DIAMETER = 0.011  # a drill makes a hole whose diameter it has within this, mm
EXACT_ANGLE = math.radians(2.5)  # and whose point it has within this
COUNTERSINK = 0.8  # largest diameter of the centre hole, share of the drill's
LARGEST_CENTRE = 6.7  # a centre hole only starts the drill: no larger than this, mm (A 3.15)
DEEP_BORE = 4.0  # a bore deeper than so many diameters is beyond a bar of its size (rule T14)
STEPS = 4  # drills of different diameters in one bore
CORE = 0.2  # stock this near to the axis shows how deep the bore is open, mm
WORTH = 20.0  # least volume that is worth a drill, mm3
WORTH_FLAT = 2.0  # and one that makes a floor flat: a bar would not get to its middle, mm3
RING = 75.0  # a ring around an open hole must be so many times as much: else it is bored
EXACT_BONUS = 1.3  # so much more counts a drill that leaves nothing to bore
SHALLOW = 1.0  # a hole less deep than this is only made with a flat drill, mm
FLAT = 0.01  # a drill so near to a floor stands on it, mm
CONE_SHARE = 0.5  # a cone that begins below this share of a drill's diameter is for its point
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
        best = _best(bench, first=count == 0)
        if best is None:
            return bench
        for one in (*_pilots(bench, best), best) if count == 0 else (best,):
            bench = _drilled(bench, one)
    return bench


def _best(bench: Bench, first: bool) -> Drilling | None:
    """The drill that takes most stock out of the bore; a finished hole counts more than a rough one."""
    rest = inside_rest(bench)
    solid = shapely.intersection(rest, shapely.box(-FAR, 0.0, FAR, CORE))
    floor = float(solid.bounds[2]) if not solid.is_empty else -FAR
    scored = []
    for found in _possible(bench):
        taken = turned_volume(shapely.intersection(rest, found.hole))
        deeper = found.tip < floor - SHALLOW
        worth = WORTH if first or deeper or found.exact else WORTH * RING
        if taken > (WORTH_FLAT if found.tool.kind == "flat drill" else worth):
            scored.append((taken * (EXACT_BONUS if found.exact else 1.0), found))
    return max(scored, key=lambda entry: entry[0], default=(0.0, None))[1]


def turned_volume(region: BaseGeometry) -> float:
    """Volume of a region of the half plane turned about the axis, mm3 (Pappus: 2 pi r A)."""
    return 0.0 if region.is_empty else 2.0 * math.pi * float(region.centroid.y * region.area)


def _possible(bench: Bench) -> Iterator[Drilling]:
    """What each drill could do, from large to small."""
    widest = max(s.bounds.max_y for s in front_bore(bench.clamping.part))
    for tool in _from_large(bench, widest):
        found = _drilling(bench, tool, _hole_of(bench, tool) is not None)
        if found is not None:
            yield found


def _from_large(bench: Bench, radius: float) -> list[Tool]:
    tools = bench.cell.shop.tools_of("drill", "flat drill")
    fitting = [t for t in tools if (t.diameter_mm or 0.0) <= 2.0 * radius + EXACT_DIAMETER]
    return sorted(fitting, key=lambda t: -(t.diameter_mm or 0.0))


def _drilling(bench: Bench, tool: Tool, exact: bool) -> Drilling | None:
    to_size = exact or tool.kind == "flat drill" or _shares_its_point(bench, tool)
    to_size = to_size or _beyond_bars(bench, tool)
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


def _hole_of(bench: Bench, tool: Tool) -> Hole | Bore | None:
    """The hole of the part that a drill makes as drawn: size, point and accuracy are a drill's.

    A bore counts as one when it is too deep for a boring bar of its size (rule T14).
    """
    diameter, least_ra = tool.diameter_mm or 0.0, bench.cell.practice.drilling.least_ra_um
    for feature in bench.clamping.part.features:
        if not isinstance(feature, Hole | Bore) or not _makes(bench, feature, diameter):
            continue
        rough = feature.roughness_ra_um is None or feature.roughness_ra_um > least_ra
        if (
            rough
            and _ends_alike(bench, feature, tool)
            and not _fine(bench, feature)
            and _opens_here(bench, feature)
        ):
            return feature
    return None


def _makes(bench: Bench, feature: Hole | Bore, diameter: float) -> bool:
    """Whether a drill makes the target's diameter; under a thread, with its wide limits, less will do."""
    part = bench.clamping.part
    walls = [2.0 * s.start.y for s in (part.segments[i] for i in feature.segments) if s.start.y == s.end.y]
    size = walls[0] if walls else feature.diameter_mm
    thread = _thread_in(bench, feature)
    under = EXACT_DIAMETER if thread is None else max(EXACT_DIAMETER, UNDER_THREAD * thread.pitch)
    return -EXACT_DIAMETER <= size - diameter <= under


def _thread_in(bench: Bench, feature: Hole | Bore) -> Thread | None:
    """The thread that is cut into a hole."""
    threads = (f for f in bench.clamping.part.features if isinstance(f, Thread))
    return next((f for f in threads if set(f.segments) & set(feature.segments)), None)


def _ends_alike(bench: Bench, feature: Hole | Bore, tool: Tool) -> bool:
    """Whether the drill leaves the end as drawn; a hole for a thread that comes out at the back has none."""
    through = front_bore(bench.clamping.part)[0].start.y > 0.0
    threaded = through and tool.kind == "drill" and _thread_in(bench, feature) is not None
    return threaded or _same_end(feature, tool)


def _same_end(feature: Hole | Bore, tool: Tool) -> bool:
    """Whether the end of a hole is what the drill leaves: its own point, or none in a through hole."""
    if isinstance(feature, Bore):
        return -feature.z_back > DEEP_BORE * feature.diameter_mm and tool.kind == "drill"
    return feature.through or abs(feature.point_angle - (tool.point_angle or 0.0)) < EXACT_ANGLE


def _shares_its_point(bench: Bench, tool: Tool) -> bool:
    """Whether the bore has a cone like the drill's point, wider than the drill: then it goes to that cone.

    Only the wall beside it is bored.
    """
    wall = 2.0 * bench.cell.practice.drilling.leave_mm
    half = 0.5 * (tool.point_angle or 0.0)
    diameter = tool.diameter_mm or 0.0
    return any(
        isinstance(s, Line)
        and diameter < 2.0 * s.bounds.max_y - wall + EXACT_DIAMETER
        and s.bounds.min_y < CONE_SHARE * diameter
        and abs(math.atan2(s.end.y - s.start.y, s.end.x - s.start.x) - half) < 0.5 * EXACT_ANGLE
        for s in front_bore(bench.clamping.part)
    )


def _beyond_bars(bench: Bench, tool: Tool) -> bool:
    """Whether a drill is nearly as wide as a bore that no bar reaches to the end of."""
    wall = 2.0 * bench.cell.practice.drilling.leave_mm
    return any(
        isinstance(f, Hole | Bore)
        and -EXACT_DIAMETER <= f.diameter_mm - (tool.diameter_mm or 0.0) < wall
        and _opens_here(bench, f)
        and all((t.overhang or 0.0) < -f.z_back for t in boring_bars(bench.cell.shop, 0.5 * f.diameter_mm))
        for f in bench.clamping.part.features
    )


def _fine(bench: Bench, hole: Hole | Bore) -> bool:
    """Whether the drawing asks for a closer diameter than a drill makes."""
    return any(
        limit.what == "diameter"
        and limit.grade is not None
        and limit.grade < bench.cell.practice.drilling.least_grade
        and abs(2.0 * limit.r - hole.diameter_mm) < EXACT_DIAMETER
        for limit in bench.limits
    )


def _opens_here(bench: Bench, hole: Hole | Bore) -> bool:
    """Whether the hole belongs to the bore that opens at this setup's front."""
    part = bench.clamping.part
    mine = {id(s) for s in front_bore(part)}
    return any(id(part.segments[index]) in mine for index in hole.segments)


def _deepest(bench: Bench, tool: Tool, allowance: float) -> float:
    """Lowest z that the tip may go to, so that `allowance` is left and no holder touches the part."""
    clamping = bench.clamping
    back = clamping.parting if clamping.parting is not None else -clamping.part.length
    base = back - BEYOND - bore_goes_on(clamping.part) - tool.point_length
    lowest = max(base, -(tool.reach or 0.0))
    return max(lowest, lowest_at(blade_of(tool, FACE), clamping.part.segments, allowance, 0.0))


def _turns(bench: Bench, tool: Tool) -> bool:
    """Whether the machine has the torque for a drill."""
    machine = bench.cell.machine
    choice = choose(bench.cell, tool, Task(operation=tool.kind, radius=0.5 * (tool.diameter_mm or 0.0)))
    torque = drilling_torque(
        bench.cell.material, tool.diameter_mm or 0.0, choice.feed, tool.point_angle or math.pi
    )
    return torque <= torque_at(machine, choice.spindle.value)


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
    tools = [
        t
        for t in bench.cell.shop.tools_of("centre drill")
        if t.insert.startswith("A") and (t.diameter_mm or 0.0) <= min(COUNTERSINK * diameter, LARGEST_CENTRE)
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
    cuts = drill_cuts(tool, _meets(bench, tool), drilling.tip, choice.feed, practice)
    work = bench.work(bench.clamping.part.segments)
    if not math.isfinite(cuts[0].z):
        return bench  # The hole is open already.
    way_in = approach(work, tool, cuts[0].end)
    way_out = retract(after(work, cuts, tool), tool, cuts[-1].end)
    if way_in is None or way_out is None:
        return bench
    features = tuple(
        f.id
        for f in bench.clamping.part.features
        if isinstance(f, Hole | Bore) and drilling.exact and f is _hole_of(bench, tool)
    )
    why = f"{_why(bench, drilling)}; {choice.why}"
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


def _why(bench: Bench, drilling: Drilling) -> str:
    tool = drilling.tool
    size = plain_text(tool.diameter_mm or 0.0)
    if tool.kind == "centre drill":
        return f"centre hole {size} mm, smaller than the drill: it starts the drill on the axis (rule T18)"
    if drilling.exact:
        return f"drill {size} mm makes the hole as drawn"
    if _leaves_for_reamer(bench, tool):
        return f"drill {size} mm: leaves what the reamer takes"
    left = plain_text(bench.cell.practice.drilling.leave_mm)
    return f"drill {size} mm: takes most of the bore and leaves {left} mm for boring"
