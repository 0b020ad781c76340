"""The thresholds of the rules, out of check_limits.csv with their sources.

>>> limit("T27", "overhang").value
3.0
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from dxf2turn.errors import BadShopData
from dxf2turn.tables import rows


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
            source = f"rule {rule}: {row.text('source')} ({row.text('status')})"
            return Threshold(rule, row.number("value"), row.text("statement"), source)
    raise BadShopData(f"check_limits.csv: no row for rule {rule}, name {name!r}")


def statements(rule: str) -> tuple[str, str]:
    """(what the rule says, where it comes from), for the page of checks."""
    found = [row for row in rows("check_limits") if row["rule"] == rule]
    if not found:
        raise BadShopData(f"check_limits.csv: no row for rule {rule}")
    sources = dict.fromkeys(f"{row.text('source')} ({row.text('status')})" for row in found)
    return found[0].text("statement"), "; ".join(sources)
