"""The closing count: every entity of the file is used, set aside with a reason, or the reader is at fault."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from dxf2turn.errors import BrokenInvariant
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.file.structure import Structure
from dxf2turn.reading.model import Census, SetAside

_SHOWN = 8  # handles listed per line of what was set aside


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a record, by its identity `start`. reason "" = used."""

    start: int
    reason: str = ""
    layer: str | None = None


def all_entities(structure: Structure) -> Iterator[tuple[Record, str]]:
    """Every entity record, children included, with the reason that holds if nobody ever looked at it."""
    for record in structure.entities:
        yield record, ""
        for child in record.children:
            yield child, ""
    pictures = _dimension_pictures(structure)
    for name, block in structure.blocks.items():
        reason = "in the picture of a dimension" if name in pictures else "in a block that is not shown"
        for record in block.records:
            yield record, reason
            for child in record.children:
                yield child, reason
    for record, reason in structure.stray:
        yield record, reason


def _dimension_pictures(structure: Structure) -> frozenset[str]:
    """Blocks that only repeat as lines and texts what a dimension says."""
    spaces = [structure.entities, *(block.records for block in structure.blocks.values())]
    return frozenset(
        record.name(2) for records in spaces for record in records if record.kind.endswith("DIMENSION")
    )


def take_census(structure: Structure, outcomes: Iterable[Outcome]) -> tuple[Census, tuple[SetAside, ...]]:
    """The count, and what was set aside by kind, reason and layer.

    A record with several outcomes (in a block inserted more than once) is used if any of them used it.
    Raises BrokenInvariant when an entity has no outcome.
    """
    found: dict[int, Outcome] = {}
    for outcome in outcomes:
        if outcome.start not in found or not outcome.reason:
            found[outcome.start] = outcome
    total = used = 0
    groups: dict[tuple[str, str, str | None], list[Record]] = {}
    for record, otherwise in all_entities(structure):
        total += 1
        outcome = found.get(record.start) or Outcome(record.start, otherwise or "lost")
        if outcome.reason == "lost":
            raise BrokenInvariant(f"reading lost the {record.kind} at {structure.tags.place(record.start)}")
        if outcome.reason:
            groups.setdefault((record.kind, outcome.reason, outcome.layer), []).append(record)
        else:
            used += 1
    aside = tuple(
        SetAside(kind, reason, len(records), _handles(structure, records), layer)
        for (kind, reason, layer), records in groups.items()
    )
    return Census(total, used, total - used), aside


def _handles(structure: Structure, records: list[Record]) -> tuple[str, ...]:
    return tuple(r.handle or structure.tags.place(r.start) for r in records[:_SHOWN])
