"""Where the time of a drawing goes: the share of each stage in one run, and how often it was done.

Run: python tests/bench/stage_bench.py [DRAWING...]
Shares are of processor time, reading to rendered files, in per cent; they don't depend on the machine.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

from dxf2turn import approve, pipeline
from dxf2turn.job import Job
from dxf2turn.options import DrawingOptions
from dxf2turn.output.files import PLAN_FILES, render
from dxf2turn.planning import sequence
from dxf2turn.shop.load import load_shop

GOOD = Path(__file__).resolve().parents[2] / "drawings" / "good"
LISTED = 0.005  # smaller shares are summed up


class Clock:
    """Processor time of functions by name, that of functions called by them included."""

    def __init__(self) -> None:
        self.seconds: Counter[str] = Counter()
        self.calls: Counter[str] = Counter()

    def timed(self, name: str, function: Callable) -> Callable:
        """The function, its time added up under a name."""

        def run(*args: Any, **named: Any) -> Any:
            start = time.process_time()
            try:
                return function(*args, **named)
            finally:
                self.seconds[name] += time.process_time() - start
                self.calls[name] += 1

        return run


def main(files: list[Path]) -> None:
    clock = Clock()
    for purpose, kit in sequence.KITS.items():
        sequence.KITS[purpose] = tuple(clock.timed(f"plan: {_name(stage)}", stage) for stage in kit)
    approve.verify = clock.timed("removal check", approve.verify)
    whole = clock.timed("whole", _job)
    slowest = max((_seconds(clock, whole, file), file.stem) for file in files)
    total = clock.seconds.pop("whole")
    print(f"{'stage':28} {'share':>6} {'times':>6}")
    for name, seconds in clock.seconds.most_common():
        if seconds > LISTED * total:
            print(f"{name:28} {seconds / total:6.1%} {clock.calls[name]:6}")
    print(f"{'all else':28} {1.0 - _listed(clock, total):6.1%}")
    print(f"slowest: {slowest[1]}, {slowest[0] * len(files) / total:.1f} times the mean")


def _job(file: Path, clock: Clock) -> Job:
    """One drawing as `dxf2turn bulk` does it, the files kept in memory."""
    options = DrawingOptions(front="left" if file.stem == "belt_pulley" else "auto")
    drawing = clock.timed("read", pipeline.read)(file, options)
    job = clock.timed("recognise and check", pipeline.check)(drawing, load_shop(None), options)
    job = approve.with_plan(job, load_shop(None), pipeline.AS_THE_SHOP_DOES)
    for ending, renderer in PLAN_FILES:
        clock.timed(f"write {ending}", render)(job, kinds=((ending, renderer),))
    return job


def _seconds(clock: Clock, whole: Callable, file: Path) -> float:
    """Processor time of one drawing, s."""
    before = clock.seconds["whole"]
    whole(file, clock)
    return clock.seconds["whole"] - before


def _listed(clock: Clock, total: float) -> float:
    return sum(seconds for seconds in clock.seconds.values() if seconds > LISTED * total) / total


def _name(stage: Callable) -> str:
    return f"{stage.__module__.rpartition('.')[2]}.{stage.__name__}"


if __name__ == "__main__":
    main([Path(name) for name in sys.argv[1:]] or sorted(GOOD.glob("*.dxf")))
