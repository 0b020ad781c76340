"""Callouts: each note of the drawing with a text, in the part's plane."""

from __future__ import annotations

import math
from dataclasses import dataclass

from dxf2turn.contour.model import Contour, PlacedNote
from dxf2turn.features.designation import plain
from dxf2turn.geometry.point import Point
from dxf2turn.reading.model import Dimension, DimensionKind, NoteKind
from dxf2turn.units import MM_PER_INCH


@dataclass(frozen=True, slots=True)
class Callout:
    """text: one spelling (see `designation.plain`); raw: as written. at, tips: z and r, mm.

    source: "text", "dimension" or "option". height: of the letters, mm. ends: the measured points of a
    dimension with r signed (both sides of the axis).
    """

    text: str
    raw: str
    at: Point
    tips: tuple[Point, ...]
    source: str
    handle: str = ""
    layer: str = ""
    height: float = 0.0
    dimension: Dimension | None = None
    ends: tuple[Point, ...] = ()
    along: float = 0.0  # of a linear dimension: the share of its direction along z, 0..1

    @property
    def places(self) -> tuple[Point, ...]:
        """What it points at, else where it stands."""
        return self.tips or (self.at,)


def callouts(contour: Contour) -> tuple[Callout, ...]:
    """All notes with a text, in the order of the drawing."""
    return tuple(_callout(contour, placed) for placed in contour.notes if placed.note.text.strip())


def _callout(contour: Contour, placed: PlacedNote) -> Callout:
    note = placed.note
    unit = contour.frame.mm_per_unit if contour.frame is not None else 1.0
    dimension = note.dimension
    ends = tuple(_on_part(contour, point) for point in dimension.points) if dimension is not None else ()
    return Callout(
        text=plain(note.text),
        raw=note.text,
        at=placed.at,
        tips=placed.tips,
        source="dimension" if note.kind is NoteKind.DIMENSION else "text",
        handle=note.origin.handle,
        layer=note.origin.layer,
        height=note.height * unit,
        dimension=dimension,
        ends=ends,
        along=_along(contour, dimension),
    )


def _on_part(contour: Contour, point: Point) -> Point:
    """A drawing point as (z, r) in mm, r negative beyond the axis."""
    frame = contour.frame
    if frame is None:
        return point
    dx, dy = point.x - frame.origin.x, point.y - frame.origin.y
    z = (dx * frame.z_axis[0] + dy * frame.z_axis[1]) * frame.mm_per_unit
    return Point(z, (dx * frame.r_axis[0] + dy * frame.r_axis[1]) * frame.mm_per_unit)


def _along(contour: Contour, dimension: Dimension | None) -> float:
    if dimension is None:
        return 0.0
    z_axis = contour.frame.z_axis if contour.frame is not None else (1.0, 0.0)
    return abs(math.cos(dimension.direction) * z_axis[0] + math.sin(dimension.direction) * z_axis[1])


LENGTHS = (DimensionKind.LINEAR, DimensionKind.DIAMETER, DimensionKind.RADIUS, DimensionKind.ORDINATE)


def text_unit(contour: Contour) -> float:
    """Millimetres for one unit of the numbers written on the drawing: 1 or 25.4.

    Each dimension tells: the part's size in mm against the number it shows. Without dimensions the factor
    from drawing to part decides: it is a scale in mm or one in inches.
    """
    ratios = [ratio for callout in callouts(contour) if (ratio := _ratio(callout)) is not None]
    if not ratios:
        factor = contour.frame.mm_per_unit if contour.frame is not None else 1.0
        return MM_PER_INCH if _off_scale(factor / MM_PER_INCH) < _off_scale(factor) else 1.0
    inches = sum(1 for ratio in ratios if ratio > math.sqrt(MM_PER_INCH))
    return MM_PER_INCH if 2 * inches > len(ratios) else 1.0


def _off_scale(factor: float) -> float:
    """How far a factor is from a preferred drawing scale (ISO 5455: 1, 2, 5, 10 ... and their inverses)."""
    power = math.log10(factor) % 1.0
    return min(abs(power - math.log10(scale)) for scale in (1.0, 2.0, 5.0, 10.0))


def _ratio(callout: Callout) -> float | None:
    """Measured mm for one unit of the shown number, None for an angle or an empty measurement."""
    dimension = callout.dimension
    if dimension is None or dimension.kind not in LENGTHS or len(callout.ends) < 2:
        return None
    number = dimension.measured * dimension.factor if dimension.shown is None else dimension.shown
    size = measured_mm(callout)
    return size / number if number > 0.0 and size > 0.0 else None


def measured_mm(callout: Callout) -> float:
    """What a length dimension measures on the part, mm."""
    first, last = callout.ends[0], callout.ends[-1]
    if callout.dimension is None or callout.dimension.kind in (DimensionKind.DIAMETER, DimensionKind.RADIUS):
        return first.distance(last)
    across = math.sqrt(max(0.0, 1.0 - callout.along**2))
    # The direction has no sign here: a linear dimension along z or across it; a slanted one is its distance.
    if callout.along > math.cos(SLANT):
        return abs(last.x - first.x)
    return abs(last.y - first.y) if across > math.cos(SLANT) else first.distance(last)


SLANT = math.radians(
    1.0
)  # a dimension within this of the axis (or square to it) measures along (or across) it
