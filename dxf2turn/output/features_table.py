"""What was recognised, as a table: for the screen and as CSV."""

from __future__ import annotations

import csv
import io

from dxf2turn.job import Job
from dxf2turn.output.csv_table import cell
from dxf2turn.output.feature_limits import HEADS, limit_rows
from dxf2turn.output.model import OutputOptions, unit_for
from dxf2turn.output.rows import FeatureRow, feature_rows
from dxf2turn.output.summary import part_lines
from dxf2turn.output.text_table import columns
from dxf2turn.output.wording import Wording


def render_text(job: Job, options: OutputOptions) -> str:
    """A plain table in columns, headed by the part's size; candidates when there are several."""
    w = Wording(unit_for(job, options))
    rows = feature_rows(job, w)
    lines = list(part_lines(job, w))
    if job.contour is not None and len(job.contour.candidates) > 1:
        lines += ["Parts on the sheet (choose with --part N):"]
        lines += [
            f"  {c.number}: {w.diameter(c.max_diameter_mm / 2)} x {w.size(c.length)}"
            for c in job.contour.candidates
        ]
    if rows:
        lines += ["", *columns([_heads(w), *(_cells(row) for row in rows)], right=(2, 3, 4, 5))]
    sizes = limit_rows(job.part, w) if job.part is not None else ()
    if sizes:
        lines += ["", f"Sizes with limits, {w.unit_word} (the target is cut):"]
        lines += columns([HEADS, *sizes], right=(1, 2, 3, 4, 5, 6))
    return "\n".join(lines) + "\n"


def render_csv(job: Job, options: OutputOptions) -> str:
    """The table as CSV; X columns are diameters."""
    w = Wording(unit_for(job, options))
    unit = w.unit_word
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    lengths = (f"z_from_{unit}", f"z_to_{unit}", f"x_small_{unit}", f"x_large_{unit}")
    writer.writerow(["id", "kind", "side", *lengths, "what", "notes", "limits"])
    for row in feature_rows(job, w):
        numbers = (row.z_from, row.z_to, row.x_small, row.x_large)
        words = (cell(row.words), cell(row.notes), cell(row.limits))
        writer.writerow([row.id, row.kind, row.side, *numbers, *words])
    return out.getvalue()


def _heads(w: Wording) -> tuple[str, ...]:
    return ("id", "side", f"Z from {w.unit_word}", "Z to", "X small", "X large", "what")


def _cells(row: FeatureRow) -> tuple[str, ...]:
    what = ", ".join(filter(None, (row.words, row.limits, row.notes)))
    return (row.id, row.side, row.z_from, row.z_to, row.x_small, row.x_large, what)
