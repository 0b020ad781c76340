"""The step list as CSV: one row a step, the unit in the column name, safe to open in a spreadsheet."""

from __future__ import annotations

import csv
import io

from dxf2turn.job import Job
from dxf2turn.output.model import OutputOptions, unit_for
from dxf2turn.output.rows import step_rows
from dxf2turn.output.wording import Wording
from dxf2turn.planning.model import Step

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def render(job: Job, options: OutputOptions) -> str:
    """All steps of all setups. X columns are diameters; times are seconds."""
    w = Wording(unit_for(job, options))
    steps = [step for setup in (job.plan.setups if job.plan else ()) for step in setup.steps]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")  # as RFC 4180 has it
    writer.writerow(_heads(w))
    for row, step in zip(step_rows(job, w), steps, strict=True):
        numbers = (row.x_from, row.x_to, row.z_from, row.z_to, row.depth, row.passes)
        texts = (row.operation, row.tool, step.side)
        writer.writerow(
            [row.setup, row.no, *(cell(text) for text in texts), *numbers, *_cutting(step, w)]
            + [cell(row.features), cell(row.why)]
        )
    return out.getvalue()


def _heads(w: Wording) -> list[str]:
    unit = w.unit_word
    lengths = [f"{name}_{unit}" for name in ("x_from", "x_to", "z_from", "z_to", "depth")]
    spindle = ["spindle_mode", "spindle_value", "spindle_unit", "spindle_limit_rpm", "spindle_direction"]
    times = ["cut_time_s", "rapid_time_s"]
    return [
        *("setup", "no", "operation", "tool", "side"),
        *lengths,
        "passes",
        *spindle,
        f"feed_{unit}_per_rev",
        *times,
        *("features", "why"),
    ]


def _cutting(step: Step, w: Wording) -> list[str]:
    """Spindle, feed and times as numbers."""
    if step.spindle is None:
        return [""] * 6 + ["0.0", "0.0"]
    spindle, speed = step.spindle, w.surface_speed(step.spindle.value).split(" ")
    value, unit = (f"{spindle.value:.0f}", "rev/min") if spindle.mode == "rpm" else speed
    words = [spindle.mode, value, unit, f"{spindle.limit_rpm:.0f}", spindle.direction]
    return [*words, w.feed(step.feed), f"{step.cut_time_s:.1f}", f"{step.rapid_time_s:.1f}"]


def cell(text: str) -> str:
    """A text that no spreadsheet takes for a formula: a leading sign gets an apostrophe before it.

    >>> cell("=1+1"), cell("T1")
    ("'=1+1", 'T1')
    """
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text
