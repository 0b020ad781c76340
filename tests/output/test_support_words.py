"""How a supported setup is told to people: sheet, program, document."""

from __future__ import annotations

import json
from functools import cache

from dxf2turn.job import Job
from dxf2turn.output.cautions import cautions
from dxf2turn.output.files import render
from dxf2turn.pipeline import plan, read
from tests.builders import build
from tests.planning.hand_parts import solid

ENDS = ("steps.md", "plan.json", "program.nc")
ROD = solid([(0, 7), (-1, 8), (-80, 8), (-80, 9), (-95, 9)])


@cache
def _job() -> Job:
    built = build(ROD, "half lines", seed=1)
    return plan(read(built.data, built.options, built.name), None, built.options)


@cache
def _texts() -> dict[str, str]:
    files = render(_job())
    return {end: _text(next(d for n, d in files.items() if n.endswith(end))) for end in ENDS}


def _text(data: bytes | str) -> str:
    return data.decode("utf-8") if isinstance(data, bytes) else data


def test_the_sheet_says_what_is_done_first() -> None:
    """Tailstock, where its point stands, and when it is brought up and taken back."""
    sheet = _texts()["steps.md"]

    assert "- Support: tailstock, live centre" in sheet
    assert "bring up the tailstock" in sheet and "take the tailstock back" in sheet


def test_the_cautions_speak_of_the_tailstock() -> None:
    """Only where one is used."""
    assert any(text.startswith("Tailstock:") for text in cautions(_job()))
    assert not any(text.startswith("Steady:") for text in cautions(_job()))


def test_the_document_has_the_body_of_the_support() -> None:
    """One polygon for the centre with nose, body and sleeve, none where there is no support."""
    setups = json.loads(_texts()["plan.json"])["setups"]
    held = [len(setup["support_outline"]) for setup in setups]

    assert [setup["support"] for setup in setups] == ["none", "tailstock", "none", "none"]
    assert held == [0, 1, 0, 0]


def test_the_program_moves_clear_before_it_stops_for_the_tailstock() -> None:
    """The slide goes to its new tool-change point first; when the tailstock is taken back it stops first."""
    lines = _texts()["program.nc"].splitlines()
    up = next(i for i, line in enumerate(lines) if "BRING UP THE TAILSTOCK" in line)
    back = next(i for i, line in enumerate(lines) if "TAKE THE TAILSTOCK BACK" in line)

    assert "X" in lines[up + 1] and "M05" in lines[up + 2] and "M00" in lines[up + 3]
    assert "M05" in lines[back + 1] and "M00" in lines[back + 2] and "X" in lines[back + 3]
