"""Long work in several setups: centre hole first, then the tailstock, then what the centre was in the way of.

A clamping that lets too much stand out of the jaws becomes a chain of clampings of the same end:

1. held near this end: face, centre hole (a bore with a 60 degree mouth is made here, for it is the seat);
2. brought out, the centre in: everything outside;
3. the centre taken back: what it was in the way of (a stub faced off, the bore), in a steady or held near
   this end; the bar is parted off next to the chuck.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.features.model import Limits
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.planning.bench import FAR, Bench, Cell
from dxf2turn.planning.clamping import Clamping, bar_polygon
from dxf2turn.planning.halves import in_halves, slender_finding, too_slender
from dxf2turn.planning.holding.near_ends import Band, Near, held_near, raw_steady_place, steady_place
from dxf2turn.planning.holding.seats import NO_SEAT, SeatPlan, seat_plans
from dxf2turn.planning.holding.setups import jaws_at, piece_of
from dxf2turn.planning.holding.support import centre_on, seat_in, steady_on
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.planning.sequence import filled
from dxf2turn.units import plain_text

OVERHANG_CODE = "planning/long-overhang"


@dataclass(frozen=True, slots=True)
class Job:
    """One end to be made in a chain. base: how it would be held without support; before: the bench before.

    spare: length of stock beyond what `base` has, for a stub in front, mm; infinite for bar cut as needed.
    """

    base: Clamping
    cell: Cell
    limits: tuple[Limits, ...]
    before: Bench | None = None
    spare: float = 0.0

    @property
    def part(self) -> PlacedPart:
        return self.base.part


def needs_support(clamping: Clamping) -> bool:
    """Whether more stands out of the jaws than rule T27 allows without support."""
    return any(finding.code == OVERHANG_CODE for finding in clamping.findings)


def strain(clamping: Clamping) -> int:
    """How unsafely the work is held: 0 by the rule, 1 too far out for light work, 2 for turning it."""
    if not needs_support(clamping):
        return 0
    return 2 if clamping.purpose in ("all", "outside") else 1


def supported(job: Job) -> tuple[Bench, ...] | Finding:
    """The benches of the chain; a finding that says why the tailstock can't be used."""
    if not job.cell.machine.tailstock:
        return _why_not(job, "the machine has none")
    reason = NO_SEAT
    for seat in seat_plans(job.part, job.cell):
        first = _centred(job, seat)
        if isinstance(first, str):
            reason = first
            continue
        tail = _with_tailstock(job, seat, first)
        if isinstance(tail, Clamping):
            made = _outside(job, tail, first)
            return (first, *made, *_afterwards(job, seat, made[-1]))
        reason = tail
    return _why_not(job, reason)


def _centred(job: Job, seat: SeatPlan) -> Bench | str:
    """Held near the end: faced, centred, and bored where the bore's mouth is the seat."""
    stock = _with_room(job, seat)
    if seat.centring is not None and stock.bounds[1] > 0.0:
        return "it is hollow there, and a plug with a centre hole is not planned"
    if stock.bounds[2] < seat.more:
        return f"there is no stock for a stub of {plain_text(seat.more)} mm at this end"
    out = job.cell.practice.holding.centring_out_mm
    near = held_near(job.part, stock, job.cell, seat.more - out)
    clamping = _held(job, stock, near)
    purpose = "front" if seat.kind == "cone" else "centring"
    clamping = replace(clamping, purpose=purpose, centring=seat.centring)
    return filled(job.cell, clamping, job.limits, job.before)


def _with_room(job: Job, seat: SeatPlan) -> BaseGeometry:
    """The stock, with what a stub needs where there is so much."""
    stock = job.base.stock
    if seat.stub is None or job.spare < seat.more:
        return stock
    back, bore, front, radius = stock.bounds
    return bar_polygon(front + seat.more, back, radius, bore)


