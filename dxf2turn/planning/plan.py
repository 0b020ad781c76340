"""make_plan: the ways to hold the work are filled with steps and compared; the quickest whole one is taken."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import shapely

from dxf2turn.contour.model import Contour, located
from dxf2turn.errors import BadOptions
from dxf2turn.features.model import TurnedPart
from dxf2turn.findings import Finding, Location, Severity, stops
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.options import PlanOptions
from dxf2turn.planning.bench import Bench, Cell
from dxf2turn.planning.leftover import LIMIT, left_areas, leftover_findings
from dxf2turn.planning.model import Plan, Setup, Step, Times
from dxf2turn.planning.placed import PlacedPart, placed
from dxf2turn.planning.rest import is_corner, thickness
from dxf2turn.planning.sequence import filled
from dxf2turn.planning.setups import from_bar, from_blank, turned_over
from dxf2turn.planning.stock import FACING, Stock, choose_stock
from dxf2turn.planning.tools import parting_tools
from dxf2turn.planning.turret import stationed
from dxf2turn.planning.work import CLEARANCE
from dxf2turn.shop.model import Machine, Material, Shop

TURN_OVER_S = 60.0  # to turn the part over by hand and clamp it again, s (common practice, no source)
MISSING = 1000.0  # a feature that is not made counts as so much left-over, mm2
STEP_NUMBER = 10  # steps are numbered 10, 20, 30, ...


@dataclass(frozen=True, slots=True)
class Variant:
    """One whole way to make the part."""

    name: str
    benches: tuple[Bench, ...]
    left: float  # area that nothing cut, rounds of the nose in sharp corners not counted, mm2

    @property
    def is_left(self) -> bool:
        """Whether more than the round of a nose in sharp corners stays."""
        return self.left > 0.0

    @property
    def stopped(self) -> bool:
        return any(stops(bench.findings) for bench in self.benches)


def make_plan(part: TurnedPart, contour: Contour, shop: Shop, options: PlanOptions) -> Plan:
    """The plan for one part.

    A plan that can't be made safely carries findings with severity STOP and has as many steps as are known
    to be good. Raises BadOptions for an unknown material or machine.
    """
    cell = Cell(shop, _machine(shop, options.machine), _material(shop, options.material, part.material_note))
    front = placed(part, flipped=False)
    stock = choose_stock(front, shop, options.stock)
    if isinstance(stock, Finding):
        return _no_plan(cell, "", (stock,))
    variants = _compared(part, stock, cell)
    if not variants:
        return _no_plan(cell, stock.text, (_cannot_hold(front, stock),))
    best = min(variants, key=lambda v: (v.stopped, round(v.left), _times(v, cell.machine).total_s))
    return _plan(part, contour, cell, stock, best, variants)


def _compared(part: TurnedPart, stock: Stock, cell: Cell) -> tuple[Variant, ...]:
    """The ways that are worth working out, quickest kinds first.

    Turned from the other end, the part may do without blades. Two setups can save at most what blades take
    in one setup, and they cost the turning over: when that is more, they are not worked out. A sawn blank is
    only tried when no bar can be parted off.
    """
    sides = (placed(part, flipped=False), placed(part, flipped=True))
    found: list[Variant] = []
    for name, here in zip(("", ", back first"), sides):
        benches = _from_bar(part, here, stock, cell, 0.0)
        found += [_variant(f"one setup from bar{name}, parted off", (bench,)) for bench in benches]
        if any(_is_good(variant) for variant in found):
            return tuple(found)
    for name, here, other in (("front first", *sides), ("back first", *reversed(sides))):
        for first in _from_bar(part, here, stock, cell, FACING):
            found += _with_second(f"from bar, two setups, {name}", cell, first, other)
    if all(variant.stopped for variant in found):
        for name, here, other in (("front first", *sides), ("back first", *reversed(sides))):
            blank = from_blank(here, stock, cell.machine)
            if blank is not None:
                first = filled(cell, blank, part.limits)
                found += _with_second(f"blank, two setups, {name}", cell, first, other)
    return tuple(found)


def _is_good(variant: Variant) -> bool:
    """Whether a way in one setup leaves nothing that another way could do better."""
    return not variant.stopped and not variant.is_left and _blade_time(variant) <= TURN_OVER_S


def _from_bar(
    part: TurnedPart, here: PlacedPart, stock: Stock, cell: Cell, allowance: float
) -> tuple[Bench, ...]:
    """The setup from bar with the narrowest blade that gets through, filled; none when no blade reaches."""
    bench = None
    for blade in parting_tools(cell.shop, _parting_depth(here, stock)):
        if not _long_enough(here, stock, blade.width or 0.0):
            break
        bench = filled(cell, from_bar(here, stock, cell.machine, blade, allowance), part.limits)
        if not any(f.code.startswith("planning/parting") for f in bench.findings):
            break
    return () if bench is None else (bench,)


def _parting_depth(part: PlacedPart, stock: Stock) -> float:
    """How deep the blade has to reach: to the axis, or into the bore that comes out at the back, mm."""
    bore = min((s.start.y for s in part.run("inside")), default=0.0)
    inner = max(0.5 * stock.bore, 0.0 if part.is_solid else bore - CLEARANCE, 0.0)
    return stock.radius - inner + CLEARANCE


def _blade_time(variant: Variant) -> float:
    """Seconds that blades cut beside grooves proper: at most this could be saved by turning over."""
    return sum(s.cut_time_s for b in variant.benches for s in b.steps if s.operation == "groove")


def _long_enough(part: PlacedPart, stock: Stock, width: float) -> bool:
    return stock.length is None or stock.length >= part.length + FACING + width + FACING


def _with_second(name: str, cell: Cell, first: Bench, other: PlacedPart) -> Iterator[Variant]:
    clamping = turned_over(first.clamping, other, first.stock, cell.machine)
    if clamping is not None:
        yield _variant(name, (first, filled(cell, clamping, first.limits, first)))


def _variant(name: str, benches: tuple[Bench, ...]) -> Variant:
    profile = benches[-1].clamping.part.segments
    thick = [p.area for p in left_areas(benches[-1]) if thickness(p) > LIMIT and not is_corner(profile, p)]
    return Variant(name, benches, sum(thick) + MISSING * len(tuple(not_made(benches))))


def not_made(benches: Sequence[Bench]) -> Iterator[Finding]:
    """A finding for each thread and knurl that no step makes, with the reason where one is known."""
    last = benches[-1]
    reasons = {id: finding for bench in benches for id, finding in bench.failures}
    for feature in last.clamping.part.features:
        if feature.kind not in ("thread", "knurl") or feature.id in last.made:
            continue
        z, r = last.clamping.part.z_here(0.5 * (feature.z_front + feature.z_back)), feature.r_large
        yield reasons.get(feature.id) or Finding(
            code="planning/not-made",
            severity=Severity.STOP,
            text=f"no step makes the {feature.kind} {feature.id}: no tool gets to it in any setup",
            hint="clamp the part so that the side with the feature is free, or leave it for another machine",
            where=Location(z=z, r=r),
        )


def _plan(
    part: TurnedPart, contour: Contour, cell: Cell, stock: Stock, best: Variant, variants: Sequence[Variant]
) -> Plan:
    last = best.benches[-1]
    here = last.clamping.part
    unreached = tuple(
        tuple(Point(here.z_here(z), r) for z, r in area.exterior.coords[:-1]) for area in left_areas(last)
    )
    findings = [f for bench in best.benches for f in bench.findings]
    findings += not_made(best.benches)
    findings += leftover_findings(unreached, part.target.segments, contour.frame)
    return Plan(
        machine=cell.machine,
        material=cell.material,
        stock_text=stock.text,
        setups=stationed(_setups(best.benches)),
        times=_times(best, cell.machine),
        unreached=unreached,
        short_threads=tuple(short for bench in best.benches for short in bench.short_threads),
        alternatives=tuple((v.name, round(_times(v, cell.machine).total_s, 1)) for v in variants),
        findings=tuple(_with_place(f, contour) for f in findings),
    )


def _with_place(finding: Finding, contour: Contour) -> Finding:
    """The finding with its place in the drawing, where it only knows the part's."""
    where = finding.where
    if where.z is None or where.drawing_xy is not None:
        return finding
    return replace(finding, where=located(contour.frame, where.z, where.r or 0.0, where.handles))


