"""The values that were read in the sources, copied into tests/features/reference with source and standing."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

from dxf2turn import tables

FOLDER = Path(__file__).parent / "reference"


def reference(name: str) -> list[tables.Row]:
    """All rows of one file; each says where it comes from."""
    rows = list(tables.csv_rows((FOLDER / f"{name}.csv").read_text(encoding="utf-8"), f"{name}.csv"))
    assert rows and all(row.text("source") and row.text("status") for row in rows)
    return rows


def differing(rows: Iterable[tables.Row], wrong: Callable[[tables.Row], str]) -> list[str]:
    """What `wrong` says of each row for which it says something: "line 12: ..."."""
    return [f"line {row.line}: {said}" for row in rows if (said := wrong(row))]


def off(pairs: Iterable[tuple[str, float, float]], tolerance: float) -> str:
    """The pairs (name, got, printed) that differ by more than the rounding of what is printed."""
    return "; ".join(f"{n}: {a:.5f} for {b:.5f}" for n, a, b in pairs if not abs(a - b) <= tolerance + 1e-9)
