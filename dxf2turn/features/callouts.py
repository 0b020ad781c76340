"""Callouts: each note of the drawing with what it points at. A leader without text lends a text its tips."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from dxf2turn.contour.model import Contour, PlacedNote
from dxf2turn.features.designation import plain
from dxf2turn.geometry.point import Point
from dxf2turn.reading.model import Dimension, NoteKind

KNEE_HEIGHTS = 3.0  # a text this many text heights from the end of a leader belongs to it


@dataclass(frozen=True, slots=True)
class Callout:
    """text: one spelling (see `designation.plain`); raw: as written. at, tips: z and r, mm.

    source: "text", "dimension" or "option".
    """

    text: str
    raw: str
    at: Point
    tips: tuple[Point, ...]
    source: str
    handle: str = ""
    layer: str = ""
    dimension: Dimension | None = None

    @property
    def places(self) -> tuple[Point, ...]:
        """What it points at, else where it stands."""
        return self.tips or (self.at,)


def callouts(contour: Contour) -> tuple[Callout, ...]:
    """All notes with a text, in the order of the drawing."""
    pointers = [placed for placed in contour.notes if placed.tips and not placed.note.text.strip()]
    return tuple(_with_leader(callout, height, pointers) for callout, height in _texts(contour))


def _texts(contour: Contour) -> Iterator[tuple[Callout, float]]:
    """Callouts of the notes that have a text, and their text height in mm."""
    unit = contour.frame.mm_per_unit if contour.frame is not None else 1.0
    for placed in contour.notes:
        note = placed.note
        if note.text.strip():
            source = "dimension" if note.kind is NoteKind.DIMENSION else "text"
            origin = note.origin
            callout = Callout(
                plain(note.text), note.text, placed.at, placed.tips, source, origin.handle, origin.layer
            )
            yield replace(callout, dimension=note.dimension), note.height * unit


def _with_leader(callout: Callout, height: float, pointers: list[PlacedNote]) -> Callout:
    """The callout with the tips of a leader that ends at its text, if it has none of its own."""
    if callout.tips or callout.dimension is not None or not pointers:
        return callout
    nearest = min(pointers, key=lambda leader: leader.at.distance(callout.at))
    if nearest.at.distance(callout.at) > KNEE_HEIGHTS * height:
        return callout
    return replace(callout, tips=nearest.tips)
