"""How much long work gives way under the tool: its shape between jaws and centre, as one plain rod."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import shapely

from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.planning.bench import FAR, Bench, Choice
from dxf2turn.planning.clamping import Clamping
from dxf2turn.planning.holding.free_end import sections
from dxf2turn.shop.bending import chuck_and_tailstock, passive_force, second_moment
from dxf2turn.shop.forces import cutting_force
from dxf2turn.shop.model import Tool
from dxf2turn.units import plain_text

SLICES = 120  # across which the work is averaged


def even_diameter(bench: Bench) -> float:
    """Diameter of the plain rod that bends as much as the finished part in front of the jaws, mm.

    A rod bends with 1 / d^4, so that is averaged; bores count.
    """
    low, _, high, _ = bench.body.bounds
    low = max(low, bench.clamping.jaw_face)
    stops = low + (np.arange(SLICES) + 0.5) * (high - low) / SLICES
    rays = shapely.linestrings([[(z, 0.0), (z, FAR)] for z in stops])
    walls = shapely.bounds(shapely.intersection(bench.body, rays))
    fourth = (2.0 * walls[:, 3]) ** 4 - (2.0 * walls[:, 1]) ** 4
    fourth = fourth[np.isfinite(fourth) & (fourth > 0.0)]
    return float(np.mean(1.0 / fourth) ** -0.25) if len(fourth) else 2.0 * bench.clamping.part.max_radius


def work_give(bench: Bench) -> Callable[[float], float]:
    """How far the work bends under 1 N while a pass of some depth is taken off it, mm.

    Without support at its free end, where the pass and the finishing allowance still stiffen it, but for what
    an earlier setup has finished; between the jaws and a support half way, as its plain rod.
    """
    clamping, modulus = bench.clamping, bench.cell.material.youngs_modulus
    free = free_length(clamping)
    if free is not None:
        propped = chuck_and_tailstock(1.0, free, modulus, second_moment(even_diameter(bench)))
        return lambda depth: propped
    found = sections(clamping.part, clamping.jaw_face)
    if found is None:
        return lambda depth: 0.0
    allowance, stock = bench.cell.practice.turning.leave_radius_mm, found.radii_of(bench.stock)
    return lambda depth: found.give(modulus, allowance + depth, stock)


def free_length(clamping: Clamping) -> float | None:
    """Length between the jaws and what else holds the work, a steady or the centre; None without support."""
    if clamping.purpose != "outside" or not clamping.supports:
        return None
    steady = [p.x for ring in clamping.supports for p in ring if min(q.y for q in ring) > 0.0]
    return (min(steady) if steady else 0.0) - clamping.jaw_face


def bends_while_finishing(bench: Bench, tool: Tool, choice: Choice) -> Finding | None:
    """What is to be looked at where the finishing cut bends the work, though it runs in a centre."""
    clamping, practice = bench.clamping, bench.cell.practice.turning
    length = free_length(clamping)
    if length is None:
        return None
    kappa = tool.cutting_edge_angle or math.pi / 2.0
    kappa = min(kappa, math.pi - kappa)
    material = bench.cell.material
    force = passive_force(cutting_force(material, practice.leave_radius_mm, choice.feed, kappa))
    diameter = even_diameter(bench)
    gives = chuck_and_tailstock(force, length, material.youngs_modulus, second_moment(diameter))
    if gives <= practice.most_finish_bending_mm:
        return None
    return Finding(
        code="planning/bends-while-finishing",
        severity=Severity.FIX,
        text=(
            f"setup {clamping.no}: while it is finished the work gives {plain_text(gives, 3)} mm half way "
            f"between jaws and support ({force:.0f} N on a rod of {plain_text(diameter, 1)} mm)"
        ),
        hint="let a travelling steady follow the tool, or finish in two cuts and measure in the middle",
        where=Location(z=0.5 * clamping.jaw_face, r=0.5 * diameter),
        measured=gives,
        limit=practice.most_finish_bending_mm,
        source="y = 7 F L^3 / (768 E I), see docs/shop.md; limit common practice, no source",
    )
