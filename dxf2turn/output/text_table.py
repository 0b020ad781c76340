"""Rows as columns of plain text, for the screen."""

from __future__ import annotations

from collections.abc import Sequence


def columns(rows: Sequence[Sequence[str]], right: Sequence[int] = ()) -> list[str]:
    """Rows padded to columns two blanks apart; the columns named in `right` are set to the right.

    >>> columns([("id", "Z"), ("F1", "-2.5")], right=(1,))
    ['id     Z', 'F1  -2.5']
    """
    widths = [max(len(row[index]) for row in rows) for index in range(len(rows[0]))]
    lines = []
    for row in rows:
        cells = [
            text.rjust(width) if index in right else text.ljust(width)
            for index, (text, width) in enumerate(zip(row, widths))
        ]
        lines.append("  ".join(cells).rstrip())
    return lines
