"""Every entity at its place: layers, visibility and inherited properties resolved, blocks followed.

The walk yields each record that is shown as `Drawn`, each that is not as `Left` with the reason.
Block references are followed to any depth; `blocks.check_growth` has bounded the work beforehand.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from dxf2turn.reading.blocks import array_of, external_file, looping_blocks
from dxf2turn.reading.damage import Damage
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.file.structure import Block, Structure
from dxf2turn.reading.file.tables import (
    BYBLOCK,
    BYLAYER,
    COLOUR_BYBLOCK,
    COLOUR_BYLAYER,
    CONTINUOUS,
    LINEWEIGHT_BYBLOCK,
    LINEWEIGHT_BYLAYER,
    Layer,
    Tables,
)
from dxf2turn.reading.model import Origin
from dxf2turn.reading.plane import UP, WORLD, Placement, Triple, insert_placement

_UNPLOTTED_LAYER = "DEFPOINTS"  # measuring points of dimensions; never plotted


@dataclass(frozen=True, slots=True)
class Drawn:
    """A record that is shown.

    plotted: whether its layer is. inserts: the INSERTs that it is shown through, outermost first, each by
    the `start` of its record and the number of the place in its array (row by row).
    """

    record: Record
    placement: Placement
    origin: Origin
    plotted: bool = True
    inserts: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Left:
    """A record that is not shown or can't be followed. serious: a person should look at it."""

    record: Record
    reason: str
    layer: str | None = None
    serious: bool = False


@dataclass(frozen=True, slots=True)
class Inherited:
    """What the entities of a block take over from the INSERT. layer None = not inside a block."""

    placement: Placement = WORLD
    layer: Layer | None = None
    linetype: str = CONTINUOUS
    colour: int = 7
    lineweight: int = -3
    path: tuple[str, ...] = ()
    inserts: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Walk:
    """What a walk needs: the file's records, its tables, and which blocks insert themselves."""

    structure: Structure
    tables: Tables
    limit: float
    looping: frozenset[str]

    @classmethod
    def over(cls, structure: Structure, tables: Tables, limit: float) -> Walk:
        """A walk over the blocks of a file; limit: largest coordinate."""
        return cls(structure, tables, limit, looping_blocks(structure.blocks))

    def visit(self, records: Sequence[Record], inherited: Inherited) -> Iterator[Drawn | Left]:
        """All records and, for each INSERT, what it shows."""
        for record in records:
            layer = self._layer(record, inherited)
            left = _hidden(record, layer)
            if left is not None:
                yield left
                yield from (replace(left, record=child) for child in record.children)
                continue
            origin = self._origin(record, layer, inherited)
            drawn = Drawn(record, inherited.placement, origin, layer.plotted, inherited.inserts)
            if record.kind == "INSERT":
                yield from self._follow(drawn, layer, inherited)
            else:
                yield drawn

    def _layer(self, record: Record, inherited: Inherited) -> Layer:
        """The layer that decides: that of the INSERT for entities on layer 0 of a block."""
        name = record.text(8, "0").strip() or "0"
        if name == "0" and inherited.layer is not None:
            return inherited.layer
        return self.tables.layer(name)

    def _origin(self, record: Record, layer: Layer, inherited: Inherited) -> Origin:
        fields = record.fields
        linetype = fields[6].strip().upper() if 6 in fields else BYLAYER
        colour = _lenient(record, 62, COLOUR_BYLAYER)
        lineweight = _lenient(record, 370, LINEWEIGHT_BYLAYER)
        return Origin(
            record.handle or self.structure.tags.place(record.start),
            record.kind,
            layer.name,
            {BYLAYER: layer.linetype, BYBLOCK: inherited.linetype}.get(linetype, linetype),
            {COLOUR_BYLAYER: layer.colour, COLOUR_BYBLOCK: inherited.colour}.get(colour, colour),
            {LINEWEIGHT_BYLAYER: layer.lineweight, LINEWEIGHT_BYBLOCK: inherited.lineweight}.get(
                lineweight, lineweight
            ),
            inherited.path,
        )

    def _follow(self, drawn: Drawn, layer: Layer, inherited: Inherited) -> Iterator[Drawn | Left]:
        """The INSERT itself, its attributes, and the entities of its block, once per place of its array."""
        insert, name = drawn.record, drawn.record.name(2)
        reason = self._not_followed(name, inherited) or _squeezed(insert)
        if reason:
            yield Left(insert, reason, layer.name, serious=True)
        else:
            yield drawn
        # Attributes are given in the coordinates of the space that the INSERT stands in.
        yield from self.visit(insert.children, inherited)
        if reason:
            return
        block = self.structure.blocks[name]
        for number, placement in enumerate(_placements(insert, block, self.limit)):
            inner = Inherited(
                placement.then(inherited.placement) if inherited.placement is not WORLD else placement,
                layer,
                drawn.origin.linetype,
                drawn.origin.colour,
                drawn.origin.lineweight,
                (*inherited.path, block.head.text(2).strip()),
                (*inherited.inserts, (insert.start, number)),
            )
            yield from self.visit(block.records, inner)

    def _not_followed(self, name: str, inherited: Inherited) -> str:
        """Why the block of an INSERT is not drawn, "" when it is."""
        if name not in self.structure.blocks:
            return f"refers to the block {name or '(no name)'}, which the file does not hold"
        external = external_file(self.structure.blocks[name])
        if external is not None:
            return f"stands for another drawing, {external}, which is not read"
        if name in self.looping and inherited.path and inherited.path[-1].upper() in self.looping:
            return f"makes a block insert itself: {' > '.join((*inherited.path, name))}"
        return ""


