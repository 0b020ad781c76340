"""The finished diameters that jaws may hold, and how well each of them holds."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import shapely

from dxf2turn.features.model import Cylinder, Feature
from dxf2turn.geometry.region import polygon
from dxf2turn.planning.bench import FAR, Cell
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.planning.stock import grip_length
from dxf2turn.planning.work import SAGITTA

BLEND = 0.3  # the second setup turns so far over what the first one turned, mm
NOT_GRIPPED = ("thread", "knurl", "groove")  # never held: they would be spoilt or give way
TURN_OVER = 0.1  # rounding: between the two frames, mm; of the rule for the overhang, diameters


@dataclass(frozen=True, slots=True, kw_only=True)
class Grip:
    """A finished diameter that jaws may hold. Setup coordinates, mm.

    front: face of the jaws; length: of the part inside them; wanted: what rule T45 asks for;
    least: the shortest grip of the shop; overhang: diameters that may stand out. relieved: the jaws are bored
    no longer than that and stand clear of what follows, a groove or a thread of the same diameter.
    """

    feature: Feature
    radius: float
    front: float
    length: float
    wanted: float
    least: float
    overhang: float
    relieved: bool = False

    @property
    def bored(self) -> float | None:
        """How deep soft jaws are bored to the diameter; None for all of their length."""
        return self.length if self.relieved else None

    @property
    def hold(self) -> float:
        """How well it holds, at most 1: its length against the rule's, what stands out against the rule's."""
        out = max(-self.front, self.least)
        return min(1.0, self.length / self.wanted) * min(1.0, self.overhang * 2.0 * self.radius / out)

    @property
    def score(self) -> tuple[float, float, float]:
        """What holds best first, then larger, then nearer to the work."""
        return (round(self.hold, 3), self.radius, self.front)

    @property
    def score_with_tailstock(self) -> tuple[float, float, float]:
        """The same where the free end runs in a centre: what stands out counts no more."""
        return (round(min(1.0, self.length / self.wanted), 3), self.front, self.radius)


def grips_of(part: PlacedPart, outside_to: float, cell: Cell) -> Iterable[Grip]:
    """Finished cylinders behind `outside_to` that jaws can hold, with everything behind them smaller.

    What lies behind the jaws is in the chuck, and must go into its bore. Jaws stay off a shoulder: a nose has
    left its round in the corner.
    """
    machine, holding = cell.machine, cell.practice.holding
    least = cell.practice.stock.least_grip_mm
    short = holding.short_part_share * part.length
    room = BLEND + holding.jaw_room_mm if outside_to < 0.0 else holding.face_room_mm
    deepest = _back_of_thicker(part, 0.5 * machine.spindle_bore_mm) + machine.jaw_length
    for feature in part.features:
        if not isinstance(feature, Cylinder) or feature.side != "outside":
            continue
        radius = target_radius(part, feature)
        corner = holding.face_room_mm if rises_before(part, feature.z_front, radius) else 0.0
        front = min(feature.z_front - corner, outside_to - room, deepest)
        length = min(front - feature.z_back, machine.jaw_length)
        if length < min(0.5 * least, short) or is_spoilt(part, feature):
            continue
        if not machine.grip_mm[0] <= 2.0 * radius <= machine.grip_mm[1]:
            continue
        if _largest_behind(part, feature.z_back) > radius + SAGITTA:
            continue
        wanted = grip_length(2.0 * radius, machine, cell.practice.stock)
        grip = Grip(
            feature=feature,
            radius=radius,
            front=front,
            length=length,
            wanted=wanted,
            least=least,
            overhang=holding.overhang_diameters,
            relieved=spoilt_under(part, (front - machine.jaw_length, front - length), radius),
        )
        if grip.hold >= holding.least_hold or length >= short:
            yield grip


def target_radius(part: PlacedPart, cylinder: Cylinder) -> float:
    """The radius that is turned: of a fit the middle of its limits, where the feature has the size drawn."""
    return part.segments[cylinder.segments[0]].start.y


def is_spoilt(part: PlacedPart, feature: Feature) -> bool:
    """Whether a thread, a knurl or a groove lies in the cylinder."""
    return spoilt_under(part, (feature.z_back, feature.z_front), 0.0)


def spoilt_under(part: PlacedPart, span: tuple[float, float], radius: float) -> bool:
    """Whether a thread, a knurl or a groove as large as a radius lies between two z: jaws there would touch
    it, or the lands beside it."""
    return any(
        other.kind in NOT_GRIPPED
        and other.side == "outside"
        and other.r_large > radius - TURN_OVER
        and other.z_front > span[0] + TURN_OVER
        and other.z_back < span[1] - TURN_OVER
        for other in part.features
    )


def rises_before(part: PlacedPart, z: float, radius: float) -> bool:
    """Whether the part is thicker than a radius right in front of z."""
    ahead = shapely.box(z + SAGITTA, radius + SAGITTA, z + TURN_OVER, FAR)
    return bool(shapely.intersects(polygon(part.segments, SAGITTA), ahead))


def _back_of_thicker(part: PlacedPart, radius: float) -> float:
    """How far back the part is thicker than a radius: z, infinite where it is nowhere."""
    above = shapely.box(-FAR, radius + SAGITTA, FAR, FAR)
    thick = shapely.intersection(polygon(part.segments, SAGITTA), above)
    return math.inf if thick.is_empty else float(thick.bounds[0])


def _largest_behind(part: PlacedPart, z: float) -> float:
    """Largest radius of the part towards the chuck of z."""
    reach = [s.bounds for s in part.segments if s.bounds.min_x < z - TURN_OVER]
    body = polygon(part.segments, SAGITTA)
    if not reach:
        return 0.0
    behind = shapely.intersection(body, shapely.box(-1e4, 0.0, z - TURN_OVER, 1e4))
    return 0.0 if behind.is_empty else float(behind.bounds[3])
