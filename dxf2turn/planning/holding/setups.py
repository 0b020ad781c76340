"""How the work may be held: from bar with a part-off, then turned over or not, or as a sawn blank."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace

import shapely
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from dxf2turn.features.model import Cylinder
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.geometry.region import polygon
from dxf2turn.planning.bench import Cell
from dxf2turn.planning.clamping import Clamping, Ring, bar_polygon, rectangle
from dxf2turn.planning.holding.grips import BLEND, TURN_OVER, Grip, grips_of, is_spoilt
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.planning.stock import Stock, grip_length, is_sawn
from dxf2turn.planning.targets import is_pointed, split_place
from dxf2turn.planning.work import SAGITTA
from dxf2turn.shop.model import Machine, Tool
from dxf2turn.units import plain_text

CHUCK_DEPTH = 80.0  # of the chuck body behind the jaws, mm


def from_bar(part: PlacedPart, stock: Stock, cell: Cell, blade: Tool, back_allowance: float) -> Clamping:
    """The first setup: bar in the chuck, everything from the front, parted off at the end.

    back_allowance: 0 when the parting blade makes the finished back face, else what the next setup faces.
    """
    width, face = blade.width or 0.0, cell.practice.stock.face_mm
    parting = -part.length - back_allowance
    over = width + 0.5
    front = parting - over - max(cell.practice.holding.jaw_room_mm, _stands_out(blade, cell.clearance))
    outside_to = parting
    if back_allowance > 0.0:
        split = split_place(part)
        short = split < -part.length + cell.practice.holding.bridged_tail_mm and not is_pointed(part)
        outside_to = parting if short else split
    wanted = grip_length(stock.diameter, cell.machine, cell.practice.stock)
    held = wanted if stock.length is None else min(wanted, stock.length - face + front)
    return Clamping(
        no=1,
        part=part,
        stock=bar_polygon(face, front - held, stock.radius, 0.5 * stock.bore),
        jaws=jaws_at(front, stock.radius, cell.machine),
        grip=f"{stock.name}, {plain_text(face - front, 1)} mm out of the jaws",
        grip_length=held,
        grip_radius=stock.radius,
        outside_to=outside_to,
        over=over if outside_to == parting else 0.5 * width + 0.5,
        raw_radius=stock.radius,
        lowest=front + cell.clearance,
        parting=parting,
        parting_room=width,
        findings=tuple(holding_findings(cell, 1, (held, wanted), (-front, stock.diameter))),
        **(loading(stock, cell, face - front + held) if is_sawn(stock, cell.machine) else {}),
    )


def loading(stock: Stock, cell: Cell, length: float) -> dict:
    """What is done before a setup of a sawn piece: sawn off where the stock is longer, loaded by hand."""
    longer = stock.length is None or stock.length > length + TURN_OVER
    words = f"saw a piece {plain_text(length, 1)} mm long" if longer else ""
    return {"prepare": words, "prepare_s": cell.practice.stock.load_s}


def blank_faces(part: PlacedPart, stock: Stock, cell: Cell) -> tuple[float, float]:
    """z of the raw faces of a blank, front and back: with what is faced off, or as much as the stock has."""
    more = math.inf if stock.length is None else 0.5 * (stock.length - part.length)
    face = min(cell.practice.stock.face_mm, more)
    return face, -part.length - face


def _stands_out(blade: Tool, clearance: float) -> float:
    """How far the blade's block stands out towards the chuck beyond the blade, mm."""
    left = min(p.x for p in blade.outline)
    return max([left - p.x + clearance for ring in blade.holder for p in ring], default=0.0)


