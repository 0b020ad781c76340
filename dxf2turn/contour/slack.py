"""How exact a place of the outline is: exact as drawn, or only within what cleaning moved there."""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.cleaning.doubles import DOUBLE
from dxf2turn.cleaning.gaps import JOINED_GAP, OVERSHOOT
from dxf2turn.cleaning.model import CleanDrawing
from dxf2turn.contour.frame import Axis, mirrored_point
from dxf2turn.geometry.point import Point
from dxf2turn.options import Tolerances


@dataclass(frozen=True, slots=True)
class Slack:
    """joined: cells around places at which ends were joined, in (z, r) of one side. gap, same: the
    tolerances. everywhere: how far near-doubles lay apart, which may have left a kink anywhere."""

    joined: frozenset[tuple[int, int]]
    gap: float
    same: float
    everywhere: float

    @staticmethod
    def of(clean: CleanDrawing, axis: Axis, above: bool, tolerances: Tolerances) -> Slack:
        """The slack on one side of an axis."""
        cells, apart = set(), tolerances.same_point
        for repair in clean.repairs:
            if repair.code == DOUBLE:
                apart = max(apart, repair.moved)
            if repair.code in (JOINED_GAP, OVERSHOOT) and repair.at is not None:
                k = clean.unit.mm_per_unit
                place = axis.z_r(Point(repair.at.x * k, repair.at.y * k))
                cells.add(_cell(place if above else mirrored_point(place), tolerances.gap))
        return Slack(
            frozenset(cells), tolerances.gap, tolerances.same_point, min(2.0 * apart, tolerances.gap)
        )

    @property
    def is_exact(self) -> bool:
        """Whether nothing was moved at all."""
        return not self.joined and self.everywhere <= 2.0 * self.same

    def at(self, point: Point) -> float:
        """How far a place may be off, mm."""
        x, y = _cell(point, self.gap)
        near = self.joined and any((x + dx, y + dy) in self.joined for dx in (0, -1, 1) for dy in (0, -1, 1))
        if near:
            return self.gap
        return self.same if self.everywhere <= 2.0 * self.same else self.everywhere


def _cell(point: Point, size: float) -> tuple[int, int]:
    return round(point.x / size), round(point.y / size)
