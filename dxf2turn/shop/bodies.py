"""How tools are made round their cutting part, out of tool_bodies.csv: each value with its standing.

>>> usual("sleeve_length")
40.0
"""

from __future__ import annotations

from functools import cache

from dxf2turn.errors import BadShopData
from dxf2turn.tables import rows


@cache
def usual(name: str) -> float:
    """A value in the unit that its row states. Raises BadShopData when the packaged table lacks it."""
    for row in rows("tool_bodies"):
        if row["name"] == name:
            return row.number("value")
    raise BadShopData(f"tool_bodies.csv: no row named {name!r}")
