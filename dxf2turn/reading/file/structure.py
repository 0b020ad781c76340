"""Sections, tables, blocks and entities: the tags sorted into records, nothing expanded, nothing lost.

A file whose last open section has no end and that has no EOF is cut off and refused. Lesser faults of
form (no EOF, a section that the next one closes, an ENDSEC too many) are read and named as repairs.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from dxf2turn.errors import UnreadableDrawing
from dxf2turn.options import ReadLimits
from dxf2turn.reading.file.commas import with_points
from dxf2turn.reading.file.record import Record, make_record
from dxf2turn.reading.file.tags import Tags

SECOND_BLOCK = "in the second block named "  # reason, the name follows
_PARENTS = {"POLYLINE": "VERTEX", "INSERT": "ATTRIB"}


@dataclass(frozen=True, slots=True)
class Block:
    """A block definition. name: upper case. head: the BLOCK record. records: its entities."""

    name: str
    head: Record
    records: tuple[Record, ...]


@dataclass(frozen=True, slots=True)
class Structure:
    """A DXF file as records.

    stray: records in no usable place, each with the reason. objects: the records of the OBJECTS section.
    mended: codes of the repairs of form.
    """

    tags: Tags = field(repr=False)
    header: dict[str, tuple[tuple[int, str], ...]] = field(default_factory=dict)
    tables: dict[str, tuple[Record, ...]] = field(default_factory=dict)
    blocks: dict[str, Block] = field(default_factory=dict)
    entities: tuple[Record, ...] = ()
    stray: tuple[tuple[Record, str], ...] = ()
    objects: tuple[Record, ...] = ()
    mended: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Section:
    name: str
    first: int  # index of the first tag behind the section's name
    end: int  # index behind its last tag


def build_structure(tags: Tags, name: str, limits: ReadLimits) -> Structure:
    """Sort the tags of a file into records. Raises UnreadableDrawing for a cut-off or too large file."""
    starts = [index for index, code in enumerate(tags.codes) if code == 0]
    sections, mended = _sections(tags, starts, name)
    if not any(section.name == "ENTITIES" for section in sections):
        raise UnreadableDrawing(f"{name} has no ENTITIES section, so it holds no drawing. Export it again.")
    drawn = [range(one.first, one.end) for one in sections if one.name in ("BLOCKS", "ENTITIES")]
    tags = with_points(tags, drawn, name)
    records: dict[str, list[Record]] = {}
    for section in sections:
        records.setdefault(section.name, []).extend(_records(tags, starts, section, limits.max_coordinate))
    count = len(records["ENTITIES"]) + len(records.get("BLOCKS", ()))
    if count > limits.max_entities:
        raise UnreadableDrawing(
            f"{name} holds {count:,} entities, more than the limit of {limits.max_entities:,}. "
            "Export only the view of the part."
        )
    entities, entity_mends = _with_children(records["ENTITIES"])
    blocks, stray, block_mends = _blocks(records.get("BLOCKS", []))
    return Structure(
        tags,
        _header(tags, sections),
        _tables(records.get("TABLES", [])),
        blocks,
        entities,
        stray,
        tuple(records.get("OBJECTS", ())),
        (*tags.mended, *mended, *sorted(entity_mends | block_mends)),
    )


def _sections(tags: Tags, starts: Sequence[int], name: str) -> tuple[list[_Section], list[str]]:
    """The sections by their borders, and codes of what was wrong with these."""
    found: list[_Section] = []
    mended: list[str] = []
    opened: tuple[str, int] | None = None
    ended = False
    for index in starts:
        word = tags.values[index].strip().upper()
        if word not in ("SECTION", "ENDSEC", "EOF"):
            continue
        if opened and word != "ENDSEC":
            mended.append("section-not-closed")
        if not opened and word == "ENDSEC":
            mended.append("extra-endsec")
        if opened:
            found.append(_Section(opened[0], opened[1], index))
        opened = _section_name(tags, index) if word == "SECTION" else None
        ended = word == "EOF"
    if opened:
        raise UnreadableDrawing(
            f"{name} is cut off: its section {opened[0]} has no end, the last thing read is at "
            f"{tags.place(len(tags.codes) - 1)}. Copy or export the drawing again."
        )
    return found, mended + ([] if ended else ["no-eof"])


def _section_name(tags: Tags, index: int) -> tuple[str, int]:
    """Name behind `0 SECTION` (comments between allowed) and the index of the tag behind it."""
    for at in range(index + 1, min(index + 10, len(tags.codes))):
        if tags.codes[at] == 2:
            return tags.values[at].strip().upper(), at + 1
        if tags.codes[at] == 0:
            break
    return "", index + 1


def _records(tags: Tags, starts: Sequence[int], section: _Section, limit: float) -> Iterator[Record]:
    """The records of a section; the header has none (its tags have no code 0)."""
    first, last = bisect_left(starts, section.first), bisect_left(starts, section.end)
    borders = [*starts[first:last], section.end]
    for start, end in zip(borders, borders[1:]):
        yield make_record(tags, start, end, limit)


def _header(tags: Tags, sections: Sequence[_Section]) -> dict[str, tuple[tuple[int, str], ...]]:
    """Header variables: `$NAME` -> its (code, value) pairs."""
    found: dict[str, tuple[tuple[int, str], ...]] = {}
    for section in sections:
        if section.name != "HEADER":
            continue
        names = [i for i in range(section.first, section.end) if tags.codes[i] == 9]
        for at, end in zip(names, [*names[1:], section.end]):
            pairs = tuple((tags.codes[i], tags.values[i]) for i in range(at + 1, end))
            found.setdefault(tags.values[at].strip().upper(), pairs)
    return found


def _tables(records: Sequence[Record]) -> dict[str, tuple[Record, ...]]:
    """Table entries by their kind (LAYER, LTYPE, DIMSTYLE ...)."""
    found: dict[str, list[Record]] = {}
    for record in records:
        if record.kind not in ("TABLE", "ENDTAB"):
            found.setdefault(record.kind, []).append(record)
    return {kind: tuple(entries) for kind, entries in found.items()}


def _blocks(
    records: Sequence[Record],
) -> tuple[dict[str, Block], tuple[tuple[Record, str], ...], set[str]]:
    """Block definitions by name, records that are in none, and codes of repairs."""
    found: dict[str, Block] = {}
    stray: list[tuple[Record, str]] = []
    mended: set[str] = set()
    for head, inside in _block_runs(records):
        entities, mends = _with_children(inside)
        mended |= mends
        if head is None:
            stray.extend((record, "in the BLOCKS section but in no block") for record in entities)
        elif head.name(2) in found:
            reason = f"{SECOND_BLOCK}{head.name(2)}"
            stray.extend((record, reason) for record in entities)
        else:
            found[head.name(2)] = Block(head.name(2), head, entities)
    return found, tuple(stray), mended


def _block_runs(records: Sequence[Record]) -> Iterator[tuple[Record | None, list[Record]]]:
    """Each BLOCK record with the records up to its end; None for records before any block."""
    head: Record | None = None
    inside: list[Record] = []
    for record in records:
        if record.kind not in ("BLOCK", "ENDBLK"):
            inside.append(record)
            continue
        if head is not None or inside:
            yield head, inside
        head = record if record.kind == "BLOCK" else None
        inside = []
    if head is not None or inside:
        yield head, inside


def _with_children(records: Sequence[Record]) -> tuple[tuple[Record, ...], set[str]]:
    """Give VERTEX records to their POLYLINE and ATTRIB records to their INSERT; drop the SEQENDs.

    A run that no SEQEND closes ends at the next record of another kind.
    """
    found: list[Record] = []
    mended: set[str] = set()
    index = 0
    while index < len(records):
        record = records[index]
        index += 1
        child = _PARENTS.get(record.kind)
        if child is None:
            if record.kind != "SEQEND":
                found.append(record)
            continue
        end = index
        while end < len(records) and records[end].kind == child:
            end += 1
        closed = end < len(records) and records[end].kind == "SEQEND"
        if end > index or record.kind == "POLYLINE":
            if not closed:
                mended.add("no-seqend")
            record = replace(record, children=tuple(records[index:end]))
        found.append(record)
        index = end + closed
    return tuple(found), mended
