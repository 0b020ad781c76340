"""Shape: what one entity draws. Pen: what an entity needs to know to draw it."""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.geometry.segment import Segment
from dxf2turn.reading.plane import WORLD, Placement


@dataclass(frozen=True, slots=True)
class Shape:
    """Joined segments in drawing coordinates.

    fitted: largest distance of fitted arcs from the drawn curve, drawing units.
    mended: codes of the repairs that were needed to read the entity.
    """

    segments: tuple[Segment, ...]
    closed: bool = False
    fitted: float = 0.0
    mended: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Pen:
    """Where and how exactly an entity is drawn.

    placement: of the block it lies in. origin: goes into each segment. fit: largest distance of fitted
    arcs; flat: a bow lower than this is a straight line, and how far a line may leave the drawing plane;
    both in drawing units.
    """

    placement: Placement = WORLD
    origin: tuple[str, ...] = ()
    fit: float = 0.002
    flat: float = 1e-6
