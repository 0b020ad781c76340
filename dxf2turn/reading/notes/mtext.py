"""MTEXT: formatting codes out, stacked tolerances and fractions kept readable."""

from __future__ import annotations

from dataclasses import dataclass, field

from dxf2turn.reading.damage import Unusable
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.model import Note, NoteKind, Origin
from dxf2turn.reading.notes.codes import fold_codes, fold_symbols, tidy
from dxf2turn.reading.plane import Placement

_LINE_ENDS = "PNX"  # new paragraph, new column, split of a dimension text
_SWITCHES = "LlOoKk"  # underline, overline, strike through: on, off
_WITH_VALUE = "ACcFfHQTWp"  # codes whose value runs to the next semicolon
_SYMBOL_FONT = "gdt"  # part of the names of fonts whose letters are drawing symbols


def mtext_note(record: Record, placement: Placement, origin: Origin) -> Note:
    """The note of an MTEXT. Raises Unusable when it is blank."""
    text = plain_mtext(mtext_content(record))
    if not text:
        raise Unusable("holds no text")
    height = abs(record.number(40, 0.0))
    return Note(NoteKind.TEXT, text, placement.flat(record.point(10)), origin, height=height)


def mtext_content(record: Record) -> str:
    """The raw text: chunks with group code 3, the last one with 1."""
    return "".join(value for code, value in zip(record.codes, record.values) if code in (1, 3))


def plain_mtext(raw: str) -> str:
    """The text without codes; a stack as `upper/lower`, set off by a blank.

    >>> plain_mtext("{\\\\fArial|b0;%%c25{\\\\H0.7x;\\\\S+0.1^-0.2;}}\\\\Pall around")
    '⌀25 +0.1/-0.2\\nall around'
    """
    reader = _Reader(raw)
    while reader.at < len(raw):
        reader.step()
    return tidy(fold_codes("".join(reader.out)))


@dataclass(slots=True)
class _Reader:
    """Position in the raw text, what was read so far, and whether a symbol font is on (per open group)."""

    raw: str
    at: int = 0
    out: list[str] = field(default_factory=list)
    symbols: list[bool] = field(default_factory=lambda: [False])

    def step(self) -> None:
        """Read one character or one code."""
        letter = self.raw[self.at]
        self.at += 1
        if letter == "\\":
            self._code()
        elif letter == "{":
            self.symbols.append(self.symbols[-1])
        elif letter == "}":
            if len(self.symbols) > 1:
                self.symbols.pop()
        elif letter == "^":
            self._caret()
        else:
            self.out.append(fold_symbols(letter) if self.symbols[-1] else letter)

    def _code(self) -> None:
        letter = self.raw[self.at : self.at + 1]
        self.at += 1
        if letter in _LINE_ENDS:
            self.out.append("\n")
        elif letter == "~":
            self.out.append(" ")
        elif letter == "S":
            self._stack()
        elif letter in ("U", "M") and self.raw[self.at : self.at + 1] == "+":
            self.out.append("\\" + letter)  # folded when all is read
        elif letter in _WITH_VALUE:
            value = self._until_semicolon()
            if letter in "fF":
                self.symbols[-1] = _SYMBOL_FONT in value.split("|")[0].lower()
        elif letter not in _SWITCHES:
            self.out.append(letter)

    def _caret(self) -> None:
        letter = self.raw[self.at : self.at + 1]
        if letter in ("I", "J", "M", " "):
            self.at += 1
            self.out.append({"I": " ", "J": "\n", "M": "", " ": "^"}[letter])
        else:
            self.out.append("^")

    def _until_semicolon(self) -> str:
        end = self.raw.find(";", self.at)
        end = len(self.raw) if end < 0 else end
        value, self.at = self.raw[self.at : end], end + 1
        return value

    def _stack(self) -> None:
        """`\\Supper^lower;`, with `/` or `#` instead of `^` for fractions."""
        parts, mark = [""], ""
        while self.at < len(self.raw) and self.raw[self.at] != ";":
            letter = self.raw[self.at]
            self.at += 1
            if letter == "\\" and self.at < len(self.raw):
                parts[-1] += self.raw[self.at]
                self.at += 1
            elif letter in "^/#" and not mark:
                mark = letter
                parts.append("")
            else:
                parts[-1] += letter
        self.at += 1
        parts = _with_zero([part.strip() for part in parts], mark)
        shown = "/".join(part for part in parts if part)
        before = self.out[-1][-1:] if self.out else ""
        # A stack over nothing is an exponent or an index and stays with its letter; two numbers never join.
        alone = len(parts) == 2 and all(parts)
        numbers = before.isdigit() and shown[:1].isdigit()
        self.out.append(f" {shown}" if (alone or numbers) and before.strip() else shown)


def _with_zero(parts: list[str], mark: str) -> list[str]:
    """A stack of one deviation over or under nothing, with the 0 that is meant (common practice)."""
    if mark == "^" and len(parts) == 2:
        upper, lower = parts
        if upper[:1] == "+" and not lower:
            return [upper, "0"]
        if lower[:1] in ("-", "\u2212") and not upper:
            return ["0", lower]
    return parts
