"""The pool of worker processes: a time limit that really ends a drawing, a crash that costs one drawing."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, TimeoutError, wait
from itertools import islice
from typing import Any

from pebble import ProcessExpired, ProcessPool

from dxf2turn.bulk.convert import convert, prepare_worker
from dxf2turn.bulk.interrupts import held_interrupts
from dxf2turn.bulk.model import CRASHED, DEFECT, MEMORY, TIMEOUT, BulkOptions, Outcome, Source

POLL_S = 0.2  # so often an interrupt is looked for
AHEAD = 3  # drawings in hand for each worker, so that none waits and memory stays flat
TASKS_PER_WORKER = 200  # then a fresh process, so that no leak grows
PRELOAD = ["dxf2turn.pipeline", "dxf2turn.output.files", "ezdxf", "shapely", "resvg_py", "jinja2"]


def outcomes_of(
    sources: Iterator[Source], options: BulkOptions
) -> Iterator[tuple[Source, tuple[Outcome, ...]]]:
    """Run every source in a worker; give back each with its outcomes as it finishes.

    On an interrupt (or any other exception here) all workers are ended before it goes on.
    """
    workers = worker_count(options)
    pool = ProcessPool(
        max_workers=workers,
        max_tasks=TASKS_PER_WORKER,
        initializer=prepare_worker,
        initargs=(options.memory_mb,),
        context=_context(),
    )
    try:
        with held_interrupts() as raise_pending:
            yield from _results(pool, sources, options, AHEAD * workers, raise_pending)
        pool.close()
    except BaseException:
        pool.stop()
        raise
    finally:
        pool.join()


def _results(
    pool: ProcessPool,
    sources: Iterator[Source],
    options: BulkOptions,
    room: int,
    raise_pending: Callable[[], None],
) -> Iterator[tuple[Source, tuple[Outcome, ...]]]:
    running: dict[Future[Any], Source] = {}
    while True:
        for source in islice(sources, room - len(running)):
            running[pool.schedule(convert, args=(source, options), timeout=options.timeout_s)] = source
        if not running:
            return
        raise_pending()
        finished, _ = wait(running, timeout=POLL_S, return_when=FIRST_COMPLETED)
        for future in finished:
            source = running.pop(future)
            yield source, _outcomes(future, source, options)


def _outcomes(future: Future[Any], source: Source, options: BulkOptions) -> tuple[Outcome, ...]:
    try:
        return future.result()
    except TimeoutError:
        text = f"took longer than {options.timeout_s:g} s and was ended; give it more with --timeout"
        return (Outcome(source.name, TIMEOUT, text),)
    except ProcessExpired as problem:
        text = f"its process died with exit code {problem.exitcode}"
        return (Outcome(source.name, CRASHED, text),)
    except MemoryError:
        text = f"needs more than {options.memory_mb} MB; give it more with --memory"
        return (Outcome(source.name, MEMORY, text),)
    except Exception as problem:  # the result itself could not come across
        return (Outcome(source.name, DEFECT, f"{type(problem).__name__}: {problem}"[:400]),)


def worker_count(options: BulkOptions) -> int:
    """Number of processes: as asked for, else one a core that this process may use."""
    if options.workers is not None:
        return options.workers
    usable = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return max(1, usable)


def _context() -> Any:
    """Workers come from a server process that has everything loaded, where the system has that."""
    if "forkserver" not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(PRELOAD)
    return context
