"""summary.csv: all drawings of a run, worst first."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from typing import Any

from dxf2turn.bulk.model import WORST_FIRST
from dxf2turn.output.csv_table import cell

NAME = "summary.csv"
HEADS = (
    "status",
    "drawing",
    "name",
    "stop",
    "fix",
    "note",
    "steps",
    "total_s",
    "max_left_mm",
    "text",
)


def render(lines: Iterable[dict[str, Any]]) -> str:
    """The table of results lines: worst status first, then most findings, then by name."""
    rows = [(line["drawing"], part) for line in lines for part in line["parts"]]
    rows.sort(
        key=lambda row: (_rank(row[1]["status"]), -row[1]["stop"], -row[1]["fix"], row[0], row[1]["name"])
    )
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(HEADS)
    for drawing, part in rows:
        numbers = (part[name] for name in ("stop", "fix", "note", "steps", "total_s", "max_left_mm"))
        shown = ["" if number is None else str(number) for number in numbers]
        writer.writerow([part["status"], cell(drawing), cell(part["name"]), *shown, cell(part["text"])])
    return out.getvalue()


def _rank(status: str) -> int:
    return WORST_FIRST.index(status) if status in WORST_FIRST else -1