def from_blank(part: PlacedPart, stock: Stock, cell: Cell) -> Clamping | None:
    """The first setup of a sawn blank: gripped on the raw outside, nothing parted.

    Where the outside that must be turned here leaves no room for the jaws, the blank is longer and what was
    gripped is faced off in the second setup. Stock too short for that is held on a part of the outside that
    the second setup turns, where both meet on a plain cylinder; None when they can't. Of longer stock only
    what is needed is sawn off.
    """
    practice, jaw_room = cell.practice.stock, cell.practice.holding.jaw_room_mm
    length, least = math.inf if stock.length is None else stock.length, practice.least_grip_mm
    face, back = blank_faces(part, stock, cell)
    split = split_place(part)
    grip = grip_length(stock.diameter, cell.machine, practice)
    front = min(back + grip, split - cell.clearance - jaw_room)
    outside_to = max(split, front + jaw_room + cell.clearance)
    if front - back < 0.5 * least:
        front, outside_to = -part.length - cell.clearance - jaw_room, -part.length
        back = max(front - grip, face - length)
    if front - back < 0.5 * least:
        front = back + max(0.5 * least, min(grip, cell.practice.holding.blank_share * part.length))
        outside_to = front + jaw_room + cell.clearance
        if not _on_plain_cylinder(part, outside_to, jaw_room):
            return None
    return blank_in_jaws(part, stock, cell, (face, back), front, (outside_to, cell.clearance))


def blank_in_jaws(
    part: PlacedPart,
    stock: Stock,
    cell: Cell,
    faces: tuple[float, float],
    front: float,
    turned: tuple[float, float],
) -> Clamping:
    """A sawn blank gripped on its raw outside. faces: z of its raw faces, front and back; front: face of the
    jaws; turned: z down to which the outside is turned, and how far past it; mm."""
    (face, back), (outside_to, over) = faces, turned
    grip = grip_length(stock.diameter, cell.machine, cell.practice.stock)
    return Clamping(
        no=1,
        part=part,
        stock=bar_polygon(face, back, stock.radius, 0.5 * stock.bore),
        jaws=jaws_at(front, stock.radius, cell.machine),
        grip=f"blank of {stock.name}, {plain_text(front - back, 1)} mm in the jaws",
        grip_length=front - back,
        grip_radius=stock.radius,
        outside_to=outside_to,
        over=over,
        raw_radius=stock.radius,
        lowest=front + cell.clearance,
        findings=tuple(holding_findings(cell, 1, (front - back, grip), (-front, stock.diameter))),
        **loading(stock, cell, face - back),
    )


def lengthened(blank: Clamping, stock: Stock, cell: Cell) -> Clamping | None:
    """The same setup with a blank as long as the grip's rule asks for; None where it is, or can't be."""
    face, grip = float(blank.stock.bounds[2]), grip_length(stock.diameter, cell.machine, cell.practice.stock)
    front, back = blank.jaw_face, blank.jaw_face - grip
    too_long = stock.length is not None and face - back > stock.length
    if too_long or blank.grip_length > grip - TURN_OVER:
        return None
    return replace(
        blank,
        stock=bar_polygon(face, back, stock.radius, 0.5 * stock.bore),
        grip=f"blank of {stock.name}, {plain_text(grip, 1)} mm in the jaws",
        grip_length=grip,
        findings=tuple(holding_findings(cell, 1, (grip, grip), (-front, stock.diameter))),
        **loading(stock, cell, face - back),
    )


def _on_plain_cylinder(part: PlacedPart, z: float, room: float) -> bool:
    """Whether z lies inside a plain cylinder of the outside, with room to both ends."""
    return any(
        f.z_back + room < z < f.z_front - room and not is_spoilt(part, f)
        for f in part.features
        if isinstance(f, Cylinder) and f.side == "outside"
    )


