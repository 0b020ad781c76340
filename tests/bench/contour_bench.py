"""How cleaning and contour grow: a long contour, a sheet full of unrelated lines. Printed, never asserted.

python tests/bench/contour_bench.py
"""

from __future__ import annotations

import math
import random
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from dxf2turn.cleaning.clean import clean_drawing  # noqa: E402
from dxf2turn.contour.build import build_contour  # noqa: E402
from dxf2turn.geometry.point import Point, Vector  # noqa: E402
from dxf2turn.geometry.segment import Line  # noqa: E402
from dxf2turn.options import DrawingOptions  # noqa: E402
from tests import strokes as draw  # noqa: E402
from tests.builders import drawing_of  # noqa: E402
from tests.random_parts import random_profile  # noqa: E402
from tests.strokes import Stroke, View  # noqa: E402


def long_contour(pieces: int) -> View:
    """A shaft with so many small grooves that its half profile has `pieces` lines, in any order."""
    points = [Point(0.0, 0.0), Point(0.0, 20.0)]
    z = 0.0
    for _ in range(pieces // 4):
        points += [Point(z - 0.5, 20.0), Point(z - 0.5, 19.0), Point(z - 1.0, 19.0), Point(z - 1.0, 20.0)]
        z -= 1.0
    points += [Point(z - 1.0, 20.0), Point(z - 1.0, 0.0)]
    lines = [Line(a, b) for a, b in zip(points, points[1:])]
    random.Random(1).shuffle(lines)
    axis = Stroke((Line(Point(5.0, 0.0), Point(z - 5.0, 0.0)),), "AXIS")
    return View((*(Stroke((line,)) for line in lines), axis))


def full_sheet(entities: int) -> View:
    """A full view of a part and `entities` short lines scattered beside it, as many to the area."""
    rng = random.Random(2)
    profile = random_profile(random.Random(3))
    strokes = [*draw.full_view(profile).strokes, draw.centre_line(profile)]
    width = 30.0 * math.sqrt(entities)
    for _ in range(entities):
        start = Point(rng.uniform(-width, width), rng.uniform(200.0, 200.0 + width))
        end = start + Vector.from_angle(rng.uniform(0.0, math.tau), rng.uniform(1.0, 15.0))
        strokes.append(Stroke((Line(start, end),)))
    return View(tuple(strokes))


def measure(name: str, make: Callable[[int], View], sizes: tuple[int, ...]) -> None:
    """Processor seconds for each size, and how they grow against the size."""
    options, before = DrawingOptions(), None
    for size in sizes:
        drawing = drawing_of(make(size))
        start = time.process_time()
        clean = clean_drawing(drawing, options)
        middle = time.process_time()
        contour = build_contour(clean, options)
        end = time.process_time()
        assert contour.profile is not None
        growth = "" if before is None else f", {(end - start) / before:.2f} times the time before"
        print(f"{name} {size}: cleaning {middle - start:.2f} s, contour {end - middle:.2f} s{growth}")
        before = end - start


if __name__ == "__main__":
    measure("contour of pieces", long_contour, (2_500, 5_000, 10_000))
    measure("sheet of entities", full_sheet, (25_000, 50_000, 100_000))
