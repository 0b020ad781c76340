"""Parts that are too large for the machines."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.model import Case, Check, always
from dxf2turn.checks.words import mm
from dxf2turn.findings import Finding, Severity
from dxf2turn.shop.model import Machine


def run(case: Case) -> Iterator[Finding]:
    """Stop when the part fits no machine; to fix when it fits only another than the default one."""
    able = [machine for machine in case.shop.machines if fits(case, machine)]
    default = case.shop.machine()
    if default is None or default in able:
        return
    profile = case.part.profile
    diameter, length = 2.0 * profile.max_radius, profile.length
    wide = diameter > default.max_swing_mm
    name = f"--machine {able[0].name!r}" if able else ""
    yield Finding(
        code=CHECK.code,
        severity=Severity.FIX if able else Severity.STOP,
        text=f"the part, diameter {mm(diameter)} and length {mm(length)}, does not fit "
        + (f"the machine {default.name!r}" if able else "any machine")
        + f": it swings {mm(default.max_swing_mm)} and takes {mm(default.max_length_mm)} before the jaws",
        hint=f"Use {name}." if able else "Add a larger machine to machine.toml.",
        where=case.place(0.5 * (profile.bounds.min_x + profile.bounds.max_x), profile.max_radius),
        measured=diameter if wide else length,
        limit=default.max_swing_mm if wide else default.max_length_mm,
        source=default.source,
    )


def fits(case: Case, machine: Machine) -> bool:
    """Whether diameter and length are within the machine's."""
    profile = case.part.profile
    return 2.0 * profile.max_radius <= machine.max_swing_mm and profile.length <= machine.max_length_mm


CHECK = Check(
    id="machine-size",
    why="The work must swing over the cross slide and fit between chuck and tailstock.",
    rules=(),
    applies=always,
    run=run,
)
