"""The verdict of the removal check."""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.findings import Finding
from dxf2turn.geometry.point import Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """One thing that went wrong in one step. kind: gouge, rapid contact, holder contact, jaw contact."""

    kind: str
    setup: int
    step: int
    move: int
    at: Point  # setup coordinates
    size: float  # mm (depth) or mm2 (area), see text
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Removal:
    """What is left after the plan, measured. gouge and left are volumes in mm3; max_* are depths in mm.

    left_areas: polygons (part z, r) of material that should be gone. after: per step the outline polygons
    of the remaining stock (setup coordinates), for the preview: {(setup no, step no): polygons with holes
    as (outer ring, inner rings)}.
    """

    gouge_mm3: float
    max_gouge: float
    left_mm3: float
    max_left: float
    rapid_contacts: int
    holder_contacts: int
    jaw_contacts: int
    ok: bool
    troubles: tuple[Trouble, ...] = ()
    left_areas: tuple[tuple[Point, ...], ...] = ()
    findings: tuple[Finding, ...] = ()
    after: tuple[tuple[int, int, tuple[tuple[tuple[Point, ...], ...], ...]], ...] = ()
