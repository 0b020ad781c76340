"""Lists beside a picture: text in columns, with a swatch, a flag or an id before each line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.output.display import Item, Path, Text, polyline, text_width

LINE = 21.0  # pixels from line to line
SIZE = 13.5


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry: its words and what stands before them (drawn by `sign` at the line's left end)."""

    words: str
    sign: str = ""  # short text
    style: str = "small"
    swatch: str = ""  # a line style shown before the words


def columns(
    entries: Sequence[Entry], at: Point, width: float, column: float
) -> tuple[tuple[Item, ...], float]:
    """Entries in as many columns of about `column` pixels as fit in `width`; (items, height used).

    Reading goes down, then right. Long words are wrapped to the column.
    """
    count = max(1, min(int(width // column), len(entries)))
    column = width / count
    blocks = [(entry, wrapped(entry.words, column - 66.0)) for entry in entries]
    limit = -(-sum(len(lines) for _, lines in blocks) // count)
    items: list[Item] = []
    used, index, line = 0, 0, 0
    for entry, lines in blocks:
        if line >= limit and index < count - 1:
            index, line = index + 1, 0
        place = Point(at.x + index * column, at.y + (line + 1) * LINE)
        items.extend(_entry(entry, lines, place))
        line += len(lines)
        used = max(used, line)
    return tuple(items), used * LINE + 8.0


def _entry(entry: Entry, lines: Sequence[str], place: Point) -> Iterator[Item]:
    indent = 0.0
    if entry.swatch:
        yield Path((polyline(place + Vector(0, -4.5), place + Vector(30, -4.5)),), entry.swatch)
        indent = 38.0
    if entry.sign:
        yield Text(place + Vector(indent, 0.0), entry.sign, "balloon-text")
        indent += max(42.0, text_width(entry.sign, SIZE) + 8.0)
    for number, words in enumerate(lines):
        yield Text(place + Vector(indent, number * LINE * 0.86), words, entry.style)


def wrapped(words: str, width: float, most: int = 4) -> list[str]:
    """Words broken into lines no wider than `width`; at most `most` lines, the last one cut short."""
    lines = [""]
    for word in words.split(" "):  # not at non-breaking blanks
        candidate = f"{lines[-1]} {word}".strip()
        if text_width(candidate, SIZE) <= width or not lines[-1]:
            lines[-1] = candidate
        else:
            lines.append(word)
    if len(lines) > most:
        lines = [*lines[: most - 1], f"{lines[most - 1]} \u2026"]
    return [_cut(line, width) for line in lines]


def _cut(line: str, width: float) -> str:
    """A single word that is wider than the line ends in an ellipsis."""
    if text_width(line, SIZE) <= width * 1.1:
        return line
    while line and text_width(line, SIZE) > width:
        line = line[:-1]
    return f"{line}\u2026"