def _setups(benches: Sequence[Bench]) -> tuple[Setup, ...]:
    setups: list[Setup] = []
    no = 0
    for bench in benches:
        clamping = bench.clamping
        steps: list[Step] = [_flip_step()] if clamping.no > 1 else []
        numbered = []
        for step in (*steps, *bench.steps):
            no += STEP_NUMBER
            numbered.append(replace(step, no=no))
        setups.append(
            Setup(
                no=clamping.no,
                flipped=clamping.part.flipped,
                stock=_outline(clamping.stock),
                jaws=clamping.jaws,
                support=clamping.support,
                tool_change=bench.tool_change,
                steps=tuple(numbered),
                grip=clamping.grip,
                grip_length=clamping.grip_length,
                grip_radius=clamping.grip_radius,
            )
        )
    return tuple(setups)


def _flip_step() -> Step:
    return Step(
        no=0, operation="flip", tool=None, side="end", spindle=None, feed=0.0, depth=0.0, passes=0,
        features=(), why="the other end is turned from here",
    )  # fmt: skip


def _outline(stock: shapely.Polygon) -> tuple[Segment, ...]:
    """The outer ring of the stock, counter-clockwise."""
    ring = shapely.geometry.polygon.orient(stock).exterior.coords
    points = [Point(*p) for p in ring]
    return tuple(Line(a, b) for a, b in zip(points, points[1:]))


