"""Cutting time against its bound, and planning time by stage, for the demo drawings.

Run: python tests/bench/plan_bench.py [DRAWING...]
The last column is the time of a whole run as a multiple of reading and recognising the same drawing.
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

from dxf2turn import pipeline
from dxf2turn.options import DrawingOptions

GOOD = Path(__file__).resolve().parents[2] / "drawings" / "good"


def main(files: list[Path]) -> None:
    ratios = []
    print(f"{'drawing':24} {'cut s':>8} {'bound s':>8} {'cut/bound':>10} {'run/read':>9}")
    for file in files:
        options = DrawingOptions(front="left" if file.stem == "belt_pulley" else "auto")
        start = time.perf_counter()
        drawing = pipeline.read(file, options)
        pipeline.recognise(drawing, options)
        read = time.perf_counter()
        job = pipeline.plan(drawing, None, options)
        done = time.perf_counter()
        if job.plan is None or job.stopped:
            print(f"{file.stem:24} no plan")
            continue
        times = job.plan.times
        ratios.append(times.cut_s / times.bound_s)
        whole = (done - start) / max(read - start, 1e-9)
        print(f"{file.stem:24} {times.cut_s:8.1f} {times.bound_s:8.1f} {ratios[-1]:10.3f} {whole:9.1f}")
    if ratios:
        print(f"{'median':24} {'':8} {'':8} {statistics.median(ratios):10.3f}   worst {max(ratios):.3f}")


if __name__ == "__main__":
    main([Path(name) for name in sys.argv[1:]] or sorted(GOOD.glob("*.dxf")))