def turned_over(
    first: Clamping,
    part: PlacedPart,
    left: BaseGeometry,
    cell: Cell,
    score: Callable[[Grip], tuple[float, ...]] = lambda grip: grip.score,
) -> Clamping | None:
    """The second setup: held on a finished diameter of the first one. None when there is none.

    part: as the second setup sees it; left: the stock as the first one leaves it, in its coordinates;
    score: of a grip, the best is taken.
    """
    outside_to = max(part.z_here(first.part.z_here(first.outside_to)), -part.length)
    grips = tuple(grips_of(part, outside_to, cell))
    if not grips:
        return None
    grip = max(grips, key=score)
    stock = piece_of(affine_transform(left, (-1.0, 0.0, 0.0, 1.0, -part.length, 0.0)), part)
    short = grip.length < grip.wanted
    collet = short and 2.0 * grip.radius <= (cell.machine.collet_mm or 0.0)
    kind = "soft jaws or a collet" if collet else "soft jaws"
    name = f"finished diameter {plain_text(2.0 * grip.feature.r_large)} mm ({grip.feature.id})"
    told = ", bored no longer than that and relieved behind" if grip.relieved else ""
    no = first.no + 1
    return Clamping(
        no=no,
        part=part,
        stock=stock,
        jaws=jaws_at(grip.front, grip.radius, cell.machine, grip.bored, cell.practice.holding.jaw_relief_mm),
        grip=f"{name}, {plain_text(grip.length, 1)} mm in {kind}{told}",
        grip_length=grip.length,
        grip_radius=grip.radius,
        outside_to=outside_to,
        over=BLEND,
        raw_radius=part.max_radius,
        lowest=grip.front + cell.clearance,
        whole=True,
        prepare="turn the part end for end",
        prepare_s=cell.practice.holding.turn_over_s,
        findings=tuple(
            holding_findings(cell, no, (grip.length, grip.wanted), (-grip.front, 2.0 * grip.radius))
        ),
    )


def holding_findings(
    cell: Cell, no: int, length: tuple[float, float], out: tuple[float, float]
) -> Iterator[Finding]:
    """What to look at in a clamping. length: held and wanted; out: overhang and diameter; mm."""
    held, wanted = length
    (overhang, diameter), most = out, cell.practice.holding.overhang_diameters
    if held < wanted - TURN_OVER:
        yield Finding(
            code="planning/short-grip",
            severity=Severity.FIX,
            text=(
                f"setup {no} holds {plain_text(held, 1)} mm of diameter {plain_text(diameter)} mm; "
                f"{plain_text(wanted, 1)} mm is the rule"
            ),
            hint="use soft jaws turned to size or, for small work, a collet, and light cuts",
            where=Location(z=-overhang, r=0.5 * diameter),
            measured=held,
            limit=wanted,
            source="rule T45: one diameter or the jaws' depth, common practice",
        )
    if overhang > (most + TURN_OVER) * diameter:
        yield Finding(
            code="planning/long-overhang",
            severity=Severity.FIX,
            text=(
                f"setup {no}: {plain_text(overhang, 1)} mm stand out of the jaws, "
                f"{plain_text(overhang / diameter, 1)} diameters"
            ),
            hint="support the end with the tailstock or a steady, or keep the speed low",
            where=Location(z=0.0, r=0.0),
            measured=overhang / diameter,
            limit=most,
            unit="diameters",
            source="rule T27: up to about 3 diameters without support, published",
        )


def piece_of(stock: BaseGeometry, part: PlacedPart) -> BaseGeometry:
    """The piece of stock that holds the part, as one polygon."""
    body = polygon(part.segments, SAGITTA)
    pieces = [p for p in getattr(stock, "geoms", [stock]) if p.area > 0.0]
    return max(pieces, key=lambda p: shapely.intersection(p, body).area)


def jaws_at(
    front: float, radius: float, machine: Machine, bored: float | None = None, relief: float = 0.0
) -> tuple[Ring, ...]:
    """Jaws with their face at `front` on a diameter, the chuck behind them, and what of the jaws is relieved.

    bored: how deep soft jaws are bored to the diameter, mm, None for all of their length;
    relief: on the radius behind that, mm.
    """
    back = front - machine.jaw_length
    held = back if bored is None else max(back, front - bored)
    top = radius + machine.jaw_height
    relieved = (rectangle(back, held, radius + relief, top),) if held > back else ()
    chuck = max(0.5 * machine.chuck_mm, top)
    return (
        rectangle(held, front, radius, top),
        rectangle(back - CHUCK_DEPTH, back, 0.5 * machine.spindle_bore_mm, chuck)
        if chuck > 0.5 * machine.spindle_bore_mm
        else rectangle(back - CHUCK_DEPTH, back, radius, top),
        *relieved,
    )
