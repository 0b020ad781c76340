"""TEXT, ATTRIB and constant ATTDEF: one line of text at a point."""

from __future__ import annotations

from dxf2turn.geometry.point import Point
from dxf2turn.reading.damage import Unusable
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.model import Note, NoteKind, Origin
from dxf2turn.reading.notes.codes import plain_line
from dxf2turn.reading.plane import UP, Placement, object_placement

_CONSTANT = 2  # group code 70 of ATTDEF
_INVISIBLE = 1  # group code 70 of ATTRIB


def text_note(record: Record, placement: Placement, origin: Origin) -> Note:
    """The note of a TEXT or ATTRIB. Raises Unusable when it is blank or invisible."""
    if record.kind == "ATTDEF" and not record.integer(70) & _CONSTANT:
        raise Unusable("is the pattern of an attribute, no text")
    if record.kind == "ATTRIB" and record.integer(70) & _INVISIBLE:
        raise Unusable("is an invisible attribute")
    text = plain_line(record.text(1))
    if not text:
        raise Unusable("holds no text")
    kind = NoteKind.TEXT if record.kind == "TEXT" else NoteKind.ATTRIBUTE
    return Note(kind, text, text_place(record, placement), origin, height=abs(record.number(40, 0.0)))


def text_place(record: Record, placement: Placement) -> Point:
    """Insertion point: the alignment point where the text is aligned other than left on its base line."""
    aligned = record.has(11) and (record.integer(72) or record.integer(73) or record.integer(74))
    at = record.point(11 if aligned else 10)
    return object_placement(record.point_or(210, UP)).then(placement).flat(at)
