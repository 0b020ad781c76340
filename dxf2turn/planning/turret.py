"""Tools get their numbers: T1, T2, ... in the order of first use, one number a crib tool over all setups."""

from __future__ import annotations

from dataclasses import replace

from dxf2turn.planning.model import Setup, Step
from dxf2turn.shop.model import Tool

CRIB = "crib: "


def crib_name(tool: Tool) -> str:
    """What a numbered tool is called in the crib."""
    return tool.note.removeprefix(CRIB).split(";")[0] if tool.note.startswith(CRIB) else tool.id


def stationed(setups: tuple[Setup, ...]) -> tuple[Setup, ...]:
    """The setups with numbered tools; a tool's note says what it is called in the crib."""
    numbers: dict[str, str] = {}
    for setup in setups:
        for step in setup.steps:
            if step.tool is not None:
                numbers.setdefault(step.tool.id, f"T{len(numbers) + 1}")
    return tuple(
        replace(setup, steps=tuple(_numbered(step, numbers) for step in setup.steps)) for setup in setups
    )


def _numbered(step: Step, numbers: dict[str, str]) -> Step:
    return step if step.tool is None else replace(step, tool=_renamed(step.tool, numbers[step.tool.id]))


def _renamed(tool: Tool, number: str) -> Tool:
    crib = f"{CRIB}{tool.id}"
    return replace(tool, id=number, note=f"{crib}; {tool.note}" if tool.note else crib)
