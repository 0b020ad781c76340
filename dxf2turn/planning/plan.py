"""make_plan: ways to hold the work are filled with steps and compared; the quickest whole one is taken."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import shapely

from dxf2turn.contour.model import Contour, located
from dxf2turn.errors import BadOptions
from dxf2turn.features.model import TurnedPart
from dxf2turn.findings import Finding
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.options import PlanOptions
from dxf2turn.planning.bench import Bench, Cell
from dxf2turn.planning.holding.capacity import beyond_machine, cannot_hold, heavy_work
from dxf2turn.planning.leftover import left_areas, leftover_findings, with_tips
from dxf2turn.planning.measuring import measuring_list
from dxf2turn.planning.model import Plan, Setup, Step, Times
from dxf2turn.planning.placed import PlacedPart, placed
from dxf2turn.planning.stock_choice import stock_for, stock_notes
from dxf2turn.planning.turret import stationed
from dxf2turn.planning.variant import Variant, not_made, seen_from_part
from dxf2turn.planning.ways import worth_while
from dxf2turn.shop.model import Machine, Material, Shop

STEP_NUMBER = 10  # steps are numbered 10, 20, 30, ...


def make_plan(part: TurnedPart, contour: Contour, shop: Shop, options: PlanOptions) -> Plan:
    """The plan for one part.

    A plan that can't be made safely carries findings with severity STOP and has as many steps as are known
    to be good. Raises BadOptions for an unknown material or machine.
    """
    return next(make_plans(part, contour, shop, options))


def make_plans(part: TurnedPart, contour: Contour, shop: Shop, options: PlanOptions) -> Iterator[Plan]:
    """Plans for one part, the best first, at least one; the ways behind it are worked out when asked for."""
    cell = Cell(shop, _machine(shop, options.machine), _material(shop, options.material, part.material_note))
    front = placed(part, flipped=False)
    stock = stock_for(front, cell, options.stock)
    if isinstance(stock, Finding):
        yield _no_plan(cell, "", (stock,))
        return
    too_large = beyond_machine(stock, cell)
    if too_large is not None:
        yield _no_plan(cell, stock.text, (too_large,))
        return
    known: list[Variant] = []
    for found in worth_while(part, stock, cell):
        known += found
        for best in sorted(found, key=lambda way: way.rank):
            yield _plan(part, contour, cell, best, known)
    if not known:
        yield _no_plan(cell, stock.text, (cannot_hold(front, stock, cell),))


def _plan(part: TurnedPart, contour: Contour, cell: Cell, best: Variant, variants: Sequence[Variant]) -> Plan:
    last = best.benches[-1]
    here = last.clamping.part
    left = left_areas(last)
    unreached = tuple(_on_part(here, area) for area in left)
    findings = [seen_from_part(bench, f) for bench in best.benches for f in bench.findings]
    findings += stock_notes(placed(part, flipped=False), best, variants)
    findings += (*heavy_work(best.benches, cell), *not_made(best.benches))
    findings += leftover_findings(unreached, part, contour.frame)
    setups = stationed(_setups(best.benches))
    return Plan(
        machine=cell.machine,
        material=cell.material,
        stock_text=best.stock.text,
        setups=setups,
        times=best.times,
        measuring=measuring_list(part, setups),
        unreached=tuple(_on_part(here, area) for area in with_tips(left)),
        short_threads=tuple(short for bench in best.benches for short in bench.short_threads),
        alternatives=tuple((v.name, round(v.times.total_s, 1)) for v in variants),
        findings=tuple(_with_place(f, contour) for f in findings),
    )


def _on_part(here: PlacedPart, area: shapely.Polygon) -> tuple[Point, ...]:
    """The outline of an area of the last setup, on the part."""
    return tuple(Point(here.z_here(z), r) for z, r in area.exterior.coords[:-1])


def _with_place(finding: Finding, contour: Contour) -> Finding:
    """The finding with its place in the drawing, where it only knows the part's."""
    where = finding.where
    if where.z is None or where.drawing_xy is not None:
        return finding
    return replace(finding, where=located(contour.frame, where.z, where.r or 0.0, where.handles))


def _setups(benches: Sequence[Bench]) -> tuple[Setup, ...]:
    setups: list[Setup] = []
    no, flipped = 0, benches[0].clamping.part.flipped
    for number, bench in enumerate(benches, start=1):
        clamping = bench.clamping
        steps: list[Step] = [_flip_step()] if clamping.part.flipped != flipped else []
        flipped = clamping.part.flipped
        numbered = []
        for step in (*steps, *bench.steps):
            no += STEP_NUMBER
            numbered.append(replace(step, no=no))
        setups.append(
            Setup(
                no=number,
                flipped=clamping.part.flipped,
                stock=_outline(clamping.stock),
                jaws=clamping.jaws,
                support=clamping.support,
                supports=clamping.supports,
                prepare=clamping.prepare,
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
