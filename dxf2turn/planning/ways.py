"""The ways to make a part: how it may be held, filled with steps; quickest kinds first."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from dxf2turn.features.model import TurnedPart
from dxf2turn.findings import Finding
from dxf2turn.planning.bench import Bench, Cell
from dxf2turn.planning.chains import Job, needs_support, strain, supported
from dxf2turn.planning.clamping import Clamping
from dxf2turn.planning.holding.bore_grip import blank_for_bore, fits_in_bore, held_in_bore
from dxf2turn.planning.holding.free_end import slender_end
from dxf2turn.planning.holding.seats import seat_plans
from dxf2turn.planning.holding.setups import from_bar, from_blank, lengthened, turned_over
from dxf2turn.planning.placed import PlacedPart, placed
from dxf2turn.planning.sequence import filled
from dxf2turn.planning.stock import Stock, choose_tube
from dxf2turn.planning.stock_worth import saved_by_blank, saved_by_tube
from dxf2turn.planning.targets import is_pointed
from dxf2turn.planning.tools import parting_tools
from dxf2turn.planning.variant import Variant, variant_of

Held = tuple[str, tuple[Bench, ...]]  # how long work is held, in words, and the benches


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
        if any(map(_is_good, found)) and not _may_be_better_turned_round(way):
            break
    by_blank = all(way.stopped for way in found)
    found += _blank_ways(order) if by_blank else ()
    found += _other_stock(order, found)
    if any(map(_is_long, found)) and all(way.stopped or way.is_left or way.strain > 1 for way in found):
        found += _plain_ways(order, found)
    yield found
    rest = list(ways)
    yield rest
    if found:
        yield list(_blank_ways(order, [*found, *rest] if by_blank else ()))
    if any(map(_is_long, found)):
        yield list(_plain_ways(order, [*found, *rest]))


def _other_stock(order: Order, found: Sequence[Variant]) -> Iterator[Variant]:
    """The best way so far from tube, then the best of all from a sawn blank: where that may save time."""
    best = min(found, key=lambda way: way.rank, default=None)
    if best is None or best.is_supported:
        return
    from_tube = tuple(_from_tube(order, best))
    yield from from_tube
    best = min((best, *from_tube), key=lambda way: way.rank)
    if saved_by_blank(best.benches, best.stock) > 0.0:
        yield from _from_short_blank(replace(order, stock=best.stock), best.starts_at_back)


def _from_tube(order: Order, best: Variant) -> Iterator[Variant]:
    """A way from bar done from tube; none where other stock was asked for or no tube may save enough."""
    cell = order.cell
    tube = choose_tube(order.sides[0], cell.shop, cell.material) if order.stock.length is None else None
    if tube is None or order.stock.bore:
        return
    if saved_by_tube(best.benches, order.stock, tube) > cell.practice.stock.tube_worth_s:
        yield from _kind_of(best)(replace(order, stock=tube), best.starts_at_back)


def _kind_of(way: Variant) -> Callable[[Order, bool], Iterator[Variant]]:
    """What makes ways like this one, of an order, the back first or not."""
    if not way.is_parted:
        return _from_short_blank
    return _in_one if len({bench.clamping.part.flipped for bench in way.benches}) == 1 else _in_two


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
        yield variant_of(f"{way}{end}, parted off{held}", order.stock, benches)


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
    blade = next(iter(parting_tools(order.cell.shop, _parting_depth(here, order))), None)
    if blade is None:
        return
    first = from_bar(here, order.stock, order.cell, blade, face)
    second = turned_over(first, other, first.stock, order.cell)
    if second is None and not needs_support(_weighed(order, first)) and not fits_in_bore(other, order.cell):
        return  # Nothing could hold the other end, whatever is turned here.
    more = 0.0
    if second is not None and needs_support(_weighed(order, second)) and not order.plain:
        more = max((seat.more for seat in seat_plans(other, order.cell)), default=0.0)
    yield from _from_bar(order, here, face + more)


def _blank_ways(order: Order, known: Sequence[Variant] = ()) -> Iterator[Variant]:
    """A sawn piece turned from one end, then from the other; nothing is parted off. Those not known yet.

    A blank no longer than the part needs goes first, then one whose outside is turned while the bore is
    held, then a longer one: what a longer one is held by must be faced off. The next kind is only worked
    out when the one before does not hold the part well.
    """
    names, found = {way.name for way in known}, []
    for kind in (_from_blank, _from_blank_to_bore, _from_long_blank):
        found += [way for back_first in (False, True) for way in kind(order, back_first)]
        if not known and any(way.is_firm for way in found):
            break
    return (way for way in found if way.name not in names)


def _from_blank(order: Order, back_first: bool) -> Iterator[Variant]:
    blank = from_blank(order.ends(back_first)[0], order.stock, order.cell)
    if blank is not None and not _is_longer(order, blank):
        yield from _of_blank("blank", order, blank, back_first)


def _from_long_blank(order: Order, back_first: bool) -> Iterator[Variant]:
    blank = from_blank(order.ends(back_first)[0], order.stock, order.cell)
    if blank is not None and not _is_longer(order, blank):
        blank = lengthened(blank, order.stock, order.cell)
    if blank is not None:
        yield from _of_blank("longer blank", order, blank, back_first)


def _of_blank(kind: str, order: Order, blank: Clamping, back_first: bool) -> Iterator[Variant]:
    held, benches = _held(order, blank)
    name = f"{kind} of {order.stock.name}, two setups, {_first(back_first)}{held}"
    yield from _with_second(name, order, benches, order.ends(back_first)[1])


def _from_short_blank(order: Order, back_first: bool) -> Iterator[Variant]:
    """A blank no longer than the part needs, its second end held outside, else in the bore."""
    found = [*_from_blank(order, back_first)]
    yield from found or _from_blank_to_bore(order, back_first)


def _is_longer(order: Order, blank: Clamping) -> bool:
    """Whether a blank is longer than the part with its faces, to be held there."""
    face = order.cell.practice.stock.face_mm
    return -blank.stock.bounds[0] > blank.part.length + face + order.cell.clearance


def _from_blank_to_bore(order: Order, back_first: bool) -> Iterator[Variant]:
    here, other = order.ends(back_first)
    blank = blank_for_bore(here, other, order.stock, order.cell)
    if blank is not None:
        held, benches = _held(order, blank)
        name = f"blank of {order.stock.name}, the outside with the bore held, {_first(back_first)}{held}"
        yield from _in_the_bore(name, order, benches, other)


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


def _may_be_better_turned_round(way: Variant) -> bool:
    """Whether tools go down behind the largest diameter: from the other end that may be in front of it."""
    hollow = any(math.isfinite(bench.clamping.blades_up_to) for bench in way.benches)
    return hollow and len(way.benches) == 1 and not way.starts_at_back


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
    for blade in parting_tools(order.cell.shop, _parting_depth(here, order)):
        if not _long_enough(here, order.stock, blade.width or 0.0, order.cell):
            break
        found = _held(order, from_bar(here, order.stock, order.cell, blade, allowance))
        if not any(f.code.startswith("planning/parting") for bench in found[1] for f in bench.findings):
            break
    if found is not None:
        yield found


def _parting_depth(part: PlacedPart, order: Order) -> float:
    """How deep the blade has to reach: to the axis, or into the bore that comes out at the back, mm."""
    stock, clearance = order.stock, order.cell.clearance
    bore = min((s.start.y for s in part.run("inside")), default=0.0)
    inner = max(0.5 * stock.bore, 0.0 if part.is_solid else bore - clearance, 0.0)
    return stock.radius - inner + clearance


def _blade_time(variant: Variant) -> float:
    """Seconds that blades cut beside grooves proper: at most this could be saved by turning over."""
    return sum(s.cut_time_s for b in variant.benches for s in b.steps if s.operation == "groove")


def _long_enough(part: PlacedPart, stock: Stock, width: float, cell: Cell) -> bool:
    return stock.length is None or stock.length >= cell.practice.stock.parted_length(part.length, width)


def _with_second(name: str, order: Order, benches: tuple[Bench, ...], other: PlacedPart) -> Iterator[Variant]:
    """The other end after the first one: held outside, and in the bore where that does not hold it well."""
    found = [*_on_the_outside(name, order, benches, other)]
    yield from found
    if not any(way.is_firm for way in found):
        yield from _in_the_bore(f"{name}, held in the bore", order, benches, other)


def _in_the_bore(name: str, order: Order, benches: tuple[Bench, ...], other: PlacedPart) -> Iterator[Variant]:
    first = benches[-1]
    clamping = held_in_bore(first.clamping, other, first.stock, order.cell)
    if clamping is not None:
        last = filled(order.cell, _weighed(order, clamping), order.part.limits, first)
        yield variant_of(name, order.stock, (*benches, last))


def _on_the_outside(
    name: str, order: Order, benches: tuple[Bench, ...], other: PlacedPart
) -> Iterator[Variant]:
    """The other end gripped outside; with the tailstock where it asks for it, and without to compare."""
    first = benches[-1]
    clamping = turned_over(first.clamping, other, first.stock, order.cell)
    if clamping is None:
        return
    clamping = _weighed(order, clamping)
    light = all(strain(bench.clamping) < 2 for bench in benches)
    if not (needs_support(clamping) and light) or order.plain:
        yield variant_of(
            name, order.stock, (*benches, filled(order.cell, clamping, order.part.limits, first))
        )
        return
    far = turned_over(first.clamping, other, first.stock, order.cell, lambda grip: grip.score_with_tailstock)
    held, more = _held(order, far or clamping, first)
    if len(more) == 1:
        yield variant_of(name, order.stock, (*benches, *more))
        return
    plain = filled(order.cell, clamping, order.part.limits, first)
    yield variant_of(f"{name}, the other end without support", order.stock, (*benches, plain))
    yield variant_of(f"{name}, the other end{held.removeprefix(',')}", order.stock, (*benches, *more))
