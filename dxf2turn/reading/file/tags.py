"""Tags: the flat list of (group code, value) pairs that a DXF file is, each with its place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

COMMENT = 999


@dataclass(frozen=True, slots=True)
class Tags:
    """All pairs of a file in order.

    values are texts, also for a binary file (numbers written so that reading them back is exact).
    first_line: line of the first group code, 1-based. offsets: byte offset of each pair of a binary
    file, None for a text file.
    mended: codes of the repairs made on the way (`wording.MENDS`).
    """

    codes: list[int]
    values: list[str]
    first_line: int = 1
    offsets: Sequence[int] | None = None
    mended: tuple[str, ...] = ()

    def line(self, index: int) -> int | None:
        """Line number of the value of pair `index`; None in a binary file."""
        return None if self.offsets is not None else self.first_line + 2 * index + 1

    def place(self, index: int) -> str:
        """The place of pair `index` for people: `line 42` or `byte 1234`."""
        if self.offsets is None:
            return f"line {self.line(index)}"
        return f"byte {self.offsets[index]}" if self.offsets else "byte 0"