def _held(job: Job, stock: BaseGeometry, near: Near | None) -> Clamping:
    """The first clamping of the chain; in a steady on the bar, else as without support, where nothing near
    the end can be held."""
    no = job.base.no if job.before is None else job.before.clamping.no + 1
    if near is None:
        unsupported = replace(job.base, no=no, stock=stock, parting=None)
        place = raw_steady_place(job.part, stock, job.cell)
        return unsupported if place is None else _steadied(job, unsupported, place)
    return replace(
        job.base,
        no=no,
        stock=stock,
        parting=None,
        findings=(),
        prepare=_words(
            job.base.prepare, f"only {plain_text(stock.bounds[2] - near.front, 1)} mm out of the jaws"
        ),
        **_gripped(job, near),
    )


def _steadied(job: Job, clamping: Clamping, place: Band) -> Clamping:
    """The bar, as it comes, in the steady near its end."""
    size, z = plain_text(2.0 * place.radius), plain_text(place.lo, 1)
    finding = Finding(
        code="planning/steady-on-bar",
        severity=Severity.FIX,
        text=f"setup {clamping.no}: the steady runs on the raw bar at Z {z}: it must be round there",
        hint="use bright drawn bar (EN 10278), or skim a place for the pads first",
        where=Location(z=place.hi, r=place.radius),
    )
    return replace(
        clamping,
        support="steady",
        supports=steady_on(0.5 * (place.lo + place.hi), place.radius, job.cell.machine),
        prepare=_words(clamping.prepare, f"steady on the bar, {size} mm, at Z {z}, pads just touching"),
        prepare_s=clamping.prepare_s + job.cell.practice.holding.steady_s,
        findings=(*_without_overhang(clamping.findings), finding),
    )


def _gripped(job: Job, near: Near) -> dict:
    return {
        "jaws": jaws_at(near.front, near.band.radius, job.cell.machine),
        "grip": near.words,
        "grip_length": near.length,
        "grip_radius": near.band.radius,
    }


def _outside(job: Job, tail: Clamping, first: Bench) -> tuple[Bench, ...]:
    """Everything outside with the centre in; in halves where that alone does not hold the work."""
    ratio = too_slender(tail)
    if ratio is not None:
        made = in_halves(tail, job.cell, job.limits, first) if job.before is None else "it is no bar any more"
        if not isinstance(made, str):
            return made
        tail = replace(tail, findings=(*tail.findings, slender_finding(tail, ratio, made)))
    return (filled(job.cell, tail, job.limits, first),)


def _with_tailstock(job: Job, seat: SeatPlan, first: Bench) -> Clamping | str:
    """The work brought out, the centre in."""
    found = seat_in(first.stock, job.cell.practice.holding.least_seat_mm)
    if found is None:
        return "the centre would run on an edge: no 60 degree cone is there"
    bodies = centre_on(found, job.cell.machine)
    if bodies is None:
        return f"no centre of the machine is wide enough for a hole of {plain_text(2.0 * found.outer)} mm"
    holding = job.cell.practice.holding
    moved = job.base.jaw_face != first.clamping.jaw_face
    out = f"bring the work out, {plain_text(first.stock.bounds[2] - job.base.jaw_face, 1)} mm out of the jaws"
    return replace(
        job.base,
        no=first.clamping.no + 1,
        stock=first.stock,
        support="tailstock",
        supports=bodies,
        purpose="outside",
        stub=seat.stub,
        prepare=_words(out if moved else "", "bring up the tailstock, the centre runs in its hole"),
        prepare_s=holding.tailstock_s + (holding.pull_out_s if moved else 0.0),
        findings=_without_overhang(job.base.findings),
    )


