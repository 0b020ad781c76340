"""What the machine can't take, and what would hold a part that nothing holds: stock too large, too heavy."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from dxf2turn.features.model import Cylinder
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.planning.bench import Bench, Cell
from dxf2turn.planning.holding.bore_grip import openings
from dxf2turn.planning.holding.bore_walls import is_spoilt_inside, plain_walls
from dxf2turn.planning.holding.grips import is_spoilt
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.planning.stock import Stock
from dxf2turn.shop.model import Machine
from dxf2turn.units import plain_text

MM3_PER_M3 = 1e9


def beyond_machine(stock: Stock, cell: Cell) -> Finding | None:
    """Raw stock that does not swing, or that neither jaws nor collet hold; None when the machine takes it."""
    machine = cell.machine
    able = [other.name for other in cell.shop.machines if _swings(stock, other) and _is_held(stock, other)]
    hint = f"use --machine {able[0]!r}" if able else "add a larger machine to machine.toml"
    size = plain_text(stock.diameter)
    if not _swings(stock, machine):
        swing = machine.max_swing_mm
        return _too_large(
            f"the stock, {size} mm, does not swing over the cross slide of {machine.name!r}: "
            f"{plain_text(swing)} mm in diameter",
            f"{hint}, or give thinner stock with --stock DIAMETERxLENGTH",
            (stock.diameter, swing),
        )
    if not _is_held(stock, machine):
        low, high = machine.grip_mm
        return _too_large(
            f"the stock, {size} mm, is not held by the chuck of {machine.name!r}: its jaws hold "
            f"{plain_text(low)} to {plain_text(high)} mm",
            f"{hint}, give stock of another size with --stock DIAMETERxLENGTH, or put other jaws into "
            "machine.toml; work on a face plate is not planned here",
            (stock.diameter, high if stock.diameter > high else low),
        )
    return None


def _swings(stock: Stock, machine: Machine) -> bool:
    return stock.diameter <= machine.max_swing_mm


def _is_held(stock: Stock, machine: Machine) -> bool:
    low, high = machine.grip_mm
    return low <= stock.diameter <= high or stock.diameter <= (machine.collet_mm or 0.0)


def _too_large(text: str, hint: str, sizes: tuple[float, float]) -> Finding:
    return Finding(
        code="planning/beyond-the-machine",
        severity=Severity.STOP,
        text=text,
        hint=hint,
        measured=sizes[0],
        limit=sizes[1],
    )


def heavy_work(benches: Iterable[Bench], cell: Cell) -> Iterator[Finding]:
    """A note where the heaviest piece that is put into the chuck asks for a hoist.

    Bar that goes through the spindle is not lifted into it.
    """
    pieces = [b for b in benches if 2.0 * b.clamping.grip_radius > cell.machine.spindle_bore_mm]
    heaviest = max(pieces, key=lambda bench: _mass(bench, cell), default=None)
    limit = cell.practice.holding.lifted_kg
    if heaviest is None or _mass(heaviest, cell) <= limit:
        return
    clamping, mass = heaviest.clamping, _mass(heaviest, cell)
    yield Finding(
        code="planning/heavy-work",
        severity=Severity.FIX,
        text=f"setup {clamping.no}: the piece weighs {plain_text(mass, 1)} kg, more than is lifted by hand",
        hint="use a hoist, close the chuck on it only when it lies square, and keep the first speeds low",
        where=Location(z=0.0, r=float(clamping.stock.bounds[3])),
        measured=mass,
        limit=limit,
        unit="kg",
        source="common practice, lifted_kg in practice.toml",
    )


def _mass(bench: Bench, cell: Cell) -> float:
    """kg: area times the way of its centroid around the axis (Pappus), times density."""
    stock = bench.clamping.stock
    return math.tau * stock.centroid.y * stock.area * cell.material.density / MM3_PER_M3


def cannot_hold(part: PlacedPart, stock: Stock, cell: Cell) -> Finding:
    """Why no way holds the part, and what would."""
    reach = max((tool.reach or 0.0 for tool in cell.shop.tools_of("parting")), default=0.0)
    bore = min((s.start.y for s in part.run("inside")), default=0.0) if not part.is_solid else 0.0
    depth, least = stock.radius - bore, _least_length(part, cell)
    return Finding(
        code="planning/no-way-to-hold",
        severity=Severity.STOP,
        text=_too_short(part, stock, cell)
        + (
            f"no way was found to hold the part of diameter {plain_text(2.0 * part.max_radius)} mm: parting "
            f"off would have to go {plain_text(depth, 1)} mm deep, the longest blade reaches "
            f"{plain_text(reach, 1)} mm; jaws want {plain_text(least, 1)} mm of plain cylinder at one end, "
            f"{_outside_words(part, least)}; {_inside_words(part, cell)}"
        ),
        hint=(
            f"any of these would do: a parting blade that reaches {plain_text(depth + cell.clearance, 1)} "
            f"mm, a plain cylinder or bore at least {plain_text(least, 1)} mm long, or a fixture plate "
            "(screws, vacuum), which is not planned here"
        ),
        measured=_longest_outside(part),
        limit=least,
        source="rule T45: no length below half the least grip, common practice",
    )


def _too_short(part: PlacedPart, stock: Stock, cell: Cell) -> str:
    """That stock which was asked for is too short to be parted off, whatever the blade."""
    widths = [tool.width for tool in cell.shop.tools_of("parting") if tool.width is not None]
    least = cell.practice.stock.parted_length(part.length, min(widths, default=0.0))
    if stock.length is None or stock.length >= least:
        return ""
    given = f"the stock asked for, {plain_text(stock.length)} mm long"
    return f"{given}, is too short to be held and parted off: {plain_text(least)} mm at least; "


def _least_length(part: PlacedPart, cell: Cell) -> float:
    """The shortest cylinder that is held beside a face that is turned, mm."""
    stock, holding = cell.practice.stock, cell.practice.holding
    return min(0.5 * stock.least_grip_mm, holding.short_part_share * part.length) + holding.face_room_mm


def _longest_outside(part: PlacedPart) -> float:
    """Length of the longest plain cylinder outside, mm."""
    plain = (
        f.z_front - f.z_back
        for f in part.features
        if isinstance(f, Cylinder) and f.side == "outside" and not is_spoilt(part, f)
    )
    return max(plain, default=0.0)


def _outside_words(part: PlacedPart, least: float) -> str:
    """What there is of plain cylinders outside."""
    longest = _longest_outside(part)
    if not longest:
        return "there is none"
    lacks = "is not free when the other end is turned" if longest >= least else "is the longest"
    return f"one of {plain_text(longest, 1)} mm {lacks}"


def _inside_words(part: PlacedPart, cell: Cell) -> str:
    """Why the bore does not hold it either."""
    longest = max(plain_walls(part), key=lambda wall: wall.hi - wall.lo, default=None)
    if longest is None:
        return "it has no plain bore"
    size = f"its bore of {plain_text(2.0 * longest.radius)} mm"
    if is_spoilt_inside(part, longest.lo, longest.hi):
        return f"{size} carries a thread or a groove"
    sizes = [opening.sizes for opening in openings(cell)]
    if any(low <= 2.0 * longest.radius <= high for low, high in sizes):
        return f"{size} is too short, or not finished where jaws or mandrel would hold it"
    means = ", ".join(f"{plain_text(low)} to {plain_text(high)} mm" for low, high in sizes) or "none"
    return f"nothing opens in {size}: jaws and mandrel of the machine take {means}"
