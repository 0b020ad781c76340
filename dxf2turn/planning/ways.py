"""The ways to make a part: how it may be held, filled with steps; quickest kinds first."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from dxf2turn.features.model import TurnedPart
from dxf2turn.findings import Finding, Location, Severity, stops
from dxf2turn.planning.bench import Bench, Cell
from dxf2turn.planning.chains import Job, needs_support, strain, supported
from dxf2turn.planning.clamping import Clamping
from dxf2turn.planning.free_end import slender_end
from dxf2turn.planning.leftover import LIMIT, left_areas, thread_over
from dxf2turn.planning.model import Times
from dxf2turn.planning.placed import PlacedPart, placed
from dxf2turn.planning.rest import is_corner, thickness
from dxf2turn.planning.seats import seat_plans
from dxf2turn.planning.sequence import filled
from dxf2turn.planning.setups import from_bar, from_blank, turned_over
from dxf2turn.planning.stock import Stock
from dxf2turn.planning.targets import is_pointed
from dxf2turn.planning.tools import parting_tools
from dxf2turn.planning.work import CLEARANCE

Held = tuple[str, tuple[Bench, ...]]  # how long work is held, in words, and the benches

MISSING = 1000.0  # a feature that is not made counts as so much left-over, mm2


@dataclass(frozen=True, slots=True)
class Variant:
    """One whole way to make the part."""

    name: str
    stock: Stock
    benches: tuple[Bench, ...]
    left: float  # area that nothing cut, rounds of the nose in sharp corners not counted, mm2
    times: Times

    @property
    def is_left(self) -> bool:
        """Whether more than the round of a nose in sharp corners stays."""
        return self.left > 0.0

    @property
    def is_supported(self) -> bool:
        """Whether tailstock or steady help somewhere."""
        return any(bench.clamping.support != "none" for bench in self.benches)

    @property
    def strain(self) -> int:
        """0 when every setup holds by the rule, 1 when some light work stands out too far, else 2."""
        return max(strain(bench.clamping) for bench in self.benches)

    @property
    def stopped(self) -> bool:
        return any(stops(bench.findings) for bench in self.benches)


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be made of what, where. plain: without tailstock, even where too much stands out."""

    part: TurnedPart
    stock: Stock
    cell: Cell
    plain: bool = False

    @property
    def sides(self) -> tuple[PlacedPart, PlacedPart]:
        return placed(self.part, flipped=False), placed(self.part, flipped=True)

    def ends(self, back_first: bool) -> tuple[PlacedPart, PlacedPart]:
        """The part as the end that is turned first sees it, and as the other."""
        return self.sides[::-1] if back_first else self.sides


def worth_while(part: TurnedPart, stock: Stock, cell: Cell) -> Iterator[list[Variant]]:
    """Ways in groups: first those that are worth comparing, then what else may be tried when these fail.

    Turned from the other end, the part may do without blades. Two setups can save at most what blades take
    in one setup, and they cost the turning over: when that is more, they are not worked out. A sawn blank is
    only tried when no bar can be parted off. Long work without support is one way to compare with; the
    others without support are only worked out when the tailstock leaves something.
    """
    order = Order(part, stock, cell)
    ways = _bar_ways(order)
    found: list[Variant] = []
    for way in ways:
        found.append(way)
        if _is_good(way):
            break
    by_blank = all(way.stopped for way in found)
    found += _blank_ways(order) if by_blank else ()
    if any(map(_is_long, found)) and all(way.stopped or way.is_left or way.strain > 1 for way in found):
        found += _plain_ways(order, found)
    yield found
    rest = list(ways)
    yield rest
    if not by_blank:
        yield list(_blank_ways(order))
    if any(map(_is_long, found)):
        yield list(_plain_ways(order, [*found, *rest]))


def _is_long(variant: Variant) -> bool:
    """Whether the tailstock comes in, or should."""
    return variant.is_supported or variant.strain > 0


def _plain_ways(order: Order, known: Sequence[Variant]) -> Iterator[Variant]:
    """The ways without support that are not known yet."""
    names = {way.name for way in known}
    return (way for way in _bar_ways(replace(order, plain=True)) if way.name not in names)


def _bar_ways(order: Order) -> Iterator[Variant]:
    """In one setup from either end, then in two; long work with the tailstock."""
    for kind in (_in_one, _in_two):
        for back_first in (False, True):
            yield from kind(order, back_first)


