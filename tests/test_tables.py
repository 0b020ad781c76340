"""Packaged tables: rows, types, and errors that name file, line and column."""

from __future__ import annotations

from importlib import resources

import pytest

from dxf2turn import tables
from dxf2turn.errors import BadShopData

CSV_FILES = sorted(
    entry.name for entry in (resources.files("dxf2turn") / "data").iterdir() if entry.name.endswith(".csv")
)


def read(text: str) -> list[tables.Row]:
    return list(tables.csv_rows(text, "probe.csv"))


@pytest.mark.parametrize("name", CSV_FILES)
def test_every_packaged_table_reads_and_says_where_it_comes_from(name: str) -> None:
    """Each CSV file has rows, and a source and a standing for each of them."""
    rows = tables.rows(name)

    assert rows
    assert all(row.get("source") for row in rows), name
    assert all(row.get("status") or row.get("standing") for row in rows), name


def test_rows_are_cached() -> None:
    """A table is read once."""
    assert tables.rows("iso286_it") is tables.rows("iso286_it")


def test_comments_and_blank_lines_are_skipped_but_a_hash_may_start_a_size() -> None:
    """`# ` starts a comment; `#10-24` is a thread."""
    rows = read("# a comment\n\nsize,tpi\n#10,24\n")

    assert rows[0]["size"] == "#10"
    assert rows[0].line == 4


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a,b\n1\n", ("line 2", "1 cells", "2 expected")),
        ("a,a\n1,2\n", ("line 1", "different")),
        ("# only a comment\n", ("no line of column names",)),
    ],
)
def test_a_malformed_table_is_refused_with_its_line(text: str, words: tuple[str, ...]) -> None:
    """Wrong cell counts, doubled names and empty files are named."""
    with pytest.raises(BadShopData) as caught:
        read(text)

    assert all(word in str(caught.value) for word in ("probe.csv", *words))


@pytest.mark.parametrize("cell", ["", "1,5x", "nan", "inf"])
def test_a_cell_that_is_no_number_is_refused_with_line_and_column(cell: str) -> None:
    """Numbers must be finite and there."""
    row = read(f'name,pitch_mm\nM3,"{cell}"\n')[0]

    with pytest.raises(BadShopData, match=r"probe.csv, line 2, column 'pitch_mm'"):
        row.number("pitch_mm")


def test_typed_cells() -> None:
    """Texts, numbers, whole numbers and empty cells come out as what they are."""
    row = read("name,n,x,empty\nM3,4,0.5,\n")[0]

    assert (row.text("name"), row.integer("n"), row.number("x")) == ("M3", 4, 0.5)
    assert row.optional_number("empty") is None
    with pytest.raises(BadShopData, match="whole number"):
        row.integer("x")


def test_a_missing_file_is_named() -> None:
    """Asking for a table that is not packaged names it."""
    with pytest.raises(BadShopData, match="no_such_table.csv"):
        tables.rows("no_such_table")
    with pytest.raises(BadShopData, match="no_such.toml"):
        tables.document("no_such")
