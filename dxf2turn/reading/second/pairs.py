"""The census against the library: which of its entities is which of ours, and what one of both lacks."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from dxf2turn.reading.file.record import Record
from dxf2turn.reading.file.structure import Structure

# Kinds that can make an outline, and block references. A library may leave out others for good reasons.
COUNTED = frozenset(("LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "ELLIPSE", "SPLINE", "INSERT"))


@dataclass(slots=True)
class Pairs:
    """entities: `start` of our record -> the library's entity.

    lacking: our records that the library has not. extra: (kind, handle) of its entities that we have not.
    """

    entities: dict[int, Any] = field(default_factory=dict)
    lacking: list[Record] = field(default_factory=list)
    extra: list[tuple[str, str]] = field(default_factory=list)


def pair_all(records: Sequence[Record], space: Iterable[Any], structure: Structure) -> Pairs:
    """Pairs of the space that is read and of every block that it shows, each block once."""
    pairs = Pairs()
    waiting: deque[tuple[Sequence[Record], Iterable[Any]]] = deque([(records, space)])
    seen: set[str] = set()
    while waiting:
        ours, theirs = waiting.popleft()
        _pair(ours, theirs, pairs)
        for record in ours:
            name = record.name(2) if record.kind == "INSERT" else ""
            insert = pairs.entities.get(record.start)
            block = structure.blocks.get(name)
            if insert is None or block is None or name in seen:
                continue
            seen.add(name)
            layout = insert.block()
            if layout is not None:
                waiting.append((block.records, layout))
    return pairs


def _pair(ours: Sequence[Record], theirs: Iterable[Any], pairs: Pairs) -> None:
    """Pairs of one space: by kind and handle, the rest by kind and order where both have as many."""
    left: dict[tuple[str, str], deque[Any]] = defaultdict(deque)
    for entity in theirs:
        if entity.dxftype() in COUNTED:
            left[(entity.dxftype(), entity.dxf.handle or "")].append(entity)
    without: dict[str, list[Record]] = defaultdict(list)
    for record in ours:
        if record.kind not in COUNTED:
            continue
        same = left.get((record.kind, record.handle or ""))
        if same and record.handle:
            pairs.entities[record.start] = same.popleft()
        else:
            without[record.kind].append(record)
    rest: dict[str, list[Any]] = defaultdict(list)
    for (kind, _), entities in left.items():
        rest[kind].extend(entities)
    for kind in sorted({*without, *rest}):
        mine, others = without[kind], rest[kind]
        if len(mine) == len(others):
            pairs.entities.update(zip((record.start for record in mine), others))
        elif len(mine) > len(others):
            pairs.lacking.extend(mine)
        else:
            pairs.extra.extend((kind, entity.dxf.handle or "") for entity in others)