def _in_one(order: Order, back_first: bool) -> Iterator[Variant]:
    """Turned from one end and parted off; the other end is only turned as far as this end's tools reach."""
    here, _ = order.ends(back_first)
    if is_pointed(here):
        return
    found = [*_from_bar(order, here, 0.0)]
    if not back_first and any(len(benches) > 1 for _, benches in found):
        # One without support to compare with.
        found = [*_from_bar(replace(order, plain=True), here, 0.0), *found]
    for held, benches in found:
        way = f"from {order.stock.name}" if len(benches) > 1 else f"one setup from {order.stock.name}"
        end = ", back first" if back_first else ""
        yield _variant(order, f"{way}{end}, parted off{held}", benches)


def _in_two(order: Order, back_first: bool) -> Iterator[Variant]:
    """One end turned and parted off, then the other."""
    here, other = order.ends(back_first)
    for held, benches in _first_of_two(order, here, other):
        name = f"from {order.stock.name}, two setups, {_first(back_first)}{held}"
        yield from _with_second(name, order, benches, other)


def _first(back_first: bool) -> str:
    return "back first" if back_first else "front first"


def _first_of_two(order: Order, here: PlacedPart, other: PlacedPart) -> Iterator[Held]:
    """The first end of two, parted off with an allowance; with more where the other end needs a stub."""
    face = order.cell.practice.stock.face_mm
    blade = next(iter(parting_tools(order.cell.shop, _parting_depth(here, order.stock))), None)
    if blade is None:
        return
    first = from_bar(here, order.stock, order.cell, blade, face)
    second = turned_over(first, other, first.stock, order.cell)
    more = 0.0
    if second is not None and needs_support(_weighed(order, second)) and not order.plain:
        more = max((seat.more for seat in seat_plans(other, order.cell)), default=0.0)
    yield from _from_bar(order, here, face + more)


def _blank_ways(order: Order) -> Iterator[Variant]:
    for back_first in (False, True):
        yield from _from_blank(order, back_first)


def _from_blank(order: Order, back_first: bool) -> Iterator[Variant]:
    """A sawn piece turned from one end, then from the other; nothing is parted off."""
    here, other = order.ends(back_first)
    blank = from_blank(here, order.stock, order.cell)
    if blank is not None:
        held, benches = _held(order, blank)
        name = f"blank of {order.stock.name}, two setups, {_first(back_first)}{held}"
        yield from _with_second(name, order, benches, other)


def _held(order: Order, clamping: Clamping, before: Bench | None = None) -> Held:
    """The setup filled; where too much stands out of the jaws a chain of setups with the tailstock."""
    cell, limits = order.cell, order.part.limits
    clamping = _weighed(order, clamping)
    if not needs_support(clamping):
        return "", (filled(cell, clamping, limits, before),)
    if order.plain:
        return ", without support", (filled(cell, clamping, limits, before),)
    made = supported(Job(clamping, cell, limits, before, _spare(order, clamping) if before is None else 0.0))
    if isinstance(made, Finding):
        told = replace(clamping, findings=(*clamping.findings, made))
        return ", without support", (filled(cell, told, limits, before),)
    return ", with tailstock", made


def _spare(order: Order, clamping: Clamping) -> float:
    """Length of the stock beyond what a first clamping takes of it, mm."""
    back, _, front, _ = clamping.stock.bounds
    return math.inf if order.stock.length is None else order.stock.length - (front - back)


def _weighed(order: Order, clamping: Clamping) -> Clamping:
    """The clamping with what its bending asks for, where the rule of diameters asks for nothing."""
    if needs_support(clamping):
        return clamping
    more = tuple(slender_end(clamping, order.cell, order.part.limits))
    return replace(clamping, findings=(*clamping.findings, *more)) if more else clamping


def _is_good(variant: Variant) -> bool:
    """Whether a way in one setup leaves nothing that another way could do better."""
    turn_over = variant.benches[0].cell.practice.holding.turn_over_s
    fine = not variant.stopped and not variant.is_left and variant.strain == 0
    ends = {bench.clamping.part.flipped for bench in variant.benches}
    if len(ends) > 1 and variant.is_supported:
        return False  # From the other end it may do without support.
    return fine and _blade_time(variant) <= turn_over


