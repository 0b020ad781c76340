"""One drawn entity to curves and notes: the table of what the program can read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from dxf2turn.geometry.segment import Segment
from dxf2turn.reading.curves.arc import arc_shape, circle_shape
from dxf2turn.reading.curves.ellipse import ellipse_shape
from dxf2turn.reading.curves.hatch import hatch_shapes
from dxf2turn.reading.curves.line import line_shape
from dxf2turn.reading.curves.polyline import lwpolyline_shape, polyline_shape
from dxf2turn.reading.curves.shape import Pen, Shape
from dxf2turn.reading.curves.spline import spline_shape
from dxf2turn.reading.damage import Damage, Unusable
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.file.tables import Tables
from dxf2turn.reading.model import Curve, Note, Origin, Role
from dxf2turn.reading.notes.dimension import dimension_note
from dxf2turn.reading.notes.leader import leader_note, multileader_note
from dxf2turn.reading.notes.mtext import mtext_note
from dxf2turn.reading.notes.text import text_note
from dxf2turn.reading.notes.tolerance import tolerance_note
from dxf2turn.reading.plane import WORLD, Placement
from dxf2turn.reading.roles import role_of
from dxf2turn.reading.walk import Drawn
from dxf2turn.reading.wording import ASIDE, UNKNOWN_KIND

SHAPES: dict[str, Callable[[Record, Pen], Shape]] = {
    "LINE": line_shape,
    "3DLINE": line_shape,
    "ARC": arc_shape,
    "CIRCLE": circle_shape,
    "LWPOLYLINE": lwpolyline_shape,
    "POLYLINE": polyline_shape,
    "ELLIPSE": ellipse_shape,
    "SPLINE": spline_shape,
}

NOTES: dict[str, Callable[[Record, Placement, Origin], Note]] = {
    "TEXT": text_note,
    "ATTRIB": text_note,
    "ATTDEF": text_note,
    "MTEXT": mtext_note,
    "LEADER": leader_note,
    "MULTILEADER": multileader_note,
    "MLEADER": multileader_note,
    "TOLERANCE": tolerance_note,
}

DIMENSIONS = frozenset(("DIMENSION", "ARC_DIMENSION", "LARGE_RADIAL_DIMENSION"))


@dataclass(frozen=True, slots=True)
class Made:
    """What became of one drawn entity. reason: why it gives nothing, "" when it is used."""

    record: Record
    origin: Origin
    curves: tuple[Curve, ...] = ()
    notes: tuple[Note, ...] = ()
    mended: tuple[str, ...] = ()
    reason: str = ""
    serious: bool = False


@dataclass(frozen=True, slots=True)
class Converter:
    """What converting needs: tables, and tolerances in drawing units (see `Pen`)."""

    tables: Tables
    fit: float
    flat: float
    limit: float

    def make(self, drawn: Drawn) -> Made:
        """The entity as curves or notes. Raises Damage when a value that decides geometry is wrong."""
        record, origin = drawn.record, drawn.origin
        try:
            if record.kind in SHAPES:
                return self._curve(drawn, SHAPES[record.kind])
            if record.kind == "HATCH":
                return self._hatch(drawn)
            if record.kind in NOTES:
                return Made(record, origin, notes=(NOTES[record.kind](record, drawn.placement, origin),))
            if record.kind in DIMENSIONS:
                note = dimension_note(record, drawn.placement, origin, self.tables)
                return Made(record, origin, notes=(note,))
            if record.kind == "INSERT":
                return Made(record, origin)
            reason, serious = ASIDE.get(record.kind, UNKNOWN_KIND)
        except Unusable as unusable:
            reason, serious = unusable.reason, unusable.serious
        except Damage as damage:
            if record.kind in SHAPES:
                raise
            reason, serious = f"is damaged: {damage.text}", True
        return Made(record, origin, reason=reason, serious=serious)

    def _curve(self, drawn: Drawn, draw: Callable[[Record, Pen], Shape]) -> Made:
        record, origin = drawn.record, drawn.origin
        shape = draw(record, self._pen(drawn))
        if drawn.placement is not WORLD or record.kind != "LINE":
            _check_bounds(shape.segments, self.limit)
        role = role_of(origin.linetype, self.tables.linetypes)
        curve = Curve(shape.segments, origin, role, shape.closed, shape.fitted)
        return Made(record, origin, (curve,), mended=shape.mended)

    def _hatch(self, drawn: Drawn) -> Made:
        record, origin = drawn.record, drawn.origin
        shapes = hatch_shapes(record, self._pen(drawn))
        for shape in shapes:
            _check_bounds(shape.segments, self.limit)
        curves = (Curve(shape.segments, origin, Role.HATCH, True, shape.fitted) for shape in shapes)
        return Made(record, origin, tuple(curves))

    def _pen(self, drawn: Drawn) -> Pen:
        return Pen(drawn.placement, (drawn.origin.handle,), self.fit, self.flat)


def _check_bounds(segments: tuple[Segment, ...], limit: float) -> None:
    """Raise Damage when scales of blocks or a bulge lead beyond the limit of coordinates."""
    for segment in segments:
        for x, y in (segment.start, segment.end):
            if not (-limit <= x <= limit and -limit <= y <= limit):
                raise Damage(f"its coordinates reach {x:g}, {y:g}; the limit is {limit:g}")


def without_plot(made: Made) -> Made:
    """The same, its curves no part of the outline."""
    return replace(made, curves=tuple(replace(curve, role=Role.OTHER) for curve in made.curves))
