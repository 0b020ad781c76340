"""Processor time and memory of reading: loose lines, a long polyline, splines.

Run: python tests/bench/reading_bench.py
"""

from __future__ import annotations

import math
import resource
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.reading.builders import document, document_bytes, read  # noqa: E402


def lines(count: int) -> bytes:
    """A sheet of unrelated lines."""
    doc = document()
    for i in range(count):
        x, y = 1000.0 * math.sin(i), 1000.0 * math.cos(1.7 * i)
        doc.modelspace().add_line((x, y), (x + 5.0 * math.sin(3.0 * i), y + 3.0))
    return document_bytes(doc)


def polyline(count: int) -> bytes:
    """One polyline, every second piece an arc."""
    doc = document()
    points = [(0.1 * i, float(i % 7), 0.2 * (i % 2)) for i in range(count)]
    doc.modelspace().add_lwpolyline(points, format="xyb")
    return document_bytes(doc)


def splines(count: int) -> bytes:
    """Splines of ten control points each, and a line that shows the size."""
    doc = document()
    doc.modelspace().add_line((0, 0), (500, 0))
    for i in range(count):
        points = [(10.0 * k, i + 8.0 * math.sin(k * (1.0 + 0.01 * i))) for k in range(10)]
        doc.modelspace().add_open_spline(points)
    return document_bytes(doc)


def main() -> None:
    for name, make, counts in (
        ("lines", lines, (10_000, 100_000)),
        ("polyline vertices", polyline, (1_000, 10_000)),
        ("splines", splines, (10, 100)),
    ):
        for count in counts:
            data = make(count)
            begin = time.process_time()
            drawing = read(data)
            seconds = time.process_time() - begin
            pieces = sum(len(curve.segments) for curve in drawing.curves)
            print(f"{count:>8,} {name}: {seconds:6.2f} s, {len(data) / 1e6:.1f} MB, {pieces:,} pieces")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
    print(f"peak memory {peak:.0f} MB (the library that writes the drawings included)")


if __name__ == "__main__":
    main()