def _from_bar(order: Order, here: PlacedPart, allowance: float) -> Iterator[Held]:
    """The setup from bar with the narrowest blade that gets through, filled; none when no blade reaches."""
    found: Held | None = None
    for blade in parting_tools(order.cell.shop, _parting_depth(here, order.stock)):
        if not _long_enough(here, order.stock, blade.width or 0.0, order.cell):
            break
        found = _held(order, from_bar(here, order.stock, order.cell, blade, allowance))
        if not any(f.code.startswith("planning/parting") for bench in found[1] for f in bench.findings):
            break
    if found is not None:
        yield found


def _parting_depth(part: PlacedPart, stock: Stock) -> float:
    """How deep the blade has to reach: to the axis, or into the bore that comes out at the back, mm."""
    bore = min((s.start.y for s in part.run("inside")), default=0.0)
    inner = max(0.5 * stock.bore, 0.0 if part.is_solid else bore - CLEARANCE, 0.0)
    return stock.radius - inner + CLEARANCE


def _blade_time(variant: Variant) -> float:
    """Seconds that blades cut beside grooves proper: at most this could be saved by turning over."""
    return sum(s.cut_time_s for b in variant.benches for s in b.steps if s.operation == "groove")


def _long_enough(part: PlacedPart, stock: Stock, width: float, cell: Cell) -> bool:
    faces = 2.0 * cell.practice.stock.face_mm
    return stock.length is None or stock.length >= part.length + faces + width


def _with_second(name: str, order: Order, benches: tuple[Bench, ...], other: PlacedPart) -> Iterator[Variant]:
    """The other end after the first one; with the tailstock where it asks for it, and without to compare."""
    first = benches[-1]
    clamping = turned_over(first.clamping, other, first.stock, order.cell)
    if clamping is None:
        return
    clamping = _weighed(order, clamping)
    light = all(strain(bench.clamping) < 2 for bench in benches)
    if not (needs_support(clamping) and light) or order.plain:
        yield _variant(order, name, (*benches, filled(order.cell, clamping, order.part.limits, first)))
        return
    far = turned_over(first.clamping, other, first.stock, order.cell, lambda grip: grip.score_with_tailstock)
    held, more = _held(order, far or clamping, first)
    if len(more) == 1:
        yield _variant(order, name, (*benches, *more))
        return
    plain = filled(order.cell, clamping, order.part.limits, first)
    yield _variant(order, f"{name}, the other end without support", (*benches, plain))
    yield _variant(order, f"{name}, the other end{held.removeprefix(',')}", (*benches, *more))


def _variant(order: Order, name: str, benches: tuple[Bench, ...]) -> Variant:
    part = benches[-1].clamping.part
    areas = (area for area in left_areas(benches[-1]) if thickness(area) > LIMIT)
    real = (a for a in areas if not is_corner(part.segments, a) and thread_over(part.features, a) is None)
    left = sum(a.area for a in real) + MISSING * len(tuple(not_made(benches)))
    return Variant(name, order.stock, benches, left, _times(benches))


def not_made(benches: Sequence[Bench]) -> Iterator[Finding]:
    """A finding for each thread and knurl that no step makes, with the reason where one is known."""
    last = benches[-1]
    reasons = {id: seen_from_part(bench, finding) for bench in benches for id, finding in bench.failures}
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


def seen_from_part(bench: Bench, finding: Finding) -> Finding:
    """A finding of a setup with its place on the part."""
    where = finding.where
    if where.z is None:
        return finding
    return replace(finding, where=replace(where, z=bench.clamping.part.z_here(where.z)))


def _times(benches: tuple[Bench, ...]) -> Times:
    machine = benches[0].cell.machine
    steps = [step for bench in benches for step in bench.steps]
    cut = sum(step.cut_time_s for step in steps)
    rapid = sum(step.rapid_time_s for step in steps)
    tools = [step.tool for step in steps if step.tool is not None]
    changes = sum(a != b for a, b in zip([None, *tools], tools))
    change = changes * machine.tool_change_s + sum(bench.clamping.prepare_s for bench in benches)
    bound = sum(bench.bound_s for bench in benches)
    return Times(cut_s=cut, rapid_s=rapid, tool_change_s=change, total_s=cut + rapid + change, bound_s=bound)
