"""The run over many drawings: who is next, what came back, what is on the disk.

Each drawing is planned in a worker process that can be ended; its files are written here, all or nothing,
then its line is appended to results.jsonl. So whatever happens, a line stands for files that are in place.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from dxf2turn import __version__
from dxf2turn.bulk import summary
from dxf2turn.bulk.model import FINAL, NOT_WRITTEN, PLANNED, BulkOptions, BulkSummary, Outcome, Record, Source
from dxf2turn.bulk.pool import outcomes_of
from dxf2turn.bulk.progress import Progress
from dxf2turn.bulk.results import Results, as_text
from dxf2turn.bulk.walk import content_key, find_drawings, name_all
from dxf2turn.errors import BadOptions
from dxf2turn.options import PlanOptions
from dxf2turn.output.write import check_folder, write_files
from dxf2turn.shop.load import load_shop

Say = Callable[[str], None]


def run_bulk(sources: Sequence[str], options: BulkOptions, say: Say, show: Say) -> BulkSummary:
    """Plan all drawings of `sources` into `options.folder`.

    say: gets progress lines; show: gets each record as one line of JSON. Raises BadOptions for sources that
    are not there or a folder that can't be written, BadShopData for wrong shop files. An interrupt leaves
    valid results behind; the next run goes on from there.
    """
    drawings = find_drawings(sources)
    _check_names(options.plan)
    check_folder(options.folder)
    try:
        options.folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise BadOptions(f"can't make {options.folder}: {problem.strerror}.") from None
    with Results(options.folder) as results:
        return _run(drawings, options, results, (say, show))


def _check_names(plan: PlanOptions) -> None:
    """Wrong shop files or names end the run once, not once a drawing."""
    shop = load_shop(plan.shop_dir)
    for kind, name, found in (
        ("material", plan.material, shop.material(plan.material)),
        ("machine", plan.machine, shop.machine(plan.machine)),
    ):
        if found is None:
            raise BadOptions(f"no {kind} {name!r} in the shop; `dxf2turn shop` lists them.")


def _run(
    drawings: tuple[Path, ...], options: BulkOptions, results: Results, outlets: tuple[Say, Say]
) -> BulkSummary:
    say, show = outlets
    before = {line["drawing"]: line for line in results.lines() if _is_record(line)}
    known = {drawing: line["name"] for drawing, line in before.items()}
    rest = options_key(options)
    done: dict[str, dict[str, Any]] = {}
    progress = Progress(len(drawings), say)

    def todo() -> Iterator[Source]:
        for path, name in name_all(drawings, known):
            source = Source(path, name, content_key(path, rest))
            line = before.get(str(path))
            if options.resume and line is not None and _holds(line, source, options.folder):
                done[str(path)] = line
                progress.skipped()
            else:
                yield source

    try:
        for source, outcomes in outcomes_of(todo(), options):
            record = Record(source, tuple(_written(outcome, options.folder) for outcome in outcomes))
            line = record.line()
            results.append(line)
            done[str(source.path)] = line
            show(as_text(line))
            progress.finished(record)
    finally:
        progress.end()
        _write_summary(options.folder, done)
        say(f"all drawings, worst first: {options.folder / summary.NAME}")
    failed = sum(_line_failed(line) for line in done.values())
    return BulkSummary(total=len(done), failed=failed, skipped=progress.skips)


def options_key(options: BulkOptions) -> str:
    """Everything but the drawing's bytes that decides a result: version, options, shop files."""
    shop = hashlib.sha256(repr(load_shop(options.plan.shop_dir)).encode("utf-8")).hexdigest()
    plan = replace(options.plan, shop_dir=None)
    return f"{__version__}|{options.drawing!r}|{plan!r}|{shop}"


def _holds(line: dict[str, Any], source: Source, folder: Path) -> bool:
    """Whether an earlier line still says what a new run would say, with its files in place."""
    if line.get("key") != source.key or line.get("name") != source.name:
        return False
    return all(
        part["status"] in FINAL and all((folder / file).is_file() for file in part["files"])
        for part in line["parts"]
    )


def _is_record(line: dict[str, Any]) -> bool:
    return {"drawing", "name", "key", "parts"} <= line.keys()


def _line_failed(line: dict[str, Any]) -> bool:
    return any(part["status"] != PLANNED for part in line["parts"])


def _written(outcome: Outcome, folder: Path) -> Outcome:
    """The outcome with its files on the disk."""
    if not outcome.files:
        return outcome
    try:
        write_files(folder, outcome.files)
    except BadOptions as problem:
        return replace(outcome, status=NOT_WRITTEN, text=str(problem), files={})
    return outcome


def _write_summary(folder: Path, done: dict[str, dict[str, Any]]) -> None:
    write_files(folder, {summary.NAME: summary.render(done.values()).encode("utf-8", "replace")})
