"""Work too slender even between chuck and centre: the front half first, then the back half beside a steady.

The front half is turned with little more than itself out of the jaws. Then the work is brought out, a steady
stands on a finished cylinder of the front half, and the back half is turned between it and the jaws. So the
free length is halved, twice.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from dxf2turn.features.model import Cylinder, Limits
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.planning.bench import Bench, Cell
from dxf2turn.planning.clamping import Clamping
from dxf2turn.planning.holding.grips import is_spoilt
from dxf2turn.planning.holding.near_ends import PADS_OFF, Band, bands
from dxf2turn.planning.holding.setups import jaws_at
from dxf2turn.planning.holding.support import steady_on
from dxf2turn.planning.sequence import OUTSIDE_KINDS, filled
from dxf2turn.tables import Row, rows
from dxf2turn.units import plain_text

MIDDLE = (0.35, 0.65)  # where the halves may meet, share of the free length
BESIDE = 2.0  # the halves meet so far inside a plain cylinder, mm
TOOL_ROOM = 3.0  # between the steady and a tool where the halves meet, mm


def too_slender(tail: Clamping) -> float | None:
    """Free length over diameter where it is more than the tailstock alone holds (rule T28), else None."""
    ratio = -tail.jaw_face / (2.0 * tail.part.max_radius)
    return ratio if ratio > _rule().number("value") else None


def slender_finding(tail: Clamping, ratio: float, reason: str) -> Finding:
    """What is said where the tailstock alone has to do."""
    rule = _rule()
    return Finding(
        code="planning/slender",
        severity=Severity.FIX,
        text=(
            f"{plain_text(-tail.jaw_face, 1)} mm lie between the jaws and the centre, {plain_text(ratio, 1)} "
            f"diameters: the tailstock alone does not hold it, and a steady can't help: {reason}"
        ),
        hint="let a travelling steady follow the tool, and keep to the light cuts of the plan",
        where=Location(z=0.5 * tail.jaw_face, r=tail.part.max_radius),
        measured=ratio,
        limit=rule.number("value"),
        unit="diameters",
        source=f"rule T28, {rule.source()}",
    )


def _rule() -> Row:
    return next(row for row in rows("check_limits") if row["rule"] == "T28")


def in_halves(
    tail: Clamping, cell: Cell, limits: tuple[Limits, ...], before: Bench
) -> tuple[Bench, Bench] | str:
    """The benches of both halves; the reason why it can't be done.

    tail: the clamping with the centre in for all of the outside.
    """
    if cell.machine.steady_mm is None:
        return "the machine has none"
    if 2.0 * tail.raw_radius > cell.machine.spindle_bore_mm:
        return "the bar does not go into the spindle"
    meeting = next(_meetings(tail), None)
    if meeting is None:
        return "no plain cylinder lies in the middle, where both halves could meet"
    front = filled(cell, _front(tail, cell, meeting), limits, before)
    place = _steady_band(front, cell, meeting)
    if place is None:
        low, high = cell.machine.steady_mm
        return (
            f"no plain cylinder of {plain_text(low)} to {plain_text(high)} mm is long enough for it in the "
            "front half"
        )
    return front, filled(cell, _back(tail, cell, front, place), limits, front)


def _meetings(tail: Clamping) -> Iterator[float]:
    """Places where the halves may meet, the one nearest to the middle first."""
    low, high = (tail.jaw_face * share for share in reversed(MIDDLE))
    middle = 0.5 * tail.jaw_face
    places = []
    for feature in tail.part.features:
        if isinstance(feature, Cylinder) and feature.side == "outside" and not is_spoilt(tail.part, feature):
            place = min(max(middle, feature.z_back + BESIDE), feature.z_front - BESIDE)
            if max(low, feature.z_back + BESIDE) <= place <= min(high, feature.z_front - BESIDE):
                places.append(place)
    yield from sorted(places, key=lambda place: abs(place - middle))


def _front(tail: Clamping, cell: Cell, meeting: float) -> Clamping:
    """The front half, the rest of the bar still in the spindle."""
    holding = cell.practice.holding
    face = meeting - cell.clearance - holding.jaw_room_mm
    return replace(
        tail,
        jaws=jaws_at(face, tail.raw_radius, cell.machine),
        grip=f"bar {plain_text(2.0 * tail.raw_radius)} mm, {plain_text(-face, 1)} mm out of the jaws",
        grip_length=cell.machine.jaw_length,
        grip_radius=tail.raw_radius,
        outside_to=meeting,
        over=cell.clearance,
        lowest=face + cell.clearance,
        parting=None,
        prepare=f"bring the bar {plain_text(-face, 1)} mm out of the jaws; bring up the tailstock",
        prepare_s=holding.pull_out_s + holding.tailstock_s,
        findings=(),
    )


def _steady_band(front: Bench, cell: Cell, meeting: float) -> Band | None:
    """Where the steady stands: as near to the meeting place as the tools of the back half allow."""
    machine = cell.machine
    assert machine.steady_mm is not None
    low, high = machine.steady_mm
    tools = (tool for tool in cell.shop.tools if tool.kind in OUTSIDE_KINDS)
    room = max(p.x for tool in tools for ring in (tool.outline, *tool.holder) for p in ring) + TOOL_ROOM
    places = []
    for band in bands(front.clamping.part, front.stock):
        lo = max(band.lo + PADS_OFF, meeting + room)
        fits = band.hi - PADS_OFF - lo >= machine.steady_width
        if band.feature and fits and low <= 2.0 * band.radius <= high:
            places.append(Band(lo, lo + machine.steady_width, band.radius, band.feature))
    return min(places, key=lambda place: place.lo, default=None)


def _back(tail: Clamping, cell: Cell, front: Bench, place: Band) -> Clamping:
    """The back half, between the steady and the jaws; the centre is still in."""
    holding = cell.practice.holding
    size, z = plain_text(2.0 * place.radius), plain_text(place.lo, 1)
    return replace(
        tail,
        no=front.clamping.no + 1,
        stock=front.stock,
        support="steady",
        supports=(*tail.supports, *steady_on(0.5 * (place.lo + place.hi), place.radius, cell.machine)),
        prepare=(
            f"bring the bar {plain_text(-tail.jaw_face, 1)} mm out of the jaws; bring up the tailstock; "
            f"steady on diameter {size} mm, Z {z}, pads just touching"
        ),
        prepare_s=holding.pull_out_s + holding.tailstock_s + holding.steady_s,
    )
