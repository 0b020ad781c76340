"""Where work can be held near its end, or run in a steady: on raw bar or on a finished plain cylinder."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.features.model import Cylinder
from dxf2turn.planning.bench import FAR, Cell
from dxf2turn.planning.holding.grips import TURN_OVER, is_spoilt, rises_before, spoilt_under, target_radius
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.planning.stock import grip_length
from dxf2turn.units import plain_text

SAME_RADIUS = 0.02  # stock no further from a finished cylinder than this is finished, mm
ENDS = 0.3  # beside both ends of a cylinder another surface may begin, mm
PADS_OFF = 1.0  # of a steady's pads from both ends of their cylinder: a nose leaves its round there, mm
CORNER = 1.0  # the same of jaws from a shoulder, mm


@dataclass(frozen=True, slots=True)
class Band:
    """A cylinder of the stock: from z lo to hi, radius; feature: id of the finished one, "" for raw bar."""

    lo: float
    hi: float
    radius: float
    feature: str


@dataclass(frozen=True, slots=True)
class Near:
    """A grip near the end. front: face of the jaws; length held, wanted by the rule; all mm."""

    band: Band
    front: float
    length: float
    wanted: float
    hold: float  # how well it holds, at most 1

    @property
    def words(self) -> str:
        """For people."""
        size = plain_text(2.0 * self.band.radius)
        if not self.band.feature:
            return f"bar {size} mm, {plain_text(self.length, 1)} mm in the jaws"
        kind = "soft jaws" if self.length >= self.wanted else "soft jaws or a collet"
        return f"finished diameter {size} mm ({self.band.feature}), {plain_text(self.length, 1)} mm in {kind}"


def bands(part: PlacedPart, stock: BaseGeometry) -> Iterator[Band]:
    """The finished plain cylinders of the outside, and the raw bar."""
    for feature in part.features:
        if isinstance(feature, Cylinder) and feature.side == "outside" and not is_spoilt(part, feature):
            back = _finished_to(stock, feature)
            if back < feature.z_front - ENDS:
                radius = target_radius(part, feature)
                corner = CORNER if rises_before(part, feature.z_front, radius) else 0.0
                yield Band(back, feature.z_front - corner, radius, feature.id)
    top = float(stock.bounds[3])
    if top <= part.max_radius + SAME_RADIUS:
        return
    raw = shapely.intersection(stock, shapely.LineString([(-FAR, top - 0.001), (FAR, top - 0.001)]))
    for piece in getattr(raw, "geoms", [raw]):
        yield Band(float(piece.bounds[0]), float(piece.bounds[2]), top, "")


def _finished_to(stock: BaseGeometry, cylinder: Cylinder) -> float:
    """How far back a cylinder is finished: to its end, or to where stock still stands over it."""
    low, high = cylinder.z_back + ENDS, cylinder.z_front - ENDS
    if low >= high:
        return cylinder.z_front
    over = shapely.intersection(stock, shapely.box(low, cylinder.radius + SAME_RADIUS, high, FAR))
    return cylinder.z_back if over.is_empty else float(over.bounds[2]) + ENDS


def held_near(part: PlacedPart, stock: BaseGeometry, cell: Cell, free: float) -> Near | None:
    """The grip that holds best with the face of the jaws at z = free or a little behind; None if none does.

    What lies between the jaws must be no larger, what lies behind them must go into the spindle.
    """
    fitting = (near for band in bands(part, stock) if (near := _near(band, cell, free)) is not None)
    least = cell.practice.holding.least_hold_near
    good = [near for near in fitting if near.hold >= least and _passes(near, part, stock, cell)]
    return max(good, key=lambda near: (round(near.hold, 2), near.front), default=None)


def _near(band: Band, cell: Cell, free: float) -> Near | None:
    machine, practice = cell.machine, cell.practice.stock
    front = min(band.hi, free)
    length = min(front - band.lo, machine.jaw_length)
    diameter = 2.0 * band.radius
    if length < 0.5 * practice.least_grip_mm or not machine.grip_mm[0] <= diameter <= machine.grip_mm[1]:
        return None
    wanted = grip_length(diameter, machine, practice)
    overhang = cell.practice.holding.overhang_diameters
    if -front > (overhang + TURN_OVER) * diameter:
        return None
    out = max(-front, practice.least_grip_mm)
    hold = min(1.0, length / wanted) * min(1.0, overhang * diameter / out)
    return Near(band, front, length, wanted, hold)


def _passes(near: Near, part: PlacedPart, stock: BaseGeometry, cell: Cell) -> bool:
    """Whether no jaw lies over a groove or a thread, and what is behind goes into jaws and spindle."""
    back = near.front - cell.machine.jaw_length
    if near.band.feature and spoilt_under(part, (back, near.front), near.band.radius):
        return False
    between = shapely.intersection(stock, shapely.box(back, 0.0, near.front, FAR))
    behind = shapely.intersection(stock, shapely.box(-FAR, 0.0, back, FAR))
    thin = between.bounds[3] <= near.band.radius + SAME_RADIUS
    return thin and (behind.is_empty or behind.bounds[3] <= 0.5 * cell.machine.spindle_bore_mm)


def raw_steady_place(part: PlacedPart, stock: BaseGeometry, cell: Cell) -> Band | None:
    """The place for a steady's pads on raw bar, nearest to the front; None without a steady for it."""
    low, high = cell.machine.steady_mm or (0.0, 0.0)
    raw = next((band for band in bands(part, stock) if not band.feature), None)
    if raw is None or not low <= 2.0 * raw.radius <= high:
        return None
    room = cell.practice.holding.steady_from_face_mm
    hi = min(raw.hi - room, -room)
    return Band(hi - cell.machine.steady_width, hi, raw.radius, "")


def steady_place(part: PlacedPart, stock: BaseGeometry, cell: Cell) -> Band | None:
    """The place for a steady's pads nearest to the front: as wide as they are, on a finished cylinder.

    None where the machine has no steady, or no plain cylinder of its range is wide enough.
    """
    machine = cell.machine
    if machine.steady_mm is None:
        return None
    low, high = machine.steady_mm
    room = cell.practice.holding.steady_from_face_mm
    places = []
    for band in bands(part, stock):
        hi = min(band.hi - PADS_OFF, -room)
        fits = hi - band.lo - PADS_OFF >= machine.steady_width
        if band.feature and low <= 2.0 * band.radius <= high and fits:
            places.append(Band(hi - machine.steady_width, hi, band.radius, band.feature))
    return max(places, key=lambda place: place.hi, default=None)
