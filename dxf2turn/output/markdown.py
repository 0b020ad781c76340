"""The setup sheet as Markdown: what a person at the lathe works from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import astuple

from dxf2turn.job import Job
from dxf2turn.output.cautions import cautions
from dxf2turn.output.finding_rows import finding_rows, repair_rows
from dxf2turn.output.model import OutputOptions, unit_for
from dxf2turn.output.restate import restated
from dxf2turn.output.rows import StepRow, corner_rows, feature_rows, measure_rows, step_rows
from dxf2turn.output.setup_rows import alternative_lines, setup_row, tool_rows
from dxf2turn.output.summary import part_lines, verdict_line
from dxf2turn.output.wording import Wording, duration, one_line
from dxf2turn.planning.model import Plan, Setup


def render(job: Job, options: OutputOptions) -> str:
    """The sheet of a planned job."""
    wording = Wording(unit_for(job, options))
    title = f"# Setup sheet: {_text(job.drawing.file)}"
    unit = (
        f"All lengths in {wording.unit_word}; X is a diameter; Z 0 is the finished front face of the setup."
    )
    blocks = [[title], [unit]]
    if job.plan is not None:
        blocks += _plan_blocks(job, job.plan, wording)
    blocks += _part_blocks(job, wording)
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _plan_blocks(job: Job, plan: Plan, w: Wording) -> list[list[str]]:
    rows = step_rows(job, w)
    blocks = [
        ["## Cautions"],
        [f"- {_text(text)}" for text in cautions(job)],
        ["## Job"],
        [f"- {_text(line)}" for line in (*part_lines(job, w), *job_lines(plan, w), verdict_line(job, w))],
    ]
    for setup in plan.setups:
        own = tuple(row for row in rows if row.setup == str(setup.no))
        blocks += _setup_blocks(plan, setup, own, w)
    return blocks + _measuring(job, w) + _alternatives(plan, w)


def job_lines(plan: Plan, w: Wording) -> list[str]:
    times = plan.times
    return [
        f"Machine: {plan.machine.name}",
        f"Material: {plan.material.name} ({plan.material.description}, ISO 513 {plan.material.group})",
        f"Stock: {restated(plan.stock_text, w)}",
        f"Time: {duration(times.total_s)} (cutting {duration(times.cut_s)}, "
        f"rapids {duration(times.rapid_s)}, tool changes {duration(times.tool_change_s)})",
    ]


def _setup_blocks(plan: Plan, setup: Setup, rows: Sequence[StepRow], w: Wording) -> list[list[str]]:
    about = setup_row(plan, setup, w)
    lines = (
        ("Stock", about.stock),
        ("Grip", about.grip),
        ("Support", about.support),
        *((("First", about.prepare),) if about.prepare else ()),
        ("Datum", about.datum),
        ("Tool change", about.tool_change),
    )
    return [
        [f"## {about.title}"],
        [f"- {name}: {_text(text)}" for name, text in lines],
        ["### Tools and touch-off"],
        _table(TOOL_HEADS, (astuple(row) for row in tool_rows(setup, w))),
        ["### Steps"],
        _table(step_heads(w), (step_cells(row) for row in rows)),
        ["### Why"],
        [f"- **{row.no} {_text(row.operation)}**: {_text(row.why)}" for row in rows if row.why],
    ]


TOOL_HEADS = (
    "Tool",
    "Kind",
    "Insert",
    "Holder",
    "Nose R",
    "Width or \u2300",
    "Controlled point",
    "Touch off X",
    "Touch off Z",
    "Steps",
    "Note",
)


def step_heads(w: Wording) -> tuple[str, ...]:
    return (
        "No",
        "Operation",
        "Tool",
        "X from",
        "X to",
        "Z from",
        "Z to",
        "Depth",
        "Passes",
        "Speed",
        f"Feed {w.feed_unit}",
        "Time",
        "Features",
    )


def step_cells(row: StepRow) -> tuple[str, ...]:
    """The cells under `step_heads`: all but the setup (its own chapter) and the reason (its own list)."""
    return astuple(row)[1:-1]


def _measuring(job: Job, w: Wording) -> list[list[str]]:
    rows = measure_rows(job, w)
    if not rows:
        return []
    heads = ("Size", "Nominal", "Least", "Most", "Aim at", "Step", "Correct")
    return [["## First part: measure"], _table(heads, (astuple(row) for row in rows))]


def _alternatives(plan: Plan, w: Wording) -> list[list[str]]:
    lines = [f"- {_text(line)}" for line in alternative_lines(plan, w)]
    return [["## Other ways that were looked at"], lines] if lines else []


_CORNER_HEADS = ("No", "X from", "Z from", "X to", "Z to", "R", "X centre", "Z centre", "Features")
_FEATURE_HEADS = ("Feature", "Side", "Z from", "Z to", "What", "Notes")
_FINDING_HEADS = ("Severity", "What", "Place", "Values", "What to do")


def _part_blocks(job: Job, w: Wording) -> list[list[str]]:
    blocks: list[list[str]] = []
    if corners := corner_rows(job, w):
        note = "The contour that is cut: toleranced sizes in the middle of their limits."
        blocks += [["## Corner table"], [note], _table(_CORNER_HEADS, (astuple(row) for row in corners))]
    if features := [(r.id, r.side, r.z_from, r.z_to, r.words, r.notes) for r in feature_rows(job, w)]:
        blocks += [["## Features"], _table(_FEATURE_HEADS, features)]
    rows = finding_rows(job.findings, w)
    if findings := [(r.severity, r.text, r.place, r.values, r.hint) for r in rows]:
        blocks += [["## Findings"], _table(_FINDING_HEADS, findings)]
    if job.repairs:
        blocks += [["## Mended in the drawing"], [f"- {_text(line)}" for line in repair_rows(job.repairs, w)]]
    return blocks


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    lines = [heads, ("---",) * len(heads), *rows]
    return ["| " + " | ".join(_text(cell) for cell in line) + " |" for line in lines]


_SPECIAL = str.maketrans({char: f"\\{char}" for char in "\\`*_[]<>|#"})


def _text(text: str) -> str:
    """Text that Markdown shows as it is: names and notes of a drawing come from strangers."""
    return one_line(text).translate(_SPECIAL)
