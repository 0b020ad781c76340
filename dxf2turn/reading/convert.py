"""One drawn entity to curves and notes: the table of what the program can read."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import reduce

from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Bounds, Segment
from dxf2turn.options import ReadLimits
from dxf2turn.reading.curves.arc import arc_shape, circle_shape
from dxf2turn.reading.curves.ellipse import ellipse_shape
from dxf2turn.reading.curves.endless import endless_shape
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

_ENDLESS = frozenset(("XLINE", "RAY"))
_MARKED = frozenset(("LWPOLYLINE", "SPLINE", "ELLIPSE"))  # kinds that came with subclass markers
_NO_EXTRUSION = frozenset(("LINE", "SPLINE"))  # kinds whose coordinates do not depend on it
_PICTURES = ("*X", "*D", "*T")  # blocks that hold the lines of a hatch, of a dimension, of a table
DIMENSIONS = frozenset(("DIMENSION", "ARC_DIMENSION", "LARGE_RADIAL_DIMENSION"))


@dataclass(frozen=True, slots=True)
class Made:
    """What became of one drawn entity.

    reason: why it gives nothing, "" when it is used. serious: a person should look at it.
    plotted: whether its layer is. placement: kept for endless lines, which are drawn last. inserts: of a
    curve, see `Drawn`.
    """

    record: Record
    origin: Origin
    curves: tuple[Curve, ...] = ()
    notes: tuple[Note, ...] = ()
    mended: tuple[str, ...] = ()
    reason: str = ""
    serious: bool = False
    plotted: bool = True
    placement: Placement = WORLD
    inserts: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Converter:
    """What converting needs: tables, and tolerances in drawing units (see `Pen`)."""

    tables: Tables
    fit: float
    flat: float
    limits: ReadLimits

    def make(self, drawn: Drawn) -> Made:
        """The entity as curves or notes. Raises Damage when a value that decides geometry is wrong."""
        try:
            return self._read(drawn)
        except Unusable as unusable:
            reason, serious = unusable.reason, unusable.serious
        except Damage as damage:
            if drawn.record.kind in SHAPES:
                raise
            reason, serious = f"is damaged: {damage.text}", True
        return Made(
            drawn.record,
            drawn.origin,
            reason=reason,
            serious=serious,
            plotted=drawn.plotted,
            placement=drawn.placement,
        )

    def _read(self, drawn: Drawn) -> Made:
        record, origin = drawn.record, drawn.origin
        if record.kind in SHAPES:
            return self._curve(drawn, SHAPES[record.kind])
        if record.kind == "INSERT":
            return Made(record, origin, mended=_mends(record))
        self._check_strings(record)
        if record.kind == "HATCH":
            return self._hatch(drawn)
        if record.kind in DIMENSIONS:
            return self._note(drawn, dimension_note(record, drawn.placement, origin, self.tables))
        if record.kind in NOTES:
            return self._note(drawn, NOTES[record.kind](record, drawn.placement, origin))
        raise Unusable(*ASIDE.get(record.kind, UNKNOWN_KIND))

    def _check_strings(self, record: Record) -> None:
        """Refuse a text so long that taking it apart would take for ever."""
        longest = max(map(len, record.fields.values()), default=0)
        if longest > self.limits.max_string:
            raise Unusable(f"holds a text of {longest:,} characters", serious=True)

    def _curve(self, drawn: Drawn, draw: Callable[[Record, Pen], Shape]) -> Made:
        record, origin = drawn.record, drawn.origin
        shape = draw(record, self._pen(drawn))
        if not shape.segments:
            raise Unusable("has no length")
        if drawn.placement is not WORLD or record.kind != "LINE":
            _check_bounds(shape.segments, self.limits.max_coordinate)
        role = role_of(origin.linetype, self.tables.linetypes)
        if any(name.upper().startswith(_PICTURES) for name in origin.block):
            role = Role.OTHER
        curve = Curve(shape.segments, origin, role, shape.closed, shape.fitted)
        mended = (*shape.mended, *_mends(record))
        return Made(record, origin, (curve,), mended=mended, plotted=drawn.plotted, inserts=drawn.inserts)

    def endless(self, made: Made, box: Bounds) -> Made:
        """An endless line as an axis through the box of the drawing, if its linetype says that it is one."""
        role = role_of(made.origin.linetype, self.tables.linetypes)
        if role is not Role.CENTRE:
            return made
        pen = Pen(made.placement, (made.origin.handle,), self.fit, self.flat)
        try:
            shape = endless_shape(made.record, pen, box)
            _check_bounds(shape.segments, self.limits.max_coordinate)
        except (Unusable, Damage):
            return made
        return Made(
            made.record, made.origin, (Curve(shape.segments, made.origin, role),), plotted=made.plotted
        )

    def _note(self, drawn: Drawn, note: Note) -> Made:
        _check_places((note.at, *note.tips), self.limits.max_coordinate)
        return Made(drawn.record, drawn.origin, notes=(note,))

    def _hatch(self, drawn: Drawn) -> Made:
        record, origin = drawn.record, drawn.origin
        shapes = hatch_shapes(record, self._pen(drawn))
        for shape in shapes:
            _check_bounds(shape.segments, self.limits.max_coordinate)
        curves = (Curve(shape.segments, origin, Role.HATCH, True, shape.fitted) for shape in shapes)
        return Made(record, origin, tuple(curves))

    def _pen(self, drawn: Drawn) -> Pen:
        return Pen(drawn.placement, (drawn.origin.handle,), self.fit, self.flat)


def _mends(record: Record) -> tuple[str, ...]:
    """Codes of the faults of form that were read over."""
    unmarked = record.kind in _MARKED and not record.has(100)
    try:
        nowhere = record.has(210) and record.kind not in _NO_EXTRUSION and not any(record.point(210))
    except Damage:  # where it decides geometry, that has been refused
        nowhere = False
    return ("no-subclass",) * unmarked + ("zero-extrusion",) * nowhere


def _check_bounds(segments: tuple[Segment, ...], limit: float) -> None:
    """Raise Damage when scales of blocks or a bulge lead beyond the limit of coordinates."""
    _check_places([end for segment in segments for end in (segment.start, segment.end)], limit)


def _check_places(places: Sequence[Point], limit: float) -> None:
    for x, y in places:
        if not (-limit <= x <= limit and -limit <= y <= limit):
            raise Damage(f"its coordinates reach {x:g}, {y:g}; the limit is {limit:g}")


def with_axes(made: list[Made], converter: Converter) -> list[Made]:
    """Endless lines in a centre linetype drawn as far as the drawing reaches; others stay set aside."""
    if not any(one.record.kind in _ENDLESS for one in made):
        return made
    boxes = [path_bounds(curve.segments) for one in made for curve in one.curves]
    if not boxes:
        return made
    box = reduce(Bounds.union, boxes)
    return [converter.endless(one, box) if one.record.kind in _ENDLESS else one for one in made]


def without_unplotted(made: list[Made]) -> list[Made]:
    """Curves on layers that are not plotted are no outline, as long as plotted layers hold some."""
    if all(one.plotted for one in made) or not any(
        one.plotted and curve.role is Role.OUTLINE for one in made for curve in one.curves
    ):
        return made
    return [one if one.plotted else _as_other(one) for one in made]


def _as_other(made: Made) -> Made:
    return replace(made, curves=tuple(replace(curve, role=Role.OTHER) for curve in made.curves))
