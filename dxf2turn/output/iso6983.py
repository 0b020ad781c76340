"""The program: words of ISO 6983-1 only, one block a move, no canned cycles, no tool radius compensation.

The moves are those of the plan, for the controlled point that each tool's comment names. X is a diameter;
I and K give the centre of an arc from its start, I as a radius. Thread cutting is G33 with the lead in K
(along Z), in I where the thread is steeper than 45 degrees. G92 S sets the highest spindle speed. What a
control may read differently is listed in docs/outputs.md.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from dxf2turn.geometry.point import Point
from dxf2turn.job import Job
from dxf2turn.output.model import OutputOptions, unit_for
from dxf2turn.output.setup_rows import setup_row
from dxf2turn.output.summary import verdict_line
from dxf2turn.output.travel import travels
from dxf2turn.output.wording import Wording, one_line
from dxf2turn.planning.model import Move, MoveKind, Setup, Spindle, Step
from dxf2turn.shop.model import Tool
from dxf2turn.units import MM_PER_INCH, Unit

BLOCK_STEP = 10
TURNED_BACK = {"M03": "M04", "M04": "M03"}  # a tap comes out with the spindle turning the other way
DECIMALS = {Unit.MM: 4, Unit.INCH: 5}  # of coordinates: arcs must still close on a control that checks


def render(job: Job, options: OutputOptions) -> str:
    """The program of all setups, with a stop (M00) between them."""
    unit = unit_for(job, options)
    writer = _Blocks(unit)
    lines = ["%", *_head(job, Wording(unit))]
    lines += writer.block("G90", "G71" if unit is Unit.MM else "G70")
    for setup in job.plan.setups if job.plan else ():
        lines += _setup(job, setup, writer)
    lines += [*writer.block("M05"), *writer.block("M30"), "%"]
    return "\n".join(lines) + "\n"


def _head(job: Job, w: Wording) -> list[str]:
    unit = f"UNITS: {w.unit_word}, X IS A DIAMETER, Z 0 IS THE FINISHED FRONT FACE"
    return [
        comment(f"PART: {job.drawing.file}"),
        comment(unit),
        comment("ARC CENTRES: I AND K FROM THE ARC START, I AS A RADIUS"),
        comment("NO TOOL RADIUS COMPENSATION: PATHS ARE FOR THE CONTROLLED POINT OF EACH TOOL"),
        comment("G92 S IS THE HIGHEST SPINDLE SPEED, G33 K THE LEAD"),
        comment("TOOL BEHIND THE AXIS, Z TO THE RIGHT: M03 AND M04 AS THE PLAN SAYS, CHECK YOUR MACHINE"),
        comment(verdict_line(job, w)),
        comment("A SUGGESTION: RUN IT FREE OF THE WORK FIRST, THE PERSON AT THE MACHINE DECIDES"),
    ]


def _setup(job: Job, setup: Setup, writer: _Blocks) -> Iterator[str]:
    assert job.plan is not None
    w = Wording(writer.unit)
    about = setup_row(job.plan, setup, w)
    yield comment(about.title)
    yield comment(f"STOCK: {about.stock}")
    yield comment(f"GRIP: {about.grip}, SUPPORT: {about.support}")
    if about.prepare:
        yield comment(f"FIRST: {about.prepare}")
    flips = bool(setup.steps) and setup.steps[0].tool is None  # such a step brings its own stop
    stop = ("M05", "M00") if setup.no > job.plan.setups[0].no and not flips else ()
    centre = any(point.y == 0.0 for ring in setup.supports for point in ring)
    first = () if centre else stop  # The slide is out of the way before the tailstock comes.
    for word in first:
        yield from writer.block(word)
    yield from writer.rapid(setup.tool_change)
    for word in stop[len(first) :]:
        yield from writer.block(word)
    tool: Tool | None = None
    for step in setup.steps:
        yield from _step(step, tool, writer)
        tool = step.tool or tool


def _step(step: Step, tool: Tool | None, writer: _Blocks) -> Iterator[str]:
    yield comment(f"{step.no} {step.operation}: {step.why}")
    writer.forget()
    if step.tool is None or step.spindle is None or not step.moves:
        yield from writer.block("M05")
        yield from writer.block("M00")
        return
    if step.tool != tool:
        name = f"{step.tool.id} {step.tool.kind} {step.tool.insert}, POINT: {step.tool.controlled}"
        yield comment(name)
        yield from writer.block(tool_word(step.tool.id), "M06")
    yield from writer.start_at(step.moves[0].end)
    yield from writer.spindle(step.spindle)
    for move, segment in travels(step):
        turns_back = step.tool.kind == "tap" and move.kind is MoveKind.THREAD and move.z > segment.start.x
        if turns_back:
            yield from writer.block(TURNED_BACK[step.spindle.direction])
        yield from writer.travel(move, segment.start)
        if turns_back:
            yield from writer.block(step.spindle.direction)


def comment(text: str) -> str:
    """A remark in parentheses: capitals, plain characters, no parentheses inside."""
    plain = one_line(text).replace("\u2300", "DIA ").replace("\u00b0", " DEG").upper()
    kept = "".join(c if c.isascii() else "?" for c in plain.replace("(", "/").replace(")", "/"))
    return f"({kept})"


def tool_word(name: str) -> str:
    """T word of a tool: the digits of its id, at least two.

    >>> tool_word("T3"), tool_word("T12")
    ('T03', 'T12')
    """
    digits = re.sub(r"\D", "", name) or "0"
    return f"T{int(digits):02d}"


class _Blocks:
    """Numbers blocks and leaves out what is modal and unchanged. Lives for one `render` call."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit
        self._number = 0
        self._modal: dict[str, str] = {}
        self._at: tuple[str, str] | None = None

    def block(self, *words: str) -> Iterator[str]:
        """One numbered block, nothing when there is no word."""
        if words:
            self._number += BLOCK_STEP
            yield " ".join((f"N{self._number}", *words))

    def forget(self) -> None:
        """State every modal word anew, so that a step can be started on its own."""
        self._modal.clear()

    def rapid(self, point: Point) -> Iterator[str]:
        """A rapid to a place, whatever came before."""
        self._at = None
        yield from self.travel(Move(MoveKind.RAPID, point.x, point.y), point)

    def start_at(self, point: Point) -> Iterator[str]:
        """A rapid to where a step starts, when the tool is not there."""
        if self._at != self._place(point):
            yield from self.rapid(point)

    def spindle(self, spindle: Spindle) -> Iterator[str]:
        """Speed limit, mode and speed, direction; only what changed."""
        speed = spindle.value
        if spindle.mode == "rpm":
            words = ("G97", f"S{speed:.0f}", spindle.direction)
        else:
            speed = speed if self.unit is Unit.MM else speed * 1000.0 / MM_PER_INCH / 12.0
            words = ("G96", f"S{speed:.0f}", spindle.direction)
            if self._changed("limit", f"S{spindle.limit_rpm:.0f}"):
                yield from self.block("G92", f"S{spindle.limit_rpm:.0f}")
        if self._changed("spindle", " ".join(words)):
            yield from self.block(*words)

    def travel(self, move: Move, start: Point) -> Iterator[str]:
        """One move as one block."""
        code = self._code(move)
        words = [code] if self._changed("motion", code) or code in ("G02", "G03", "G33") else []
        if move.kind in (MoveKind.FEED, MoveKind.ARC):
            words = [*(["G95"] if self._changed("feed mode", "G95") else []), *words]
        place = self._place(move.end)
        words += [word for word, old in zip(place, self._at or ("", "")) if word != old or _whole(move)]
        if move.kind is MoveKind.ARC and move.centre is not None:
            words += [
                f"I{self._number_text(move.centre.y - start.y)}",
                f"K{self._number_text(move.centre.x - start.x)}",
            ]
        words += self._rate(move, start)
        moved = place != self._at
        self._at = place
        if moved:
            yield from self.block(*words)

    def _rate(self, move: Move, start: Point) -> list[str]:
        """Feed word when it changed, or the lead of a thread."""
        if move.kind is MoveKind.THREAD:
            steep = abs(move.r - start.y) > abs(move.z - start.x)
            return [f"{'I' if steep else 'K'}{self._number_text(move.lead or 0.0, 2)}"]
        if move.kind is MoveKind.RAPID:
            return []
        word = f"F{self._number_text(move.feed or 0.0, 1)}"
        return [word] if self._changed("feed", word) else []

    @staticmethod
    def _code(move: Move) -> str:
        if move.kind is MoveKind.ARC:
            return "G02" if move.clockwise else "G03"
        return {MoveKind.RAPID: "G00", MoveKind.FEED: "G01", MoveKind.THREAD: "G33"}[move.kind]

    def _place(self, point: Point) -> tuple[str, str]:
        return f"X{self._number_text(2.0 * point.y)}", f"Z{self._number_text(point.x)}"

    def _number_text(self, mm: float, more: int = 0) -> str:
        """A coordinate with a decimal point, no trailing zeros, never minus zero."""
        text = f"{mm / self.unit.mm:.{DECIMALS[self.unit] + more}f}".rstrip("0")
        return "0." if text in ("-0.", "0.") else text

    def _changed(self, word: str, text: str) -> bool:
        changed = self._modal.get(word) != text
        self._modal[word] = text
        return changed


def _whole(move: Move) -> bool:
    """Whether a block names both coordinates even when one is unchanged: arcs and threads do."""
    return move.kind in (MoveKind.ARC, MoveKind.THREAD)
