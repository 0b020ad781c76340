"""The program against the plan, by a small reader of ISO 6983-1 words written for this test alone."""

from __future__ import annotations

import math
import re

import pytest

from dxf2turn.output import iso6983
from dxf2turn.output.model import OutputOptions
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.units import Unit
from tests.output import jobs

# Words that ISO 6983-1:1982 defines, as far as this program needs them (from memory of its tables).
ALLOWED_G = {"G00", "G01", "G02", "G03", "G33", "G70", "G71", "G90", "G92", "G95", "G96", "G97"}
ALLOWED_M = {"M00", "M03", "M04", "M05", "M06", "M30"}
WORD = re.compile(r"([A-Z])([+-]?\d*\.?\d*)")


def blocks(text: str) -> list[list[tuple[str, str]]]:
    lines = [line for line in text.splitlines() if line and line[0] not in "%("]
    return [WORD.findall(line) for line in lines]


def travelled(text: str, per_unit: float) -> list[tuple[str, float, float, tuple[float, float] | None]]:
    """(code, z, r, arc centre) of each block that moves, mm."""
    code, z, r, out = "", 0.0, 0.0, []
    for block in blocks(text):
        words = {letter: number for letter, number in block if letter not in "GM"}
        motion = [f"G{n}" for letter, n in block if letter == "G" and n in ("00", "01", "02", "03", "33")]
        code = motion[0] if motion else code
        if "X" not in words and "Z" not in words:
            continue
        start = (z, r)
        z = float(words["Z"]) * per_unit if "Z" in words else z
        r = float(words["X"]) * per_unit / 2.0 if "X" in words else r
        centre = None
        if code in ("G02", "G03"):
            centre = (start[0] + float(words["K"]) * per_unit, start[1] + float(words["I"]) * per_unit)
        out.append((code, z, r, centre))
    return out


def planned() -> list[Move]:
    """The moves of the job that go anywhere, with the first rapid to the tool-change point."""
    moves = [Move(MoveKind.RAPID, jobs.HOME.x, jobs.HOME.y)]
    for step in jobs.STEPS:
        for before, move in zip(step.moves, step.moves[1:]):
            if (before.z, before.r) != (move.z, move.r):
                moves.append(move)
    return moves


@pytest.mark.parametrize(("unit", "per_unit"), [(Unit.MM, 1.0), (Unit.INCH, 25.4)])
def test_program_travels_the_moves_of_the_plan(unit: Unit, per_unit: float) -> None:
    """One block a move, in order, to within the rounding of the program's decimals."""
    codes = {MoveKind.RAPID: "G00", MoveKind.FEED: "G01", MoveKind.THREAD: "G33"}
    rounding = 0.0001 if unit is Unit.MM else 0.0003
    done = travelled(iso6983.render(jobs.job(), OutputOptions(unit)), per_unit)
    moves = planned()

    assert len(done) == len(moves)
    for (code, z, r, centre), move in zip(done, moves):
        arc = "G02" if move.clockwise else "G03"
        assert code == codes.get(move.kind, arc)
        assert math.dist((z, r), (move.z, move.r)) < rounding
        if move.centre is not None:
            assert centre is not None and math.dist(centre, move.centre) < rounding


def test_only_words_of_the_standard() -> None:
    """No canned cycle, no word of some control's own."""
    for block in blocks(iso6983.render(jobs.job(), OutputOptions())):
        for letter, number in block:
            assert letter in "NGMXZIKFST"
            assert letter != "G" or f"G{number}" in ALLOWED_G
            assert letter != "M" or f"M{number}" in ALLOWED_M


def test_thread_blocks_carry_the_lead() -> None:
    """Both passes of the thread M20x1.5 state K 1.5 and no feed."""
    thread = [
        dict(block) for block in blocks(iso6983.render(jobs.job(), OutputOptions())) if ("G", "33") in block
    ]
    assert [float(words["K"]) for words in thread] == [1.5, 1.5]
    assert all("F" not in words for words in thread)


def test_surface_speed_comes_after_its_limit() -> None:
    """G92 S limit stands in a block before every G96, in each step."""
    text = iso6983.render(jobs.job(), OutputOptions())
    lines = text.splitlines()
    for index, line in enumerate(lines):
        if " G96 " in line:
            assert "G92 S2500" in lines[index - 1]


def test_spindle_starts_again_after_a_stop() -> None:
    """After the measuring stop (M05, M00) the next cutting step states speed and direction."""
    text = iso6983.render(jobs.job(), OutputOptions())
    after = text[text.index("M00") :]
    assert "M04" in after[: after.index("G01")]


def test_remarks_can_not_break_out() -> None:
    """A name with parentheses and line breaks stays one remark of plain characters."""
    job = jobs.job(source=jobs.drawing("a) G00 X0 (\nb\u00e9.dxf"))
    first = iso6983.render(job, OutputOptions()).splitlines()[1]

    assert first == "(PART: A/ G00 X0 / B?.DXF)"


def test_every_remark_is_one_line_of_plain_characters() -> None:
    """Controls of old choke on anything else."""
    for line in iso6983.render(jobs.job(), OutputOptions()).splitlines():
        assert line.isascii()
        if line.startswith("("):
            assert line.endswith(")") and line.count("(") == 1 and line.count(")") == 1
