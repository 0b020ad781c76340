"""Packaged data files as checked rows. The only reader of `dxf2turn/data`.

A CSV file has one line of column names, may have comment lines that start with `# `, and carries the unit in
the column name (`pitch_mm`, `td_um`). Every value can be traced: columns `status` and `source` say where it
comes from. An error names the file, the line and the column.

>>> rows("iso286_it.csv")[0].number("it7_um")
10.0
"""

from __future__ import annotations

import csv
import math
import tomllib
from collections.abc import Iterator
from functools import cache
from importlib import resources
from typing import Any

from dxf2turn.errors import BadShopData

FOLDER = "data"
COMMENT = "# "  # with the blank: "#10-24" is a thread size


class Row(dict[str, str]):
    """One line of a table: column name -> text, with its file and line number for errors."""

    __slots__ = ("file", "line")

    def __init__(self, values: dict[str, str], file: str, line: int) -> None:
        super().__init__(values)
        self.file = file
        self.line = line

    def text(self, column: str) -> str:
        """The text of a column that must be filled. Raises BadShopData."""
        value = self.get(column, "").strip()
        if not value:
            raise self.error(column, "is empty or missing")
        return value

    def number(self, column: str) -> float:
        """A finite number that must be there. Raises BadShopData."""
        value = self.optional_number(column)
        if value is None:
            raise self.error(column, "is empty or missing")
        return value

    def optional_number(self, column: str) -> float | None:
        """A finite number, or None for an empty cell. Raises BadShopData for anything else."""
        text = self.get(column, "").strip()
        if not text:
            return None
        try:
            value = float(text)
        except ValueError:
            raise self.error(column, f"holds {text!r}, a number was expected") from None
        if not math.isfinite(value):
            raise self.error(column, f"holds {text!r}, a finite number was expected")
        return value

    def integer(self, column: str) -> int:
        """A whole number that must be there. Raises BadShopData."""
        value = self.number(column)
        if value != int(value):
            raise self.error(column, f"holds {value}, a whole number was expected")
        return int(value)

    def source(self) -> str:
        """Where the row comes from and how sure it is, e.g. "S03, copied"."""
        parts = (self.get("source", ""), self.get("status", ""))
        return ", ".join(part for part in parts if part)

    def error(self, column: str, problem: str) -> BadShopData:
        """The error for one cell, ready to raise."""
        return BadShopData(f"{self.file}, line {self.line}, column {column!r}: {problem}")


@cache
def rows(name: str) -> tuple[Row, ...]:
    """All rows of a packaged CSV file (`name` with or without `.csv`).

    Raises BadShopData for a missing file, a row with too many or too few cells, or a doubled column name.
    """
    file = name if name.endswith(".csv") else f"{name}.csv"
    return tuple(csv_rows(read_text(file), file))


@cache
def document(name: str) -> dict[str, Any]:
    """A packaged TOML file as a dict (`name` with or without `.toml`); treat it as read-only.

    Raises BadShopData for a missing file or wrong TOML (the message names line and column).
    """
    file = name if name.endswith(".toml") else f"{name}.toml"
    try:
        return tomllib.loads(read_text(file))
    except tomllib.TOMLDecodeError as problem:
        raise BadShopData(f"{file}: {problem}") from None


def read_text(file: str) -> str:
    """The text of a packaged data file. Raises BadShopData when there is none of that name."""
    place = resources.files("dxf2turn") / FOLDER / file
    try:
        return place.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as problem:
        raise BadShopData(f"packaged data file {file}: {problem.__class__.__name__}") from None


def csv_rows(text: str, file: str) -> Iterator[Row]:
    """Rows of CSV text; `file` only names it in errors. Blank lines and comments are skipped."""
    columns: list[str] = []
    for line, cells in _lines(text):
        if not columns:
            columns = _columns(cells, file, line)
            continue
        if len(cells) != len(columns):
            raise BadShopData(f"{file}, line {line}: {len(cells)} cells, {len(columns)} expected")
        yield Row(dict(zip(columns, cells)), file, line)
    if not columns:
        raise BadShopData(f"{file}: no line of column names")


def _lines(text: str) -> Iterator[tuple[int, list[str]]]:
    """(line number in the file, stripped cells) of every line that holds data."""
    for number, line in enumerate(text.splitlines(), start=1):
        if line.strip() and not line.startswith(COMMENT):
            yield number, [cell.strip() for cell in next(csv.reader([line]))]


def _columns(cells: list[str], file: str, line: int) -> list[str]:
    if len(set(cells)) != len(cells) or "" in cells:
        raise BadShopData(f"{file}, line {line}: column names must be filled and different")
    return cells
