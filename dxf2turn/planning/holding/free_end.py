"""How far the free end of unsupported work gives way under a finishing cut."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from dxf2turn.features.model import Limits
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.geometry.region import polygon
from dxf2turn.planning.bench import FAR, Cell
from dxf2turn.planning.clamping import Clamping
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.planning.work import SAGITTA
from dxf2turn.shop.bending import passive_force
from dxf2turn.shop.forces import cutting_force
from dxf2turn.shop.roughness import feed_for
from dxf2turn.units import plain_text

SLICES = 200  # across which the bending is summed up


def gives_way(
    part: PlacedPart,
    jaw_face: float,
    force: float,
    modulus: float,
    z: float = 0.0,
) -> float:
    """Bending at z of a stepped part held behind `jaw_face` by a radial force there, mm."""
    found = sections(part, jaw_face, z)
    return 0.0 if found is None else force * found.give(modulus)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sections:
    """Slices of a stepped part between the jaws and a force: their place, distance from it, radii, mm."""

    z: NDArray
    away: NDArray
    inner: NDArray
    outer: NDArray
    thick: float

    def give(self, modulus: float, layer: float = 0.0, stock: NDArray | float = math.inf) -> float:
        """Bending under 1 N, mm: sum of s^2 / (E I) ds, s from the force (unit load method; for a plain rod
        L^3 / 3 E I). layer: what still lies over the part, mm, where the radius of the stock allows it."""
        outer = np.maximum(self.outer, np.minimum(self.outer + layer, stock))
        moments = 0.25 * math.pi * (outer**4 - self.inner**4)
        return float(np.sum(self.away**2 / moments) * self.thick / modulus)

    def radii_of(self, stock: BaseGeometry) -> NDArray:
        """Outer radius of some stock at each slice, mm; 0 where there is none."""
        return np.nan_to_num(_walls(stock, self.z)[:, 3])


def sections(part: PlacedPart, jaw_face: float, z: float = 0.0) -> Sections | None:
    """The slices of the finished part from the jaws to z; None where nothing stands out so far."""
    body = polygon(part.segments, SAGITTA)
    low, high = max(jaw_face, body.bounds[0]), min(z, body.bounds[2])
    if low >= high:
        return None
    step = (high - low) / SLICES
    stops = low + (np.arange(SLICES) + 0.5) * step
    walls = _walls(body, stops)
    solid = np.isfinite(walls[:, 3]) & (walls[:, 3] > walls[:, 1])
    z, inner, outer = stops[solid], walls[solid, 1], walls[solid, 3]
    return Sections(z=z, away=high - z, inner=inner, outer=outer, thick=step)


def _walls(body: BaseGeometry, z: NDArray) -> NDArray:
    """Bounds of a body across the axis at each z; nan where it is not."""
    rays = shapely.linestrings([[(here, 0.0), (here, FAR)] for here in z])
    return shapely.bounds(shapely.intersection(body, rays))


def slender_end(clamping: Clamping, cell: Cell, limits: Iterable[Limits]) -> Iterator[Finding]:
    """Findings where thin sections let the work give way, though not many diameters stand out.

    The free end under a finishing cut, and each close diameter under the last cut after it was measured.
    """
    part, practice = clamping.part, cell.practice.turning
    bend = _bend(clamping, cell, practice.leave_radius_mm, 0.0)
    if bend > practice.most_free_bending_mm:
        yield _too_soft(clamping, "the free end", bend, (practice.most_free_bending_mm, 0.0))
        return
    for limit in limits:
        if limit.what != "diameter" or limit.grade is None or limit.grade > practice.measured_grade:
            continue
        z = part.z_here(0.5 * (limit.z_front + limit.z_back))
        bend = _bend(clamping, cell, practice.leave_measuring_mm, z)
        if 2.0 * bend > limit.upper - limit.lower:
            where = f"diameter {plain_text(limit.nominal)} mm"
            yield _too_soft(clamping, where, bend, (0.5 * (limit.upper - limit.lower), z))
            return


def _bend(clamping: Clamping, cell: Cell, depth: float, z: float) -> float:
    """Bending at z under a usual finishing cut of a depth, mm."""
    turning, factor = cell.practice.turning, cell.practice.cutting.roughness_factor
    feed = feed_for(turning.usual_ra_um / factor, turning.usual_nose_mm)
    force = passive_force(cutting_force(cell.material, depth, feed, 0.5 * math.pi))
    return gives_way(clamping.part, clamping.jaw_face, force, cell.material.youngs_modulus, z)


def _too_soft(clamping: Clamping, what: str, bend: float, limit: tuple[float, float]) -> Finding:
    """limit: what may be, mm, and the place z."""
    most, z = limit
    return Finding(
        code="planning/long-overhang",
        severity=Severity.FIX,
        text=(
            f"setup {clamping.no}: {what} gives way {plain_text(bend, 3)} mm under the finishing cut, "
            f"{plain_text(-clamping.jaw_face, 1)} mm out of the jaws; {plain_text(most, 3)} mm is the limit"
        ),
        hint="support the end with the tailstock or a steady, or take light cuts and measure",
        where=Location(z=z, r=0.0),
        measured=bend,
        limit=most,
        source="bending of a stepped rod (S72); limit common practice: half a tolerance, 0.05 mm without one",
    )
