"""The page about the shop says what the code does."""

from __future__ import annotations

import re
from pathlib import Path

from dxf2turn.shop.load import FILES, load_shop
from dxf2turn.tables import document, read_text, rows

ROOT = Path(__file__).parent.parent.parent
PAGE = (ROOT / "docs" / "shop.md").read_text(encoding="utf-8")


def test_every_kind_and_its_controlled_point_is_described() -> None:
    """Each kind of tool stands in the table of controlled points, with the words of its tools."""
    table = [line for line in PAGE.splitlines() if line.startswith("| ")]
    for tool in load_shop(None).tools:
        lines = [line for line in table if tool.kind in line.split("|")[1]]
        assert any(tool.controlled in line for line in lines), tool.id


def test_rules_have_the_code_s_numbers() -> None:
    """The numbers of the starting values are those of the code."""
    practice = load_shop(None).practice
    drilling, cutting = practice.drilling, practice.cutting
    values = (drilling.feed_share, drilling.feed_most_mm_per_rev)
    for value in (*values, cutting.blade_feed_share, cutting.blade_depth_share):
        assert f"{value:g}" in PAGE


def test_every_value_of_the_practice_says_where_it_comes_from() -> None:
    """Each line of practice.toml ends with a source, a rule, or the word for practice without a source."""
    lines = [line for line in read_text("practice.toml").splitlines() if re.match(r"\w+ = ", line)]
    assert len(lines) > 40
    assert [line for line in lines if not re.search(r"# .*\. (Practice|S\d\d|T\d\d)", line)] == []


def test_files_and_tables_are_named() -> None:
    """Every shop file and table that the page names exists, and every shop file is named."""
    for name in FILES:
        assert f"`{name}`" in PAGE
        assert document(name)
    for name in set(re.findall(r"`(\w+)\.csv`", PAGE)):
        assert rows(name)


def test_every_source_key_is_explained() -> None:
    """Each key (S36, TS02 ...) in the shop's data and code is explained in docs/tables.md or on this page."""
    explained = set(re.findall(r"\| (T?S\d+) \|", (ROOT / "docs" / "tables.md").read_text("utf-8") + PAGE))
    package = ROOT / "dxf2turn"
    files = [*package.glob("shop/**/*.py"), *package.glob("checks/*.py"), *package.glob("data/*.toml")]
    files += [package / "data" / f"{name}.csv" for name in TABLES]
    used = {key for file in files for key in re.findall(r"\bT?S\d\d\b", file.read_text("utf-8"))}
    assert used - {"S01"} <= explained, sorted(used - explained)  # S01 stands for the form of a key


TABLES = (
    "check_limits",
    "tool_bodies",
    "holder_styles",
    "insert_shapes",
    "insert_sizes",
    "material_groups",
    "bar_stock",
)


def test_every_material_and_row_says_where_it_comes_from() -> None:
    """No value without source: materials, cutting rows, machines."""
    shop = load_shop(None)
    assert all(entry.source for entry in (*shop.materials, *shop.cutting, *shop.machines))
