"""The recipe of the stage: bytes to a Drawing.

Order: look at the bytes, scan the tags, sort them into records, bound the growth of blocks, walk all
entities at their places, turn each into a curve or a note, count everything, and let a general DXF library
read the same file to compare.
"""

from __future__ import annotations

import gc
import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import chain

from dxf2turn.errors import UnreadableDrawing
from dxf2turn.findings import Finding, Severity
from dxf2turn.options import DrawingOptions
from dxf2turn.reading.accuracy import drawing_fit
from dxf2turn.reading.blocks import check_growth
from dxf2turn.reading.census import Outcome, take_census
from dxf2turn.reading.convert import Converter, Made, with_axes, without_unplotted
from dxf2turn.reading.curves.line import OUT_OF_PLANE
from dxf2turn.reading.damage import Damage
from dxf2turn.reading.file.source import read_tags
from dxf2turn.reading.file.structure import Structure, build_structure
from dxf2turn.reading.file.tables import build_tables
from dxf2turn.reading.layout import choose_layout
from dxf2turn.reading.model import Drawing, Note, Origin, SetAside
from dxf2turn.reading.notes.leader import link_leaders
from dxf2turn.reading.report import (
    double_blocks,
    entity_repairs,
    fitted_curves,
    form_repairs,
    left_out,
    not_read,
    unplotted_curves,
)
from dxf2turn.reading.second.compare import FirstReading, read_again
from dxf2turn.reading.second.report import second_findings
from dxf2turn.reading.upright import upright_view
from dxf2turn.reading.walk import Drawn, Inherited, Left, Walk
from dxf2turn.reading.wording import counted

_SHOWN = 5  # kinds named in the message about an empty drawing


def read_drawing(data: bytes, name: str, options: DrawingOptions) -> Drawing:
    """Read a DXF file (R9 to 2018, text or binary) from memory.

    name: of the file, for people. Raises UnreadableDrawing with the place and what to do when the file
    is no DXF, is cut off, holds damaged geometry or exceeds the limits. Every entity of the file is in
    the result: as a curve, as a note, or counted under `set_aside` with the reason.
    """
    tags = read_tags(data, name, options.limits)
    structure = build_structure(tags, name, options.limits)
    tables = build_tables(structure)
    layout = choose_layout(structure)
    check_growth(layout.records, structure.blocks, name, options.limits)
    view, placement = upright_view(layout.records, options.tolerances.same_point)
    fit = drawing_fit(tables.header, layout.records, options)
    limit = options.limits.max_coordinate
    walk = Walk.over(structure, tables, limit)
    converter = Converter(tables, fit, options.tolerances.same_point, options.limits)
    with _collector_paused():
        steps = walk.visit(layout.records, Inherited(placement))
        made = without_unplotted(with_axes(_make_all(steps, converter, structure, name), converter))
    census, set_aside = take_census(structure, (*layout.outcomes, *_outcomes(made)))
    _refuse_empty(made, set_aside, name)
    _refuse_wireframe(made, set_aside, name)
    again = read_again(data, FirstReading(structure, layout, placement, made), options)
    said = (
        fitted_curves(made, fit, options.tolerances.same_point),
        unplotted_curves(made),
        not_read(made),
        left_out(set_aside, made),
        double_blocks(made, structure.stray),
        second_findings(again, name),
    )
    return Drawing(
        name,
        hashlib.sha256(data).hexdigest(),
        data,
        tables.header,
        tuple(curve for one in made for curve in one.curves),
        _notes(made),
        set_aside,
        census,
        (*form_repairs((*structure.mended, *layout.mended)), *entity_repairs(made)),
        (*layout.findings, *_view_findings(view, structure), *chain(*said)),
        again.account,
    )


def _refuse_wireframe(made: Sequence[Made], set_aside: Sequence[SetAside], name: str) -> None:
    """Raise UnreadableDrawing when so many lines run through space that the rest is no outline either."""
    curves = sum(len(one.curves) for one in made)
    spatial = sum(one.count for one in set_aside if one.kind == "LINE" and one.reason.endswith(OUT_OF_PLANE))
    if spatial >= _FEWEST_SPATIAL and spatial >= _SPATIAL_SHARE * (curves + spatial):
        raise UnreadableDrawing(
            f"{name} is a wire model in space: {spatial} of its {curves + spatial} lines and curves leave "
            "the drawing plane. Export a 2D view of the part."
        )


