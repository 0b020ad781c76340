"""What cleaning hands on: pieces in mm, still in drawing x, y directions, dirt removed."""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.findings import Finding, Repair
from dxf2turn.geometry.segment import Segment
from dxf2turn.reading.model import Drawing, Origin, Role
from dxf2turn.units import Unit


@dataclass(frozen=True, slots=True)
class UnitDecision:
    """The drawing's unit and how it was found.

    source: "header", "option" or "assumed". mm_per_unit: multiply drawing coordinates by this to get mm of
    the real part (unit and drawing scale together). scale: drawn size / real size.
    """

    unit: Unit
    source: str
    mm_per_unit: float
    scale: float = 1.0
    why: str = ""


@dataclass(frozen=True, slots=True)
class Piece:
    """One segment in mm (drawing coordinates times mm_per_unit), with what it was drawn as."""

    segment: Segment
    origin: Origin
    role: Role


@dataclass(frozen=True, slots=True)
class CleanDrawing:
    """Pieces cut at all crossings and touches, joined within the gap tolerance, doubles removed.

    Invariants: ends that belong together are equal to the last bit; no two pieces overlap or cross
    away from their ends.
    """

    drawing: Drawing
    unit: UnitDecision
    pieces: tuple[Piece, ...]  # roles OUTLINE and HIDDEN, what the outline may be made of
    centres: tuple[Piece, ...]  # centre lines, not cut
    hatches: tuple[tuple[Segment, ...], ...] = ()  # closed hatch boundaries, mm
    repairs: tuple[Repair, ...] = ()
    findings: tuple[Finding, ...] = ()
    hatch_lines: tuple[Segment, ...] = ()  # of hatchings drawn as single lines, mm
