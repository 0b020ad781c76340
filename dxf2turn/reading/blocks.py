"""Block references counted before they are followed, so that no drawing can grow without bound."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from dxf2turn.errors import UnreadableDrawing
from dxf2turn.options import ReadLimits
from dxf2turn.reading.damage import Damage
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.file.structure import Block

_XREF = 4 | 8  # group code 70 of BLOCK: external reference, overlay


class Array(NamedTuple):
    """Columns and rows of an INSERT with their spacing, drawing units of the insert."""

    columns: int
    rows: int
    dx: float
    dy: float

    @property
    def places(self) -> int:
        return self.columns * self.rows


def array_of(insert: Record) -> Array:
    """The array of an INSERT; counts below 1 count as 1, as in the CAD systems. Raises Damage."""
    return Array(
        max(1, insert.integer(70, 1)),
        max(1, insert.integer(71, 1)),
        insert.number(44, 0.0),
        insert.number(45, 0.0),
    )


def external_file(block: Block) -> str | None:
    """The file that a block stands for, None for a block with its own content."""
    try:
        flags = block.head.integer(70)
    except Damage:
        flags = 0
    if not flags & _XREF:
        return None
    return block.head.text(1).strip() or block.name


def looping_blocks(blocks: dict[str, Block]) -> frozenset[str]:
    """Blocks that insert themselves, directly or through others (and what lies between two such loops).

    Found by taking away, as long as there is one, a block that inserts no other or that none inserts.
    An INSERT in one of these blocks of one of these blocks is not followed.
    """
    children = {name: set(_inserted(block)) & blocks.keys() for name, block in blocks.items()}
    parents: dict[str, set[str]] = {name: set() for name in blocks}
    for name, names in children.items():
        for child in names:
            parents[child].add(name)
    left = set(blocks)
    free = [name for name in blocks if not children[name] or not parents[name]]
    while free:
        name = free.pop()
        if name not in left:
            continue
        left.discard(name)
        for other, back in [(parents, children), (children, parents)]:
            for neighbour in other[name]:
                back[neighbour].discard(name)
                if neighbour in left and not back[neighbour]:
                    free.append(neighbour)
    return frozenset(left)


def check_growth(records: Sequence[Record], blocks: dict[str, Block], name: str, limits: ReadLimits) -> None:
    """Raise UnreadableDrawing when following all block references would exceed the limits."""
    looping = looping_blocks(blocks)
    counted: dict[str, tuple[int, int]] = {}

    def grown(records: Sequence[Record], path: tuple[str, ...]) -> tuple[int, int]:
        """Number of entities that `records` draw, and how many levels of blocks lie below."""
        total, below = len(records), 0
        for record in records:
            child = record.name(2) if record.kind == "INSERT" else ""
            if child not in blocks or (child in looping and path and path[-1] in looping):
                continue
            if child not in counted and len(path) < limits.max_block_depth:
                counted[child] = grown(blocks[child].records, (*path, child))
            inside, height = counted.get(child, (0, 0))
            if len(path) + height >= limits.max_block_depth:
                raise UnreadableDrawing(
                    f"{name}: blocks are nested more than {limits.max_block_depth} deep "
                    f"(at block {child}). Explode the blocks and export the drawing again."
                )
            total, below = total + inside * _copies(record), max(below, height + 1)
            if total > limits.max_entities:
                raise UnreadableDrawing(
                    f"{name}: INSERT {record.handle or ''} of block {child} would draw more than "
                    f"{limits.max_entities:,} entities. Explode it and keep only the view of the part."
                )
        return total, below

    grown(records, ())


def _inserted(block: Block) -> list[str]:
    return [record.name(2) for record in block.records if record.kind == "INSERT"]


def _copies(insert: Record) -> int:
    try:
        return array_of(insert).places
    except Damage:
        return 1
