"""One drawing, in a worker process: the pipeline and all its files, in memory. Never raises."""

from __future__ import annotations

import contextlib
import signal
from dataclasses import replace
from functools import cache
from pathlib import Path

from dxf2turn.bulk.model import (
    DEFECT,
    MEMORY,
    PLANNED,
    STOPPED,
    UNREADABLE,
    BulkOptions,
    Outcome,
    Source,
)
from dxf2turn.errors import BadOptions, Dxf2TurnError, UnreadableDrawing
from dxf2turn.findings import Severity
from dxf2turn.job import Job
from dxf2turn.output.wording import one_line, sentences
from dxf2turn.shop.model import Shop

MAX_TEXT = 400


def prepare_worker(memory_mb: int) -> None:
    """Set up a fresh worker process: memory bound, no interrupt by keyboard."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent decides when a run ends
    try:
        import resource  # noqa: PLC0415  (not on every system)
    except ImportError:
        return
    limit = memory_mb * 1024 * 1024
    with contextlib.suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_AS, (limit, limit))


def convert(source: Source, options: BulkOptions) -> tuple[Outcome, ...]:
    """Plan every part of a drawing. One outcome a part; one for the drawing when no part was found."""
    try:
        return _converted(source, options)
    except UnreadableDrawing as problem:
        return (_failed(source, UNREADABLE, str(problem)),)
    except MemoryError:
        text = f"needs more than {options.memory_mb} MB; give it more with --memory"
        return (_failed(source, MEMORY, text),)
    except BadOptions as problem:
        return (_failed(source, STOPPED, str(problem)),)
    except Dxf2TurnError as problem:
        return (_failed(source, DEFECT, str(problem)),)
    except Exception as problem:  # one bad drawing costs one line
        return (_failed(source, DEFECT, f"{type(problem).__name__}: {problem}"),)


def _converted(source: Source, options: BulkOptions) -> tuple[Outcome, ...]:
    from dxf2turn import pipeline  # noqa: PLC0415

    drawing = pipeline.read(source.path, options.drawing)
    shop = _shop(options.plan.shop_dir)
    first = pipeline.plan(drawing, shop, options.drawing, options.plan)
    numbers = _parts(first, options)
    if not numbers:
        return (_outcome(first, source.name, None, options),)
    outcomes = []
    for number in numbers:
        asked = replace(options.drawing, part=number)
        job = pipeline.plan(drawing, shop, asked, options.plan)
        outcomes.append(_outcome(job, f"{source.name}-{number}", number, options))
    return tuple(outcomes)


@cache
def _shop(folder: Path | None) -> Shop:
    """The shop, loaded once a process."""
    from dxf2turn.shop.load import load_shop  # noqa: PLC0415

    return load_shop(folder)


def _parts(job: Job, options: BulkOptions) -> tuple[int, ...]:
    """The numbers of the parts on the sheet when there are several and none was chosen."""
    contour = job.contour
    if options.drawing.part is not None or contour is None or contour.profile is not None:
        return ()
    return tuple(candidate.number for candidate in contour.candidates) if len(contour.candidates) > 1 else ()


def _outcome(job: Job, name: str, part: int | None, options: BulkOptions) -> Outcome:
    from dxf2turn.output.files import render  # noqa: PLC0415
    from dxf2turn.output.model import OutputOptions  # noqa: PLC0415

    counts = {severity: sum(f.severity is severity for f in job.findings) for severity in Severity}
    worst = max(job.findings, key=lambda finding: finding.severity, default=None)
    removal, plan = job.removal, job.plan
    good = not job.stopped and plan is not None
    return Outcome(
        name=name,
        status=PLANNED if good else STOPPED,
        text=_short(sentences(worst.text, worst.hint) if worst is not None else ""),
        part=part,
        stop=counts[Severity.STOP],
        fix=counts[Severity.FIX],
        note=counts[Severity.NOTE],
        steps=sum(len(setup.steps) for setup in plan.setups) if plan is not None and good else None,
        total_s=plan.times.total_s if plan is not None and good else None,
        max_left_mm=removal.max_left if removal is not None and good else None,
        files=render(job, OutputOptions(options.plan.units_out), name=name) if good else {},
    )


def _failed(source: Source, status: str, text: str) -> Outcome:
    return Outcome(name=source.name, status=status, text=_short(text))


def _short(text: str) -> str:
    line = one_line(text)
    return line if len(line) <= MAX_TEXT else f"{line[: MAX_TEXT - 1]}\u2026"