_FEWEST_SPATIAL = 3
_SPATIAL_SHARE = 0.25


@contextmanager
def _collector_paused() -> Iterator[None]:
    """No garbage collection for a while.

    Hundreds of thousands of records and curves are made here and none of them refers back to another, so
    looking for cycles among them again and again would cost more than reading them.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _make_all(
    steps: Iterable[Drawn | Left], converter: Converter, structure: Structure, name: str
) -> list[Made]:
    """Every entity of the walk, in order, as what became of it."""
    made: list[Made] = []
    try:
        for step in steps:
            if isinstance(step, Left):
                made.append(_left(step, structure))
                continue
            try:
                made.append(converter.make(step))
            except Damage as damage:
                raise _refusal(damage, step, structure, name) from None
    except Damage as damage:  # in the walk itself: an INSERT
        place = f", {structure.tags.place(damage.tag)}" if damage.tag is not None else ""
        raise UnreadableDrawing(f"{name}{place}: {damage.text}. Repair it in the CAD system.") from None
    return made


def _refuse_empty(made: Sequence[Made], set_aside: Sequence[SetAside], name: str) -> None:
    """Raise UnreadableDrawing for a drawing without any curve, and say what it holds instead."""
    if any(one.curves for one in made):
        return
    kinds = Counter[tuple[str, str]]()
    for one in set_aside:
        kinds[one.kind, one.reason] += one.count
    largest = kinds.most_common(_SHOWN)
    what = "; ".join(f"{count} {kind} ({reason})" for (kind, reason), count in largest) or "no entity at all"
    raise UnreadableDrawing(
        f"{name} holds no line, arc or other curve that an outline could be made of. It holds {what}. "
        "Export a 2D view of the part with lines and arcs, with its layers on."
    )


def _view_findings(view: str, structure: Structure) -> Iterator[Finding]:
    if view:
        yield Finding(
            "reading/upright",
            Severity.NOTE,
            f"The drawing stands upright in the {view} plane and was laid flat.",
        )
    clipped = sum(record.kind == "SPATIAL_FILTER" for record in structure.objects)
    if clipped:
        yield Finding(
            "reading/clipped",
            Severity.FIX,
            f"{counted(clipped, 'block reference is', 'block references are')} clipped in the CAD system and "
            "read whole here.",
            "Trim the geometry itself where it matters.",
        )


def _notes(made: Sequence[Made]) -> tuple[Note, ...]:
    """All notes, leaders joined with the texts that they belong to."""
    notes: list[Note] = []
    named: dict[int, str] = {}
    for one in made:
        if one.record.kind == "LEADER" and one.record.has(340):
            named[len(notes)] = one.record.text(340).strip()
        notes.extend(one.notes)
    return link_leaders(notes, named)


def _left(left: Left, structure: Structure) -> Made:
    record = left.record
    handle = record.handle or structure.tags.place(record.start)
    origin = Origin(handle, record.kind, left.layer or record.text(8, "0").strip())
    return Made(record, origin, reason=left.reason, serious=left.serious)


def _refusal(damage: Damage, drawn: Drawn, structure: Structure, name: str) -> UnreadableDrawing:
    record = drawn.record
    place = structure.tags.place(record.start if damage.tag is None else damage.tag)
    handle = f" {record.handle}" if record.handle else ""
    return UnreadableDrawing(
        f"{name}, {place}: {record.kind}{handle} on layer {drawn.origin.layer} is damaged: {damage.text}. "
        "Delete or redraw it in the CAD system and export the drawing again."
    )


def _outcomes(made: Sequence[Made]) -> Iterator[Outcome]:
    for one in made:
        layer = one.origin.layer if one.reason else None
        yield Outcome(one.record.start, one.reason, layer)
        if one.record.kind == "POLYLINE":
            for child in one.record.children:
                yield Outcome(child.start, one.reason, layer)