def _times(variant: Variant, machine: Machine) -> Times:
    steps = [step for bench in variant.benches for step in bench.steps]
    cut = sum(step.cut_time_s for step in steps)
    rapid = sum(step.rapid_time_s for step in steps)
    tools = [step.tool for step in steps]
    changes = sum(a != b for a, b in zip([None, *tools], tools))
    change = changes * machine.tool_change_s + (len(variant.benches) - 1) * TURN_OVER_S
    bound = sum(bench.bound_s for bench in variant.benches)
    return Times(cut_s=cut, rapid_s=rapid, tool_change_s=change, total_s=cut + rapid + change, bound_s=bound)


def _machine(shop: Shop, name: str | None) -> Machine:
    machine = shop.machine(name)
    if machine is None:
        names = ", ".join(machine.name for machine in shop.machines)
        raise BadOptions(f"no machine is called {name!r}; the shop has {names}")
    return machine


def _material(shop: Shop, name: str | None, note: str | None) -> Material:
    """The material asked for, else the drawing's when the shop knows it, else the shop's default."""
    material = shop.material(name) if name else (shop.material(note) if note else None) or shop.material()
    if material is None:
        raise BadOptions(f"no material is called {name!r}; `dxf2turn shop` lists them")
    return material


def _no_plan(cell: Cell, text: str, findings: tuple[Finding, ...]) -> Plan:
    return Plan(
        machine=cell.machine,
        material=cell.material,
        stock_text=text,
        setups=(),
        times=Times(cut_s=0.0, rapid_s=0.0, tool_change_s=0.0, total_s=0.0, bound_s=0.0),
        findings=findings,
    )


def _cannot_hold(part: PlacedPart, stock: Stock) -> Finding:
    return Finding(
        code="planning/no-way-to-hold",
        severity=Severity.STOP,
        text=f"no way was found to hold a part of diameter {2 * part.max_radius:.3f} mm while both ends are turned",
        hint="give longer stock, or a parting blade that reaches the centre",
    )
