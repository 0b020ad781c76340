"""The thresholds of the rules, out of check_limits.csv with their sources.

>>> limit("T27", "overhang").value
3.0
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from dxf2turn.errors import BadShopData
from dxf2turn.tables import Row, rows


@dataclass(frozen=True, slots=True)
class Threshold:
    """One number with the rule it belongs to. source: rule id, source and standing, for a finding."""

    rule: str
    value: float
    statement: str
    source: str


@cache
def limit(rule: str, name: str) -> Threshold:
    """The threshold of a rule. Raises BadShopData when the packaged table lacks it."""
    for row in rows("check_limits"):
        if row["rule"] == rule and row["name"] == name:
            return Threshold(rule, row.number("value"), row.text("statement"), f"rule {rule}: {_origin(row)}")
    raise BadShopData(f"check_limits.csv: no row for rule {rule}, name {name!r}")


def statements(rule: str) -> tuple[str, str]:
    """(what the rule says, where it comes from), for the page of checks."""
    found = [row for row in rows("check_limits") if row["rule"] == rule]
    if not found:
        raise BadShopData(f"check_limits.csv: no row for rule {rule}")
    return found[0].text("statement"), "; ".join(dict.fromkeys(map(_origin, found)))


def _origin(row: Row) -> str:
    """Source and standing, said once."""
    source, status = row.text("source"), row.text("status")
    return source if status in source else f"{source} ({status})"
