"""The recipe of the stage: bytes to a Drawing.

Order: look at the bytes, scan the tags, sort them into records, bound the growth of blocks, walk all
entities at their places, turn each into a curve or a note, count everything.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from dxf2turn.errors import UnreadableDrawing
from dxf2turn.findings import Finding, Location, Repair, Severity
from dxf2turn.options import DrawingOptions
from dxf2turn.reading.blocks import check_growth
from dxf2turn.reading.census import Outcome, take_census
from dxf2turn.reading.convert import Converter, Made
from dxf2turn.reading.damage import Damage
from dxf2turn.reading.file.source import read_tags
from dxf2turn.reading.file.structure import Structure, build_structure
from dxf2turn.reading.file.tables import Tables, build_tables
from dxf2turn.reading.layout import Layout, choose_layout
from dxf2turn.reading.model import Drawing, Note, Origin
from dxf2turn.reading.notes.leader import link_leaders
from dxf2turn.reading.walk import Drawn, Inherited, Left, Walk
from dxf2turn.reading.wording import MENDS

_HANDLES_SHOWN = 12


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
    made = _make_all(structure, tables, layout, _Reading(name, options))
    census, set_aside = take_census(structure, (*layout.outcomes, *_outcomes(made)))
    return Drawing(
        name,
        hashlib.sha256(data).hexdigest(),
        data,
        tables.header,
        tuple(curve for one in made for curve in one.curves),
        _notes(made),
        set_aside,
        census,
        (*_form_repairs((*structure.mended, *layout.mended)), *_entity_repairs(made)),
        (*layout.findings, *_findings(made)),
    )


@dataclass(frozen=True, slots=True)
class _Reading:
    name: str
    options: DrawingOptions


def _make_all(structure: Structure, tables: Tables, layout: Layout, reading: _Reading) -> list[Made]:
    """Every entity of the layout, in order, as what became of it."""
    limit = reading.options.limits.max_coordinate
    walk = Walk.over(structure, tables, limit)
    converter = Converter(
        tables, reading.options.tolerances.fit, reading.options.tolerances.same_point, limit
    )
    made: list[Made] = []
    try:
        for step in walk.visit(layout.records, Inherited()):
            if isinstance(step, Left):
                made.append(_left(step, structure))
                continue
            try:
                made.append(converter.make(step))
            except Damage as damage:
                raise _refusal(damage, step, structure, reading.name) from None
    except Damage as damage:  # in the walk itself: an INSERT
        place = f", {structure.tags.place(damage.tag)}" if damage.tag is not None else ""
        raise UnreadableDrawing(
            f"{reading.name}{place}: {damage.text}. Repair it in the CAD system."
        ) from None
    return made


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


def _form_repairs(mended: Iterable[str]) -> Iterator[Repair]:
    for code in dict.fromkeys(mended):
        yield Repair(f"reading/{code}", MENDS[code])


def _entity_repairs(made: Sequence[Made]) -> Iterator[Repair]:
    """One repair a kind of mend, with the handles of all entities that needed it."""
    handles: dict[str, list[str]] = {}
    for one in made:
        for code in one.mended:
            handles.setdefault(code, []).append(one.origin.handle)
    for code, found in handles.items():
        yield Repair(f"reading/{code}", MENDS[code], handles=tuple(dict.fromkeys(found)))


def _findings(made: Sequence[Made]) -> Iterator[Finding]:
    """One finding a kind and reason for what a person should look at."""
    groups: dict[tuple[str, str], list[Made]] = {}
    for one in made:
        if one.serious:
            groups.setdefault((one.record.kind, one.reason), []).append(one)
    for (kind, reason), found in groups.items():
        handles = tuple(dict.fromkeys(one.origin.handle for one in found))
        count = f"{len(handles)} x " if len(handles) > 1 else ""
        yield Finding(
            "reading/not-read",
            Severity.FIX,
            f"{count}{kind} {', '.join(handles[:_HANDLES_SHOWN])} is not read: {reason}.",
            "If it belongs to the part, redraw it with lines and arcs.",
            Location(handles=handles[:_HANDLES_SHOWN], layer=found[0].origin.layer),
        )
