"""The ways to make a part: how it may be held, filled with steps; quickest kinds first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from dxf2turn.features.model import TurnedPart
from dxf2turn.findings import Finding, Location, Severity, stops
from dxf2turn.planning.bench import Bench, Cell
from dxf2turn.planning.chains import Job, needs_support, strain, supported
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

MISSING = 1000.0  # a feature that is not made counts as so much left-over, mm2


@dataclass(frozen=True, slots=True)
class Variant:
    """One whole way to make the part."""

    name: str
    benches: tuple[Bench, ...]
    left: float  # area that nothing cut, rounds of the nose in sharp corners not counted, mm2
    times: Times

    @property
    def is_left(self) -> bool:
        """Whether more than the round of a nose in sharp corners stays."""
        return self.left > 0.0

    @property
    def strain(self) -> int:
        """0 when every setup holds by the rule, 1 when some light work stands out too far, else 2."""
        return max(strain(bench.clamping) for bench in self.benches)

    @property
    def stopped(self) -> bool:
        return any(stops(bench.findings) for bench in self.benches)


def worth_while(part: TurnedPart, stock: Stock, cell: Cell) -> Iterator[list[Variant]]:
    """Ways in groups: first those that are worth comparing, then what else may be tried when these fail.

    Turned from the other end, the part may do without blades. Two setups can save at most what blades take
    in one setup, and they cost the turning over: when that is more, they are not worked out. A sawn blank is
    only tried when no bar can be parted off.
    """
    ways = _bar_ways(part, stock, cell)
    found: list[Variant] = []
    for way in ways:
        found.append(way)
        if _is_good(way):
            break
    by_blank = all(way.stopped for way in found)
    yield [*found, *(_blank_ways(part, stock, cell) if by_blank else ())]
    yield list(ways)
    if not by_blank:
        yield list(_blank_ways(part, stock, cell))


def _bar_ways(part: TurnedPart, stock: Stock, cell: Cell) -> Iterator[Variant]:
    """In one setup from either end, then in two; long work with the tailstock first."""
    sides = (placed(part, flipped=False), placed(part, flipped=True))
    for name, here in (("", sides[0]), (", back first", sides[1])):
        if is_pointed(here):
            continue
        for bench in _from_bar(part, here, stock, cell, 0.0):
            for held, benches in _held(bench, None, stock.length is None):
                way = "one setup from bar" if len(benches) == 1 else "from bar"
                yield _variant(f"{way}{name}, parted off{held}", benches)
    for name, here, other in (("front first", *sides), ("back first", *sides[::-1])):
        for first in _first_of_two(part, here, other, stock, cell):
            for held, benches in _held(first, None, stock.length is None):
                yield from _with_second(f"from bar, two setups, {name}{held}", cell, benches, other)


def _first_of_two(
    part: TurnedPart, here: PlacedPart, other: PlacedPart, stock: Stock, cell: Cell
) -> tuple[Bench, ...]:
    """The first setup of two, parted off with an allowance; with more where the other end needs a stub."""
    face = cell.practice.stock.face_mm
    first = _from_bar(part, here, stock, cell, face)
    clamping = turned_over(first[0].clamping, other, first[0].stock, cell) if first else None
    if clamping is None or not needs_support(clamping):
        return first
    more = max((seat.more for seat in seat_plans(other, cell)), default=0.0)
    return _from_bar(part, here, stock, cell, face + more) if more > 0.0 else first


def _blank_ways(part: TurnedPart, stock: Stock, cell: Cell) -> Iterator[Variant]:
    sides = (placed(part, flipped=False), placed(part, flipped=True))
    for name, here, other in (("front first", *sides), ("back first", *sides[::-1])):
        blank = from_blank(here, stock, cell)
        if blank is not None:
            first = filled(cell, blank, part.limits)
            for held, benches in _held(first, None, stock.length is None):
                yield from _with_second(f"blank, two setups, {name}{held}", cell, benches, other)


def _held(bench: Bench, before: Bench | None, cut_as_needed: bool) -> Iterator[tuple[str, tuple[Bench, ...]]]:
    """The setup as it is and, where too much stands out of the jaws, the same with the tailstock."""
    if not needs_support(bench.clamping):
        yield "", (bench,)
        return
    made = supported(Job(bench.clamping, bench.cell, bench.limits, before, cut_as_needed))
    if isinstance(made, Finding):
        yield "", (bench.with_finding(made),)
        return
    yield ", without support", (bench,)
    yield ", with tailstock", made


def _is_good(variant: Variant) -> bool:
    """Whether a way in one setup leaves nothing that another way could do better."""
    turn_over = variant.benches[0].cell.practice.holding.turn_over_s
    fine = not variant.stopped and not variant.is_left and variant.strain == 0
    ends = {bench.clamping.part.flipped for bench in variant.benches}
    if len(ends) > 1 and any(bench.clamping.support != "none" for bench in variant.benches):
        return False  # From the other end it may do without support.
    return fine and _blade_time(variant) <= turn_over


def _from_bar(
    part: TurnedPart, here: PlacedPart, stock: Stock, cell: Cell, allowance: float
) -> tuple[Bench, ...]:
    """The setup from bar with the narrowest blade that gets through, filled; none when no blade reaches."""
    bench = None
    for blade in parting_tools(cell.shop, _parting_depth(here, stock)):
        if not _long_enough(here, stock, blade.width or 0.0, cell):
            break
        bench = filled(cell, from_bar(here, stock, cell, blade, allowance), part.limits)
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


def _long_enough(part: PlacedPart, stock: Stock, width: float, cell: Cell) -> bool:
    faces = 2.0 * cell.practice.stock.face_mm
    return stock.length is None or stock.length >= part.length + faces + width


def _with_second(name: str, cell: Cell, benches: tuple[Bench, ...], other: PlacedPart) -> Iterator[Variant]:
    """The other end after the first one; also with the tailstock where it asks for it."""
    first = benches[-1]
    clamping = turned_over(first.clamping, other, first.stock, cell)
    if clamping is None:
        return
    made = None
    if needs_support(clamping) and all(strain(bench.clamping) < 2 for bench in benches):
        far = turned_over(first.clamping, other, first.stock, cell, lambda grip: grip.score_with_tailstock)
        made = supported(Job(far or clamping, cell, first.limits, first))
    if isinstance(made, Finding):
        clamping = replace(clamping, findings=(*clamping.findings, made))
    yield _variant(name, (*benches, filled(cell, clamping, first.limits, first)))
    if isinstance(made, tuple):
        yield _variant(f"{name}, the other end with tailstock", (*benches, *made))


def _variant(name: str, benches: tuple[Bench, ...]) -> Variant:
    part = benches[-1].clamping.part
    areas = (area for area in left_areas(benches[-1]) if thickness(area) > LIMIT)
    real = (a for a in areas if not is_corner(part.segments, a) and thread_over(part.features, a) is None)
    left = sum(a.area for a in real) + MISSING * len(tuple(not_made(benches)))
    return Variant(name, benches, left, _times(benches))


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
