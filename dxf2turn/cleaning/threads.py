"""What the threads called out on a drawing say about its unit: a diameter of their size must be drawn."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations

from dxf2turn.geometry.segment import Line
from dxf2turn.reading.model import Drawing, Note, Role
from dxf2turn.units import MM_PER_INCH

_METRIC = re.compile(
    r"(?<![A-Za-z0-9./])M\s?(\d+(?:[.,]\d+)?)(?![\d.]|\s*:)(?:\s*[xX\u00d7*]\s*(\d+(?:[.,]\d+)?))?"
)
_UNIFIED = re.compile(
    r"(?<![\d./])(?:(\d+)[-\s])?(\d+)/(\d+)\s*[\"]?\s*[-\u2013x]\s*(\d+)\s*-?\s*(?:UN|THD|ACME)",
    re.IGNORECASE,
)
_BELOW, _ABOVE = 0.03, 0.001  # shares by which the crest may be drawn below and above the nominal size
_BORE = 0.01  # share by which a bore may be off D1
_D1 = 1.082532  # D1 = d - 1.082532 P (ISO 68-1)
_LONG_PITCH = 0.3  # times the size; a larger second number is a length
_ROUND = 6  # decimals, to see what is drawn twice as one
_MOST = 400  # straight lines; on a fuller sheet any size is found somewhere


@dataclass(frozen=True, slots=True)
class ThreadSize:
    """A size called out: outside diameter and, where the pitch is known, the bore; mm."""

    text: str
    major: float
    bore: float | None = None

    def fits(self, diameter: float) -> bool:
        """Whether a drawn diameter in mm may be the one that is meant."""
        outside = (1.0 - _BELOW) * self.major <= diameter <= (1.0 + _ABOVE) * self.major
        return outside or (self.bore is not None and abs(diameter - self.bore) <= _BORE * self.bore)


def threads_called_out(notes: Iterable[Note]) -> tuple[ThreadSize, ...]:
    """The metric and unified sizes in the notes."""
    return tuple(size for note in notes for size in _sizes(note.text))


def _sizes(text: str) -> Iterator[ThreadSize]:
    for match in _METRIC.finditer(text):
        major = float(match[1].replace(",", "."))
        pitch = float(match[2].replace(",", ".")) if match[2] else 0.0
        if major > 0.0:
            yield _size(match[0], major, pitch if pitch <= _LONG_PITCH * major else 0.0)
    for match in _UNIFIED.finditer(text):
        whole, upper, lower, turns = (int(group or 0) for group in match.groups())
        if lower and turns:
            yield _size(match[0], (whole + upper / lower) * MM_PER_INCH, MM_PER_INCH / turns)


def _size(text: str, major: float, pitch: float) -> ThreadSize:
    return ThreadSize(text.strip(), major, major - _D1 * pitch if pitch else None)


def factor_by_threads(drawing: Drawing, known: float | None, others: Iterable[float]) -> float | None:
    """The one of some factors (mm per unit) at which every thread called out is drawn somewhere.

    None when there are no threads, when one is drawn at the known factor, or when the answer is not one.
    """
    sizes = threads_called_out(drawing.notes)
    diameters = drawn_diameters(drawing) if sizes else ()
    if not diameters or (known is not None and any(_drawn(size, diameters, known) for size in sizes)):
        return None
    found = [factor for factor in others if all(_drawn(size, diameters, factor) for size in sizes)]
    return found[0] if len(found) == 1 else None


def _drawn(size: ThreadSize, diameters: tuple[float, ...], factor: float) -> bool:
    return any(size.fits(factor * diameter) for diameter in diameters)


def drawn_diameters(drawing: Drawing) -> tuple[float, ...]:
    """What may be a diameter, in drawing units: twice the distance of a line from a parallel centre line.

    Without a centre line: the distance of two parallel lines of equal extent, or twice that from the lowest
    (or leftmost) line of the outline.
    """
    lines = [_upright(line) for line in _straight(drawing, Role.OUTLINE)]
    axes = [_upright(line) for line in _straight(drawing, Role.CENTRE)]
    if len(lines) > _MOST:
        return ()
    found: set[float] = set()
    for direction in {kind for kind, *_ in axes if kind} or ("z", "r"):
        level = sorted({(a, b, c) for kind, a, b, c in lines if kind == direction})
        middles = {a for kind, a, _, _ in axes if kind == direction}
        if middles:
            found.update(2.0 * abs(a - middle) for a, _, _ in level for middle in middles)
        else:
            found.update(abs(p[0] - q[0]) for p, q in combinations(level, 2) if p[1:] == q[1:])
            found.update(2.0 * (a - level[0][0]) for a, _, _ in level)
    return tuple(sorted(d for d in found if d > 0.0))


def _straight(drawing: Drawing, role: Role) -> Iterator[Line]:
    for curve in drawing.curves:
        if curve.role is role:
            yield from (segment for segment in curve.segments if isinstance(segment, Line))


def _upright(line: Line) -> tuple[str, float, float, float]:
    """(direction, offset, least and largest place along it) of a horizontal or upright line; others: ""."""
    dx, dy = abs(line.end.x - line.start.x), abs(line.end.y - line.start.y)
    if min(dx, dy) > 1e-6 * math.hypot(dx, dy):
        return ("", 0.0, 0.0, 0.0)
    if dx >= dy:
        ends = sorted((line.start.x, line.end.x))
        return ("z", round(line.start.y, _ROUND), round(ends[0], _ROUND), round(ends[1], _ROUND))
    ends = sorted((line.start.y, line.end.y))
    return ("r", round(line.start.x, _ROUND), round(ends[0], _ROUND), round(ends[1], _ROUND))