def _squeezed(insert: Record) -> str:
    """Why the scale of an INSERT leaves nothing to see; a z scale of 0 only lays the block flat."""
    if insert.number(41, 1.0) == 0.0 or insert.number(42, 1.0) == 0.0:
        return "has a scale of 0"
    return ""


def _hidden(record: Record, layer: Layer) -> Left | None:
    if layer.frozen:
        return Left(record, f"on layer {layer.name}, which is frozen", layer.name)
    if _lenient(record, 60, 0) == 1:
        return Left(record, "marked invisible", layer.name)
    if record.kind == "INSERT":
        return None  # a layer that is off hides the block's own layer 0, not its other layers
    if not layer.on:
        return Left(record, f"on layer {layer.name}, which is off", layer.name)
    if layer.name.upper() == _UNPLOTTED_LAYER:
        return Left(record, f"on layer {layer.name}, which holds measuring points", layer.name)
    return None


def _placements(insert: Record, block: Block, limit: float) -> Iterator[Placement]:
    """One placement per place of the array. Raises Damage for values beyond the limit."""
    base = block.head.point_or(10, (0.0, 0.0, 0.0))
    x, y, z = insert.point(10)
    scale: Triple = (insert.number(41, 1.0), insert.number(42, 1.0), insert.number(43, 1.0))
    turn, extrusion = insert.number(50, 0.0), insert.point_or(210, UP)
    array = array_of(insert)
    first = insert_placement(base, (x, y, z), scale, turn, extrusion)
    if max(abs(value) for axis in first for value in axis) > limit * limit:
        raise Damage(f"INSERT of block {block.name} moves its content beyond all bounds", insert.start)
    if array.places == 1:
        yield first
        return
    # Columns and rows follow the turned axes of the INSERT, unscaled.
    frame = insert_placement((0.0, 0.0, 0.0), (0.0, 0.0, 0.0), (1.0, 1.0, 1.0), turn, extrusion)
    for row in range(array.rows):
        for column in range(array.columns):
            dx, dy, dz = frame.vector((column * array.dx, row * array.dy, 0.0))
            ox, oy, oz = first.origin
            yield first._replace(origin=(ox + dx, oy + dy, oz + dz))


def _lenient(record: Record, code: int, default: int) -> int:
    """A whole number that decides only looks; a damaged one counts as not given."""
    if code not in record.fields:
        return default
    try:
        return record.integer(code, default)
    except Damage:
        return default
