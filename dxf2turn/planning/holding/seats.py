"""Where the tailstock's centre finds its hole at the front of a part, before anything is made."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

import shapely
from shapely.affinity import translate

from dxf2turn.features.model import CentreHole
from dxf2turn.geometry.segment import Line
from dxf2turn.planning.bench import Cell
from dxf2turn.planning.centre_holes import drill_for, outline_to, size_for
from dxf2turn.planning.clamping import Centring
from dxf2turn.planning.holding.support import ANGLE_OFF, POINT
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.planning.rest import bore_region
from dxf2turn.planning.targets import front_bore
from dxf2turn.tables import rows
from dxf2turn.units import plain_text

FACE_LEFT = 0.2  # of the end face outside of the stub, mm
DEEPER = 0.5  # of a stub than its hole, mm
FLAT = 1e-6  # mm


@dataclass(frozen=True, slots=True)
class SeatPlan:
    """kind: "hole" (the part's own), "cone" (60 degree mouth of its bore), "bore" (in what is bored out
    later) or "stub" (in stock that is faced off later). centring: the hole that the part has not."""

    kind: str
    centring: Centring | None = None
    stub: tuple[float, float] | None = None

    @property
    def more(self) -> float:
        """Stock that this end needs in front of what is faced off, mm."""
        return 0.0 if self.stub is None else self.stub[0]

    @property
    def leaves_work(self) -> bool:
        """Whether the front is only finished once the centre is gone."""
        return self.kind in ("bore", "stub")


NO_SEAT = "its end has no centre hole and no flat face for a stub with one"


def seat_plans(part: PlacedPart, cell: Cell) -> Iterator[SeatPlan]:
    """How a centre can run at the front of a part, the simplest way first."""
    bore = front_bore(part)
    if bore and bore[0].start.y == 0.0 and _has_centre_hole(part):
        yield SeatPlan("hole")
        return
    if bore and _is_seat(bore[-1], cell.practice.holding.least_seat_mm):
        yield SeatPlan("cone")
    sizes = size_for(2.0 * part.max_radius)
    for kind in (_in_the_bore, _on_a_stub) if bore else (_on_a_stub,):
        plans = (kind(part, cell, size) for size in sizes)
        yield from islice((plan for plan in plans if plan is not None), 1)


def _has_centre_hole(part: PlacedPart) -> bool:
    return any(isinstance(f, CentreHole) and f.side == "face" for f in part.features)


def _is_seat(mouth: object, least: float) -> bool:
    """Whether the mouth of a bore is a 60 degree cone that a centre can run on."""
    if not isinstance(mouth, Line) or mouth.length < least or mouth.end.y <= mouth.start.y:
        return False
    along = math.atan2(mouth.end.y - mouth.start.y, mouth.end.x - mouth.start.x)
    return abs(along - POINT) < ANGLE_OFF


def _in_the_bore(part: PlacedPart, cell: Cell, size: str) -> SeatPlan | None:
    """A centre hole that goes when the bore is made; None where it would not all lie in the bore."""
    tool = drill_for(cell.shop, "A", size)
    if tool is None:
        return None
    radius = 0.5 * (tool.diameter_mm or 0.0)
    shape = outline_to(tool, radius)
    hole = shapely.Polygon([*shape, (shape[-1].x, 0.0)])
    hole = translate(hole, -shape[-1].x)
    if not shapely.buffer(bore_region(part), FLAT).contains(hole):
        return None
    why = f"for the tailstock; the hole {tool.insert} goes when the bore is made"
    return SeatPlan("bore", Centring(tool, 0.0, radius, why))


def _on_a_stub(part: PlacedPart, cell: Cell, size: str) -> SeatPlan | None:
    """A centre hole in a stub before the face; None where the face is too small for it."""
    tool = drill_for(cell.shop, "A", size)
    row = next(row for row in rows("centre_holes") if row["form"] == "A" and row["d_mm"] == size)
    if tool is None:
        return None
    radius = 0.5 * (tool.diameter_mm or 0.0)
    holding = cell.practice.holding
    around = radius + max(holding.stub_wall_mm, holding.stub_wall_share * 2.0 * radius)
    long = row.optional_number("cutoff_allowance_a_mm") or 0.0
    long = round(max(long, outline_to(tool, radius)[-1].x + DEEPER), 1)
    faces = (s for s in part.run("front") if isinstance(s, Line) and abs(s.start.x) + abs(s.end.x) < FLAT)
    if not any(s.start.y <= around <= s.end.y - FACE_LEFT for s in faces):
        return None
    why = (
        f"for the tailstock; the drawing has no centre hole here, so {tool.insert} goes into "
        f"{plain_text(long)} mm of stock that is faced off later (ISO 6411 table, {row.source()})"
    )
    return SeatPlan("stub", Centring(tool, long, radius, why), (long, around))
