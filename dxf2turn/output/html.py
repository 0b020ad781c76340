"""The report: one page that needs no network, with the walk through the steps.

Text from a drawing goes through Jinja2's escaping; only our own SVG (which escapes its texts itself), style
sheet and script are marked as safe. The page allows just this style sheet and this script, by their hashes.
"""

from __future__ import annotations

import base64
import hashlib
from dataclasses import astuple
from functools import cache
from importlib import resources
from typing import Any

from dxf2turn.job import Job
from dxf2turn.output import iso6983, svg
from dxf2turn.output.cautions import cautions
from dxf2turn.output.finding_rows import finding_rows, repair_rows
from dxf2turn.output.markdown import TOOL_HEADS, job_lines, step_cells, step_heads
from dxf2turn.output.model import OutputOptions, unit_for
from dxf2turn.output.preview import part_picture
from dxf2turn.output.rows import StepRow, corner_rows, measure_rows, step_rows
from dxf2turn.output.setup_rows import alternative_lines, setup_row, tool_rows
from dxf2turn.output.styles import css
from dxf2turn.output.summary import part_lines, verdict_line, verdict_style
from dxf2turn.output.walk import frames
from dxf2turn.output.wording import Wording, one_line


def render(job: Job, options: OutputOptions) -> str:
    """The page of a job."""
    w = Wording(unit_for(job, options))
    rows = step_rows(job, w)
    style, script = css() + "\n" + _template("report.css"), _template("report.js")
    values = {
        "style": _safe(style),
        "script": _safe(script),
        "style_hash": _hash(style),
        "script_hash": _hash(script),
        "hatches": _safe(svg.hatch_defs()),
        "part_svg": _safe(svg.inline(part_picture(job, options), "part-")),
        "frames": [(_safe(frame.svg), row) for frame, row in zip(frames(job), rows)],
        **_texts(job, options, w),
        **_tables(job, rows, w),
    }
    return _page().render(values)


def _texts(job: Job, options: OutputOptions, w: Wording) -> dict[str, Any]:
    plan = job.plan
    return {
        "file": one_line(job.drawing.file),
        "verdict_style": verdict_style(job),
        "verdict": verdict_line(job, w),
        "facts": (*part_lines(job, w), *(job_lines(plan, w) if plan is not None else ())),
        "unit": w.unit_word,
        "feed_unit": w.feed_unit,
        "cautions": cautions(job),
        "repairs": repair_rows(job.repairs, w),
        "alternatives": alternative_lines(plan, w) if plan else (),
        "program": iso6983.render(job, options),
    }


def _tables(job: Job, rows: tuple[StepRow, ...], w: Wording) -> dict[str, Any]:
    plan = job.plan
    return {
        "tool_heads": TOOL_HEADS,
        "step_heads": step_heads(w),
        "setups": [
            {
                "about": setup_row(plan, setup, w),
                "tools": [astuple(row) for row in tool_rows(setup, w)],
                "steps": [step_cells(row) for row in rows if row.setup == str(setup.no)],
            }
            for setup in (plan.setups if plan else ())
            if plan is not None
        ],
        "measuring": [astuple(row) for row in measure_rows(job, w)],
        "findings": [
            (row.severity, row.text, row.place, row.values, row.hint) for row in finding_rows(job.findings, w)
        ],
        "corners": [astuple(row) for row in corner_rows(job, w)],
    }


@cache
def _page() -> Any:
    """The compiled template: an undefined name is an error, everything is escaped."""
    from jinja2 import Environment, StrictUndefined  # noqa: PLC0415

    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True)
    return environment.from_string(_template("report.html.j2"))


@cache
def _template(name: str) -> str:
    return (resources.files("dxf2turn.output") / "templates" / name).read_text(encoding="utf-8")


def _safe(text: str) -> Any:
    from markupsafe import Markup  # noqa: PLC0415

    return Markup(text)


def _hash(text: str) -> str:
    """The hash by which a Content Security Policy names an inline style or script."""
    return base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")
