"""TOLERANCE: a feature control frame, its compartments set apart by bars."""

from __future__ import annotations

import re

from dxf2turn.reading.damage import Unusable
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.model import Note, NoteKind, Origin
from dxf2turn.reading.notes.mtext import plain_mtext
from dxf2turn.reading.plane import Placement

_BAR = re.compile(r"%%v", re.IGNORECASE)
_BARS = re.compile(r"\|(\s*\|)+")


def tolerance_note(record: Record, placement: Placement, origin: Origin) -> Note:
    """The frame's text, such as a position symbol, `|⌀0.05|A`. Raises Unusable when it is blank."""
    rows = plain_mtext(_BAR.sub("|", record.text(1))).split("\n")
    text = "\n".join(_BARS.sub("|", row).strip("| ") for row in rows).strip()
    if not text:
        raise Unusable("holds no text")
    return Note(NoteKind.TOLERANCE, text, placement.flat(record.point(10)), origin)
