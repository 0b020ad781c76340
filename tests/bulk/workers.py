"""What the tests let worker processes do; a module of its own so that a worker can load it."""

from __future__ import annotations

import os
import time

from dxf2turn.bulk.model import PLANNED, BulkOptions, Outcome, Source


def behave(source: Source, options: BulkOptions) -> tuple[Outcome, ...]:
    """Do as the drawing's name says."""
    name = source.path.stem
    if name.startswith("hang"):
        time.sleep(600)
    if name.startswith("die"):
        os._exit(11)
    if name.startswith("greedy"):
        _ = bytearray(4 * options.memory_mb * 1024 * 1024)
    if name.startswith("odd"):
        raise ValueError("odd")
    return (Outcome(source.name, PLANNED, files={f"{source.name}.txt": source.path.read_bytes()}),)
