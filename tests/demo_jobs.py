"""The demo drawings, each planned once for all tests that ask for it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from dxf2turn import pipeline
from dxf2turn.job import Job
from dxf2turn.options import DrawingOptions

DRAWINGS = Path(__file__).resolve().parents[1] / "drawings"
GOOD = sorted(path.stem for path in (DRAWINGS / "good").glob("*.dxf"))


@cache
def demo_job(name: str) -> Job:
    """The whole job of a good drawing, with the shop's own machine and material."""
    options = DrawingOptions(front="left" if name == "belt_pulley" else "auto")
    return pipeline.plan(pipeline.read(DRAWINGS / "good" / f"{name}.dxf", options), None, options)
