"""Work held in its finished bore: on jaws that open outward, or on an expanding mandrel."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import shapely
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.geometry.region import polygon
from dxf2turn.planning.bench import FAR, Cell
from dxf2turn.planning.clamping import Clamping, Ring, rectangle
from dxf2turn.planning.holding.bore_walls import LEVEL, Wall, is_spoilt_inside, plain_walls
from dxf2turn.planning.holding.grips import BLEND, Grip
from dxf2turn.planning.holding.setups import (
    CHUCK_DEPTH,
    blank_faces,
    blank_in_jaws,
    holding_findings,
    piece_of,
)
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.planning.rest import bore_region, is_corner, opened, places
from dxf2turn.planning.stock import Stock, grip_length
from dxf2turn.planning.targets import split_place
from dxf2turn.planning.work import SAGITTA
from dxf2turn.units import plain_text

SAME_RADIUS = 0.02  # stock no further than this from the wall of a bore leaves it finished, mm
LEAST_OUTSIDE = 0.5  # the outside is turned so far behind what the other setup can't get at, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """What opens outward in a bore. Lengths mm, sizes diameters.

    sizes: least and largest bore; reach: how far it goes into the part; height: on the radius, None to the
    axis; flange: how far the flange behind the part stands beyond the bore on the radius, and its length.
    prepare: what is set up for it, more_s: how long that takes beside turning the part over, s.
    """

    words: str
    sizes: tuple[float, float]
    reach: float
    height: float | None
    flange: tuple[float, float] | None
    prepare: str
    more_s: float


@dataclass(frozen=True, slots=True)
class BoreGrip:
    """A finished bore and what opens in it."""

    grip: Grip
    opening: Opening

    @property
    def score(self) -> tuple[float, float]:
        """What holds best first, of equal ones what is set up sooner."""
        return (round(self.grip.hold, 2), -self.opening.more_s)


def openings(cell: Cell) -> Iterator[Opening]:
    """What the machine has to hold a bore with."""
    machine = cell.machine
    if machine.inside_grip_mm is not None:
        yield Opening(
            words="on soft jaws opening outward",
            sizes=machine.inside_grip_mm,
            reach=machine.inside_jaw_length_mm,
            height=machine.inside_jaw_height_mm,
            flange=None,
            prepare="turn the jaws to the bore's size; turn the part end for end",
            more_s=0.0,
        )
    if machine.mandrel_mm is not None:
        yield Opening(
            words="on an expanding mandrel",
            sizes=machine.mandrel_mm,
            reach=machine.mandrel_length_mm,
            height=None,
            flange=(machine.mandrel_flange_height_mm, machine.mandrel_flange_length_mm),
            prepare="expanding mandrel into the chuck, run true; turn the part end for end",
            more_s=cell.practice.holding.mandrel_s,
        )


def held_in_bore(first: Clamping, part: PlacedPart, left: BaseGeometry, cell: Cell) -> Clamping | None:
    """The second setup, held in a bore that the first one finished; the whole outside is free.

    part: as the second setup sees it; left: the stock as the first one leaves it, in its coordinates.
    None where no bore is finished and plain.
    """
    stock = piece_of(affine_transform(left, (-1.0, 0.0, 0.0, 1.0, -part.length, 0.0)), part)
    best = max(bore_grips(part, stock, cell), key=lambda one: one.score, default=None)
    if best is None:
        return None
    grip, opening = best.grip, best.opening
    name = f"finished bore {plain_text(2.0 * grip.feature.r_large)} mm ({grip.feature.id})"
    no = first.no + 1
    return Clamping(
        no=no,
        part=part,
        stock=stock,
        jaws=bodies(best, part, cell),
        grip=f"{name}, {plain_text(grip.length, 1)} mm {opening.words}",
        grip_length=grip.length,
        grip_radius=grip.radius,
        grip_inside=True,
        outside_to=-part.length,
        over=BLEND,
        raw_radius=part.max_radius,
        lowest=grip.front + cell.clearance,
        whole=True,
        prepare=opening.prepare,
        prepare_s=cell.practice.holding.turn_over_s + opening.more_s,
        findings=(
            *holding_findings(cell, no, (grip.length, grip.wanted), (-grip.front, 2.0 * grip.radius)),
            *_thin_wall(grip, part, cell, no),
        ),
    )


def _thin_wall(grip: Grip, part: PlacedPart, cell: Cell, no: int) -> Iterator[Finding]:
    """A wall that what opens in the bore would press out of round: its mean over the grip, against its
    outside diameter."""
    around = shapely.box(grip.front - grip.length, grip.radius, grip.front, FAR)
    section = shapely.intersection(polygon(part.segments, SAGITTA), around)
    wall = section.area / grip.length
    share, least = wall / (2.0 * (grip.radius + wall)), cell.practice.stock.thin_wall_share
    if share < least:
        yield Finding(
            code="planning/thin-wall-opened",
            severity=Severity.FIX,
            text=(
                f"setup {no} is held from inside in a wall of {plain_text(wall, 1)} mm, "
                f"{plain_text(share, 2)} of its diameter: it goes out of round"
            ),
            hint="open what holds it gently, take light cuts, and measure once it is let go",
            where=Location(z=grip.front, r=grip.radius),
            measured=share,
            limit=least,
            unit="",
            source="practice of the shop, thin_wall_share",
        )


def bodies(held: BoreGrip, part: PlacedPart, cell: Cell) -> tuple[Ring, ...]:
    """What stands in the bore, and what carries it behind the part."""
    grip, opening, machine = held.grip, held.opening, cell.machine
    stop = -part.length - cell.practice.holding.jaw_room_mm
    inner = 0.0 if opening.height is None else max(0.0, grip.radius - opening.height)
    nose = rectangle(stop, grip.front, inner, grip.radius)
    high, long = opening.flange or (0.0, 0.0)
    flange = (rectangle(stop - long, stop, 0.0, grip.radius + high),) if opening.flange else ()
    chuck = max(0.5 * machine.chuck_mm, grip.radius + high)
    return (nose, *flange, rectangle(stop - long - CHUCK_DEPTH, stop - long, 0.0, chuck))


def bore_grips(part: PlacedPart, stock: BaseGeometry, cell: Cell) -> Iterator[BoreGrip]:
    """The plain walls of bores that are finished in `stock` and open towards the chuck.

    What is still to be cut inside must lie in front of what holds the bore.
    """
    holding = cell.practice.holding
    room = _first_rest(part, stock) - BLEND - holding.jaw_room_mm
    for wall in plain_walls(part):
        front = min(wall.hi - holding.face_room_mm, room)
        for opening in openings(cell):
            grip = _grip(part, replace(wall, hi=front), opening, cell)
            if grip is not None and _is_open(grip, stock):
                yield BoreGrip(grip, opening)


def _first_rest(part: PlacedPart, stock: BaseGeometry) -> float:
    """z where what is still to be cut inside begins; infinite where nothing is.

    The round that a nose has left in a corner is none.
    """
    rest = places(opened(shapely.intersection(stock, bore_region(part))))
    return min((p.bounds[0] for p in rest if not is_corner(part.segments, p)), default=math.inf)


def fits_in_bore(part: PlacedPart, cell: Cell) -> bool:
    """Whether any plain wall inside has a size that the machine could hold, however the stock is."""
    sizes = [opening.sizes for opening in openings(cell)]
    return any(low <= 2.0 * wall.radius <= high for wall in plain_walls(part) for low, high in sizes)


def _grip(part: PlacedPart, wall: Wall, opening: Opening, cell: Cell) -> Grip | None:
    """The grip of a wall up to its `hi`; None where it is too short, spoilt or of no size for the opening."""
    practice, holding = cell.practice.stock, cell.practice.holding
    front = min(wall.hi, opening.reach - part.length)
    length, diameter = front - wall.lo, 2.0 * wall.radius
    short = holding.short_part_share * part.length
    if length < min(0.5 * practice.least_grip_mm, short) or is_spoilt_inside(part, wall.lo, front):
        return None
    if not opening.sizes[0] <= diameter <= opening.sizes[1]:
        return None
    grip = Grip(
        feature=wall.feature,
        radius=wall.radius,
        front=front,
        length=length,
        wanted=max(practice.least_grip_mm, min(diameter, opening.reach - holding.face_room_mm)),
        least=practice.least_grip_mm,
        overhang=holding.overhang_diameters,
    )
    return grip if grip.hold >= holding.least_hold or length >= short else None


def _is_open(grip: Grip, stock: BaseGeometry) -> bool:
    """Whether the bore is finished where it is held, and wide enough from the chuck to there."""
    return not shapely.intersects(stock, shapely.box(-FAR, 0.0, grip.front, grip.radius - SAME_RADIUS))


def blank_for_bore(part: PlacedPart, other: PlacedPart, stock: Stock, cell: Cell) -> Clamping | None:
    """The first setup of a sawn blank whose second setup is held in the bore and turns the outside.

    Here the front, the bore, and of the outside only what the other setup can't get at: down to the last
    fall towards the chuck as that one sees it. None where no bore can be held or the jaws have no room.
    """
    body = polygon(other.segments, SAGITTA)
    if next(bore_grips(other, body, cell), None) is None:
        return None
    practice, holding = cell.practice.stock, cell.practice.holding
    face, back = blank_faces(part, stock, cell)
    outside_to = part.z_here(other.z_here(split_place(other))) - LEAST_OUTSIDE
    over = cell.clearance if _falls_after(part, outside_to, cell.clearance) else 0.0
    grip = grip_length(stock.diameter, cell.machine, practice)
    front = min(back + grip, outside_to - over - cell.clearance - holding.jaw_room_mm)
    if front - back < 0.5 * practice.least_grip_mm:
        return None
    return blank_in_jaws(part, stock, cell, (face, back), front, (outside_to, over))


def _falls_after(part: PlacedPart, z: float, clearance: float) -> bool:
    """Whether the outside stays below its height right in front of z for a clearance behind it."""
    body = polygon(part.segments, SAGITTA)
    behind = shapely.intersection(body, shapely.box(z - clearance, 0.0, z - LEVEL, FAR))
    here = shapely.intersection(body, shapely.box(z + LEVEL, 0.0, z + SAGITTA, FAR))
    return bool(behind.bounds[3] <= here.bounds[3] + SAGITTA)
