"""Tolerances that are finer than turning holds."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check
from dxf2turn.checks.words import mm
from dxf2turn.features.model import Limits
from dxf2turn.findings import Finding, Severity
from dxf2turn.tables import rows
from dxf2turn.units import plain_text

GRADES = range(5, 15)  # the columns of the table
UM = 1000.0  # micrometres in a millimetre
FINER = 4  # stands for everything finer than the table


def run(case: Case) -> Iterator[Finding]:
    """Grade 6 is a note, 5 and finer is to fix. Sizes without tolerance of their own do not count."""
    normal, possible = limit("T39", "grade_normal"), limit("T39", "grade_possible")
    for size in case.part.limits:
        grade = grade_of(size)
        if grade is None or grade >= normal.value:
            continue
        fine = grade < possible.value
        yield Finding(
            code=CHECK.code,
            severity=Severity.FIX if fine else Severity.NOTE,
            text=f"{size.what} {mm(size.nominal)} {size.text}".rstrip()
            + f" has a tolerance of {mm(size.upper - size.lower)}, grade IT{grade}"
            + (" or finer" if grade == FINER else "")
            + f"; turning holds IT{plain_text(normal.value)}, with care IT{plain_text(possible.value)}",
            hint="Grind it, or give a wider tolerance." if fine else "Measure and correct while finishing.",
            where=case.place(0.5 * (size.z_front + size.z_back), size.r),
            measured=float(grade),
            limit=normal.value,
            unit="IT grade",
            source=normal.source,
        )


def grade_of(size: Limits) -> int | None:
    """The IT grade of a size: as written, else the coarsest that is not wider than its tolerance."""
    if size.grade is not None:
        return size.grade
    width = (size.upper - size.lower) * UM
    for row in rows("iso286_it"):
        if row.number("over_mm") < size.nominal <= row.number("to_mm"):
            return max((g for g in GRADES if row.number(f"it{g}_um") <= width), default=FINER)
    return None


CHECK = Check(
    id="tolerance-grade",
    why="Plain turning holds IT7 to IT8; IT6 takes care, finer sizes are ground.",
    rules=("T39",),
    applies=lambda case: None if case.part.limits else "no size has a tolerance of its own",
    run=run,
)
