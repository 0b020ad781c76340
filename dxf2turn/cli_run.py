"""What the commands do: run the pipeline, print, write. Loaded by a command, not by `--help`."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from dxf2turn import pipeline
from dxf2turn.cli_options import Values, drawing_record, plan_record, units_out
from dxf2turn.findings import Finding, Severity
from dxf2turn.job import Job
from dxf2turn.output import features_table, json_doc, markdown
from dxf2turn.output.files import CHECK_FILES, FEATURE_FILES, PLAN_FILES, render
from dxf2turn.output.finding_rows import FindingRow, finding_rows, repair_rows
from dxf2turn.output.model import OutputOptions, unit_for
from dxf2turn.output.summary import plan_line, verdict_line
from dxf2turn.output.wording import Wording
from dxf2turn.output.write import check_folder, write_files
from dxf2turn.shop.load import load_shop, write_editable
from dxf2turn.units import Unit

DONE, STOPPED = 0, 1
COLOURS = {"stop": "red", "fix": "yellow", "note": "blue"}


def plan(drawing: Path, folder: Path | None, values: Values) -> int:
    """Plan one drawing; files only when the removal check passed it."""
    job, options = _planned(drawing, folder, values)
    if values["as_json"]:
        click.echo(json_doc.render(job, options), nl=False)
    _findings(job, options, values, to_error=True)
    if job.stopped:
        _say_stopped(job, options, said=not values["quiet"])
        return STOPPED
    if folder is not None:
        written = write_files(folder, render(job, options, PLAN_FILES))
        _say_done(job, options, values, written)
    elif not values["as_json"]:
        click.echo(markdown.render(job, options), nl=False)
    return DONE


def check(drawing: Path, folder: Path | None, values: Values) -> int:
    """Findings of one drawing; the marked drawing with -o, whatever the findings say."""
    job, options = _planned(drawing, folder, values)
    if values["as_json"]:
        click.echo(json_doc.dumps(json_doc.check_document(job)), nl=False)
    else:
        _findings(job, options, values, to_error=False)
        if not job.findings and not values["quiet"]:
            click.echo(f"{job.drawing.file}: no findings")
    if folder is not None:
        _say_written(values, write_files(folder, render(job, options, CHECK_FILES)))
    if job.stopped:
        _say_stopped(job, options, said=False)
    return STOPPED if job.stopped else DONE


def features(drawing: Path, folder: Path | None, values: Values) -> int:
    """Table, document or picture of what was recognised."""
    if folder is not None:
        check_folder(folder)
    asked = drawing_record(values)
    job = pipeline.recognise(pipeline.read(drawing, asked), asked)
    options = OutputOptions(units_out(values))
    if values["as_json"]:
        click.echo(json_doc.dumps(json_doc.features_document(job)), nl=False)
    else:
        click.echo(features_table.render_text(job, options), nl=False)
    _findings(job, options, values, to_error=True)
    if folder is not None:
        _say_written(values, write_files(folder, render(job, options, FEATURE_FILES)))
    if job.stopped:
        _say_stopped(job, options, said=not values["quiet"])
    return STOPPED if job.stopped else DONE


def bulk(sources: tuple[str, ...], folder: Path, values: Values) -> int:
    """Many drawings."""
    from dxf2turn.bulk.model import BulkOptions
    from dxf2turn.bulk.run import run_bulk

    options = BulkOptions(
        folder=folder,
        drawing=drawing_record(values),
        plan=plan_record(values),
        workers=values["workers"],
        timeout_s=values["timeout"],
        memory_mb=values["memory"],
        resume=not values["force"],
    )
    say = (lambda text: None) if values["quiet"] else (lambda text: click.echo(text, err=True))
    show = click.echo if values["as_json"] else (lambda text: None)
    try:
        summary = run_bulk(sources, options, say, show)
    except KeyboardInterrupt:
        click.echo("what is finished is kept; run the same command again to go on.", err=True)
        raise
    return STOPPED if summary.failed else DONE


def shop(init: Path | None, folder: Path | None, as_json: bool, unit: Unit) -> int:
    """Show a shop, or write the packaged one for editing."""
    from dxf2turn.output import shop_table

    if init is not None:
        check_folder(init)
        for path in write_editable(init):
            click.echo(f"wrote {path}", err=True)
        return DONE
    found = load_shop(folder)
    text = shop_table.render_json(found) if as_json else shop_table.render_text(found, unit)
    click.echo(text, nl=False)
    return DONE


def _planned(drawing: Path, folder: Path | None, values: Values) -> tuple[Job, OutputOptions]:
    """The whole job of a drawing, and how its outputs are worded. The folder is looked at first."""
    if folder is not None:
        check_folder(folder)
    asked, plan_asked = drawing_record(values), plan_record(values)
    shop_there = load_shop(plan_asked.shop_dir)
    job = pipeline.plan(pipeline.read(drawing, asked), shop_there, asked, plan_asked)
    return job, OutputOptions(plan_asked.units_out)


def _findings(job: Job, options: OutputOptions, values: Values, to_error: bool) -> None:
    """Findings worst first, each with its place; repairs after them."""
    if values["quiet"]:
        return
    wording = Wording(unit_for(job, options))
    for row in finding_rows(job.findings, wording):
        word = click.style(row.severity, fg=COLOURS[row.severity], bold=True)
        click.echo(f"{word}: {_sentence(row)}", err=to_error)
    for line in repair_rows(job.repairs, wording):
        click.echo(f"mended: {line}", err=to_error)


def _sentence(row: FindingRow) -> str:
    words = row.text
    if row.values:
        words += f" ({row.values})"
    if row.place:
        words += f"\n      at {row.place}"
    if row.hint:
        words += f"\n      {row.hint}"
    return f"{words} [{row.code}]"


def _say_stopped(job: Job, options: OutputOptions, said: bool) -> None:
    """One to a few lines on standard error: what stops the job, where, what to do.

    said: whether the findings are on standard error already.
    """
    stops = tuple(finding for finding in job.findings if finding.severity is Severity.STOP)
    click.echo(f"dxf2turn: {job.drawing.file}: no plan, {_because(job, stops)}", err=True)
    for first in () if said else stops[:1]:
        row = finding_rows((first,), Wording(unit_for(job, options)))[0]
        click.echo(f"      {_sentence(row)}", err=True)


def _because(job: Job, stops: tuple[Finding, ...]) -> str:
    if not stops:
        return "the removal check did not pass it." if job.removal is not None else "it was not reached."
    return "a finding stops it." if len(stops) == 1 else f"{len(stops)} findings stop it."


def _say_done(job: Job, options: OutputOptions, values: Values, written: tuple[Path, ...]) -> None:
    if values["quiet"] or values["as_json"]:
        return
    click.echo(plan_line(job))
    click.echo(verdict_line(job, Wording(unit_for(job, options))))
    _say_written(values, written)


def _say_written(values: Values, written: tuple[Path, ...]) -> None:
    if values["quiet"] or not written:
        return
    names: list[Any] = [path.name for path in written]
    click.echo(f"wrote {written[0].parent}/: {', '.join(names)}", err=values["as_json"] or False)
