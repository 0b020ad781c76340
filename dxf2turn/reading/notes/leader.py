"""LEADER and MULTILEADER: what a text points at."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from dxf2turn.geometry.point import Point
from dxf2turn.reading.damage import Damage, Unusable
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.model import Note, NoteKind, Origin
from dxf2turn.reading.notes.mtext import plain_mtext
from dxf2turn.reading.plane import Placement, Triple

_OPENS = {300: "context", 302: "leader", 304: "line"}
_CLOSES = (301, 303, 305)
_OPENING = -1  # stands for the tag that opens a part
_REACH = 2.0  # text heights from a leader's end to the text that it belongs to
_LETTER = 0.7  # width of a letter per height, roughly


def leader_note(record: Record, placement: Placement, origin: Origin) -> Note:
    """A leader on its own: no text yet, the tip, and its other end as its place."""
    points = record.points(10)
    if len(points) < 2:
        raise Unusable("has less than two points")
    tip, end = placement.flat(points[0]), placement.flat(points[-1])
    return Note(NoteKind.LEADER, "", end, origin, (tip,))


def multileader_note(record: Record, placement: Placement, origin: Origin) -> Note:
    """A multileader: its text, and the tip of each of its leader lines."""
    text, height, at = "", 0.0, None
    tips: list[Point] = []
    waiting = False  # for the first point of a leader line, which is its tip
    for part, code, index in _parts(record):
        if part == "line" and code == _OPENING:
            waiting = True
        elif part == "line" and code == 10 and waiting:
            tips.append(placement.flat(_point_at(record, index)))
            waiting = False
        elif part == "context" and code == 304:
            text = plain_mtext(record.values[index])
        elif part == "context" and code == 12:
            at = placement.flat(_point_at(record, index))
        elif part == "context" and code == 41:
            height = abs(record.number_at(index))
        elif part == "" and code == 302 and not text:
            text = plain_mtext(record.values[index])  # an attribute of a block as content
    if not text and not tips:
        raise Unusable("holds no text and points at nothing")
    return Note(NoteKind.LEADER, text, at or tips[0], origin, tuple(tips), height)


def link_leaders(notes: Sequence[Note], named: dict[int, str]) -> tuple[Note, ...]:
    """Leaders without text joined with the text that they belong to, which gets their tips.

    named: for the leader at an index of `notes`, the handle of the text that it names. A leader that names
    none takes the nearest text within two text heights of its end; one that finds none stays alone.
    """
    by_handle: dict[str, list[int]] = {}
    for index, note in enumerate(notes):
        by_handle.setdefault(note.origin.handle, []).append(index)
    tips: dict[int, tuple[Point, ...]] = {}
    joined: set[int] = set()
    for index, leader in enumerate(notes):
        if leader.kind is not NoteKind.LEADER or leader.text:
            continue
        # A block that is inserted several times shows the named text several times.
        shown = by_handle.get(named.get(index, ""), [])
        found = min(
            shown, key=lambda i: leader.at.distance(notes[i].at), default=_nearest_text(leader, notes)
        )
        if found is not None and found != index:
            tips[found] = tips.get(found, ()) + leader.tips
            joined.add(index)
    return tuple(
        replace(note, kind=_with_leader(note.kind), tips=note.tips + tips[index]) if index in tips else note
        for index, note in enumerate(notes)
        if index not in joined
    )


def _with_leader(kind: NoteKind) -> NoteKind:
    return NoteKind.LEADER if kind in (NoteKind.TEXT, NoteKind.ATTRIBUTE) else kind


def _nearest_text(leader: Note, notes: Sequence[Note]) -> int | None:
    best, chosen = 1.0, None
    for index, note in enumerate(notes):
        if note.kind not in (NoteKind.TEXT, NoteKind.ATTRIBUTE) or note.height <= 0.0:
            continue
        share = _gap(leader.at, note) / (_REACH * note.height)
        if share < best:
            best, chosen = share, index
    return chosen


def _gap(point: Point, note: Note) -> float:
    """Distance from a point to the box that the text fills, roughly: it may run up or down from its point."""
    lines = note.text.split("\n")
    width = _LETTER * note.height * max(map(len, lines))
    rise = note.height * len(lines)
    dx = max(note.at.x - point.x, point.x - note.at.x - width, 0.0)
    dy = max(note.at.y - rise - point.y, point.y - note.at.y - note.height, 0.0)
    return Point(dx, dy).distance(Point(0.0, 0.0))


def _parts(record: Record) -> Iterator[tuple[str, int, int]]:
    """(innermost open part, group code, index) of each tag; an opening comes as code `_OPENING`."""
    parts = [""]
    for index, (code, value) in enumerate(zip(record.codes, record.values)):
        if code in _OPENS and value.strip().endswith("{"):
            parts.append(_OPENS[code])
            yield parts[-1], _OPENING, index
        elif code in _CLOSES and value.strip() == "}":
            parts = parts[:-1] or [""]
        else:
            yield parts[-1], code, index


def _point_at(record: Record, index: int) -> Triple:
    """The point whose x is the tag at `index`; y and z follow."""
    if index + 1 >= len(record.codes) or record.codes[index + 1] != record.codes[index] + 10:
        raise Damage(f"{record.kind} has a point without y", record.start + 1 + index)
    has_z = index + 2 < len(record.codes) and record.codes[index + 2] == record.codes[index] + 20
    return record.number_at(index), record.number_at(index + 1), record.number_at(index + 2) if has_z else 0.0
