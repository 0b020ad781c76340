"""Hollows of the outside that turning tools go into: wide grooves, what lies behind the largest diameter."""

from __future__ import annotations

from dataclasses import replace

import shapely

from dxf2turn.geometry.region import polygon
from dxf2turn.planning.bench import Cell
from dxf2turn.planning.clamping import Clamping
from dxf2turn.planning.targets import outside_target
from dxf2turn.planning.work import SAGITTA

LEAST = 10.0  # hollows of less area than this are left to blades, mm2


def hollows_turned(clamping: Clamping, cell: Cell) -> Clamping | None:
    """The same clamping with wide hollows open to turning tools; blades take what these leave.

    None where there is hardly any, and where too thin a neck would hold the part until it is parted off.
    """
    practice = cell.practice
    opened = replace(clamping, blades_up_to=practice.turning.blade_hollow_mm)
    closed_body, open_body = (polygon(outside_target(c), SAGITTA) for c in (clamping, opened))
    hollows = shapely.difference(closed_body, open_body)
    if hollows.area < LEAST:
        return None
    neck = practice.parting.neck_of(clamping.part.max_radius)
    return opened if clamping.parting is None or hollows.bounds[1] >= neck else None
