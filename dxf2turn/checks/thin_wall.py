"""Walls between outside and bore, and bottoms of blind holes, that are too thin to hold."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from dxf2turn.checks.limits import Threshold, limit
from dxf2turn.checks.model import Case, Check
from dxf2turn.checks.rays import abreast, radii_at
from dxf2turn.checks.words import mm, spot
from dxf2turn.findings import Finding, Severity
from dxf2turn.shop.model import Material

BESIDE = 1e-3  # walls are measured this far beside each corner, mm
STEPS = 4  # and in this many even steps between two corners
PLASTIC, ALUMINIUM, STEELS = ("plastic",), ("alu",), ("P", "M", "S", "H")
EDGES = ("chamfer", "edge_round")  # a wall that runs out at the edge of a face is no thin wall


@dataclass(frozen=True, slots=True)
class Wall:
    """The thinnest place. z, r: on its outer side; segment: the outer piece."""

    thickness: float
    z: float
    r: float
    segment: int


def run(case: Case) -> Iterator[Finding]:
    """The thinnest wall, against what holds in this material and for this diameter."""
    wall = min((*ring_walls(case), *bottom_walls(case)), key=lambda found: found.thickness, default=None)
    if wall is None:
        return
    least = _least(case.material)
    usual = _usual(case.material)
    share = limit("T33", "wall_per_diameter")
    if wall.thickness < least.value:
        yield _finding(case, wall, Severity.FIX, (least.value, least))
    elif usual is not None and wall.thickness < usual.value:
        yield _finding(case, wall, Severity.NOTE, (usual.value, usual))
    elif wall.thickness < share.value * 2.0 * wall.r:
        yield _finding(case, wall, Severity.NOTE, (share.value * 2.0 * wall.r, share))


def ring_walls(case: Case) -> Iterator[Wall]:
    """Radial thickness at many z between the outside and the bore."""
    roles = case.part.profile.roles
    surfaces = [i for i, role in enumerate(roles) if role in ("outside", "inside")]
    stations = _off_the_edges(case, _stations(case, surfaces))
    for z, near in abreast([(i, case.segments[i]) for i in surfaces], stations):
        inner = [r for i in near if roles[i] == "inside" for r in radii_at(case.segments[i], z)]
        outer = [(r, i) for i in near if roles[i] == "outside" for r in radii_at(case.segments[i], z)]
        if inner and outer:
            r, index = min(outer)
            yield Wall(r - max(inner), z, r, index)


def _off_the_edges(case: Case, stations: list[float]) -> list[float]:
    """The stations that lie in no chamfer or round."""
    breaks = sorted((f.z_back - BESIDE, f.z_front + BESIDE) for f in case.part.of_kind(*EDGES))
    found, place, covered = [], 0, -math.inf
    for z in stations:
        while place < len(breaks) and breaks[place][0] <= z:
            covered = max(covered, breaks[place][1])
            place += 1
        if z > covered:
            found.append(z)
    return found


def bottom_walls(case: Case) -> Iterator[Wall]:
    """Axial thickness between the bottom of a blind hole and the face behind it."""
    profile = case.part.profile
    box = profile.bounds
    for index, role in enumerate(profile.roles):
        before, after = profile.roles[index - 1], profile.roles[(index + 1) % len(profile.roles)]
        if role != "inside" or "axis" not in (before, after):
            continue
        # From the axis the bottom faces the front when the hole opens there, else the back.
        z = profile.segments[index].start.x if before == "axis" else profile.segments[index].end.x
        thickness = z - box.min_x if before == "axis" else box.max_x - z
        yield Wall(thickness, z, 0.0, index)


def _stations(case: Case, indices: list[int]) -> list[float]:
    corners = sorted({x for i in indices for x in (case.segments[i].start.x, case.segments[i].end.x)})
    found: list[float] = []
    for low, high in zip(corners, corners[1:]):
        if high - low > 2.0 * BESIDE:
            ends = (low + BESIDE, high - BESIDE)
            found.extend(ends[0] + (ends[1] - ends[0]) * step / STEPS for step in range(STEPS + 1))
    return found


def _least(material: Material | None) -> Threshold:
    plastic = material is not None and material.speed_class in PLASTIC
    return limit("T31", "wall_plastic_mm" if plastic else "wall_metal_mm")


def _usual(material: Material | None) -> Threshold | None:
    if material is None or material.speed_class in PLASTIC:
        return None
    if material.speed_class in ALUMINIUM:
        return limit("T32", "wall_aluminium_mm")
    return limit("T32", "wall_steel_mm") if material.group in STEELS else None


def _finding(case: Case, wall: Wall, severity: Severity, bound: tuple[float, Threshold]) -> Finding:
    value, rule = bound
    what = "bottom" if math.isclose(wall.r, 0.0) else "wall"
    return Finding(
        code=CHECK.code,
        severity=severity,
        text=f"the {what} at {spot(wall.z, wall.r)} is {mm(wall.thickness)} thick; less than {mm(value)}"
        " gives way under chuck and tool",
        hint="Thicken it, or clamp softly and finish with a light cut.",
        where=case.place(wall.z, wall.r, (wall.segment,)),
        measured=wall.thickness,
        limit=value,
        source=rule.source,
    )


def _has_hollow(case: Case) -> str | None:
    return None if "inside" in case.part.profile.roles else "the part has no hole"


CHECK = Check(
    id="thin-wall",
    why="A thin wall gives way to jaws and tool and comes out neither round nor true.",
    rules=("T31", "T32", "T33"),
    applies=_has_hollow,
    run=run,
)
