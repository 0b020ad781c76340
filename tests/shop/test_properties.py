"""Whatever numbers a person writes into tools.toml: a proper tool, or a sentence that says what is wrong."""

from __future__ import annotations

import tomllib

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.errors import BadShopData
from dxf2turn.shop.load import BUILDERS, load_shop, shop_from_texts
from dxf2turn.tables import read_text

CRIB = tomllib.loads(read_text("tools.toml"))
TABLES = [name for name, _ in BUILDERS]
NUMBERS = st.one_of(
    st.sampled_from([0.0, 1e-12, 1e-6, 1e-3, 0.1, 1.0, 7.5, 60.0, 179.999, 1e3, 1e6, -1.0]),
    st.floats(1e-4, 500.0, allow_nan=False),
)


def as_toml(table: str, entry: dict[str, object]) -> str:
    """A file with one table of one entry."""
    shown = ", ".join(f"{key} = {_value(value)}" for key, value in entry.items())
    return f"{table} = [\n  {{ {shown} }},\n]\n"


def _value(value: object) -> str:
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return "[" + ", ".join(map(_value, value)) + "]"
    return repr(value)


@settings(max_examples=400, deadline=None, derandomize=True)
@given(st.data())
def test_any_number_gives_a_proper_tool_or_a_sentence(data: st.DataObject) -> None:
    """Two numbers of any entry replaced: the shapes stay valid, or the error names file, line and tool."""
    table = data.draw(st.sampled_from(TABLES))
    entry = dict(data.draw(st.sampled_from(CRIB[table])))
    keys = [key for key, value in entry.items() if isinstance(value, float)]
    for _ in range(data.draw(st.integers(1, 2))):
        entry[data.draw(st.sampled_from(keys))] = data.draw(NUMBERS)
    try:
        (tool,) = shop_from_texts({"tools.toml": as_toml(table, entry)}).tools
    except BadShopData as problem:
        assert str(problem).startswith(f"tools.toml, line 2: {table} {entry['id']!r}: ")
        return
    for piece in (tool.outline, *tool.holder):
        polygon = shapely.Polygon(piece)
        assert polygon.is_valid and polygon.area > 0.0


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.integers(0, 10_000), st.integers(1, 12), st.text(max_size=6))
def test_damaged_text_never_raises_anything_else(place: int, length: int, put: str) -> None:
    """A piece of the machine file replaced by anything: a shop, or BadShopData."""
    text = read_text("machine.toml")
    place %= len(text)
    try:
        shop_from_texts({"machine.toml": text[:place] + put + text[place + length :]})
    except BadShopData as problem:
        assert str(problem).startswith("machine.toml")


def test_packaged_shop_loads_equal_every_time() -> None:
    """Loading is deterministic."""
    assert shop_from_texts({}) == load_shop(None)