def _without_overhang(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    return tuple(finding for finding in findings if finding.code != OVERHANG_CODE)


def _afterwards(job: Job, seat: SeatPlan, bench: Bench) -> Iterator[Bench]:
    """What the centre was in the way of, and parting off: in the order that the way to hold asks for."""
    if not seat.leaves_work:
        yield from _parted(job, bench)
        return
    near = held_near(job.part, _kept(job, bench.stock), job.cell, -job.cell.practice.holding.face_room_mm)
    place = steady_place(job.part, bench.stock, job.cell)
    if near is not None and (near.hold >= job.cell.practice.holding.good_hold or place is None):
        parted = tuple(_parted(job, bench))
        yield from parted
        yield _near_the_end(job, parted[-1] if parted else bench)
        return
    done = _unsupported(job, bench) if place is None else _in_the_steady(job, bench, place)
    yield done
    yield from _parted(job, done)


def _kept(job: Job, stock: BaseGeometry) -> BaseGeometry:
    """The stock without what is parted off."""
    if job.base.parting is None:
        return stock
    return shapely.intersection(stock, shapely.box(job.base.parting, 0.0, FAR, FAR))


def _parted(job: Job, bench: Bench) -> Iterator[Bench]:
    """Parted off next to the chuck, without the centre."""
    if job.base.parting is None:
        return
    support = bench.clamping.support
    back = {"tailstock": "take the tailstock back", "steady": "take the supports away"}.get(support, "")
    clamping = replace(
        job.base,
        no=bench.clamping.no + 1,
        stock=bench.stock,
        purpose="part off",
        prepare=_words(back, "the work stays clamped; part off at low speed"),
        prepare_s=job.cell.practice.holding.tailstock_s,
        findings=(),
    )
    yield filled(job.cell, clamping, job.limits, bench)


def _near_the_end(job: Job, bench: Bench) -> Bench:
    """Held again, near the end that the centre was in."""
    practice = job.cell.practice.holding
    stock = piece_of(bench.stock, job.part)
    near = held_near(job.part, stock, job.cell, -practice.face_room_mm)
    if near is None:
        return _unsupported(job, bench)
    clamping = replace(
        job.base,
        no=bench.clamping.no + 1,
        stock=stock,
        parting=None,
        whole=True,
        purpose="front",
        prepare="hold the part again, near this end",
        prepare_s=practice.turn_over_s,
        findings=(),
        lowest=-2.0 * job.part.length,
        **_gripped(job, near),
    )
    return filled(job.cell, clamping, job.limits, bench)


def _in_the_steady(job: Job, bench: Bench, place: Band) -> Bench:
    """The tailstock taken back, the end running in a steady."""
    holding = job.cell.practice.holding
    size, z = plain_text(2.0 * place.radius), plain_text(place.lo, 1)
    clamping = replace(
        job.base,
        no=bench.clamping.no + 1,
        stock=bench.stock,
        support="steady",
        supports=steady_on(0.5 * (place.lo + place.hi), place.radius, job.cell.machine),
        purpose="front",
        prepare=f"steady on diameter {size} mm, Z {z}, pads just touching; then take the tailstock back",
        prepare_s=holding.steady_s + holding.tailstock_s,
        findings=_without_overhang(job.base.findings),
    )
    return filled(job.cell, clamping, job.limits, bench)


def _unsupported(job: Job, bench: Bench) -> Bench:
    """The tailstock taken back, nothing in its place."""
    low, high = job.cell.machine.steady_mm or (0.0, 0.0)
    finding = Finding(
        code="planning/no-steady",
        severity=Severity.FIX,
        text=(
            "the end is finished without support: no plain finished cylinder near it is wide enough for the "
            f"steady ({plain_text(low)} to {plain_text(high)} mm in diameter), and none can be held there"
        ),
        hint="let a centre hole stay (ISO 6411), or give the end a plain cylinder for the steady",
        where=Location(z=0.0, r=job.part.max_radius),
    )
    clamping = replace(
        job.base,
        no=bench.clamping.no + 1,
        stock=bench.stock,
        purpose="front",
        prepare="take the tailstock back; light cuts at low speed",
        prepare_s=job.cell.practice.holding.tailstock_s,
        findings=(*job.base.findings, finding),
    )
    return filled(job.cell, clamping, job.limits, bench)


def _words(*parts: str) -> str:
    return "; ".join(part for part in parts if part)


def _why_not(job: Job, reason: str) -> Finding:
    diameter = 2.0 * job.base.grip_radius
    return Finding(
        code="planning/no-tailstock",
        severity=Severity.FIX,
        text=f"setup {job.base.no}: the tailstock can't support the work: {reason}",
        hint="let a centre hole be there (ISO 6411), or keep the speed low and the cuts light",
        where=Location(z=0.0, r=0.0),
        measured=-job.base.jaw_face / diameter,
        limit=job.cell.practice.holding.overhang_diameters,
        unit="diameters",
        source="rule T27: up to about 3 diameters without support, published",
    )
