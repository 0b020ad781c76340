"""Every demo drawing from DXF to a plan, judged twice: by the removal check and by an outside replay."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import pytest

from dxf2turn import pipeline
from dxf2turn.findings import Severity
from dxf2turn.options import DrawingOptions
from dxf2turn.output.files import render
from tests.replay import replay

DRAWINGS = Path(__file__).resolve().parents[1] / "drawings"
GOOD = sorted(path.stem for path in (DRAWINGS / "good").glob("*.dxf"))
LEFT = 0.01  # mm, what may stay without a word


@cache
def _job(name: str):
    options = DrawingOptions(front="left" if name == "belt_pulley" else "auto")
    return pipeline.plan(pipeline.read(DRAWINGS / "good" / f"{name}.dxf", options), None, options)


@pytest.mark.parametrize("name", GOOD)
def test_a_demo_is_planned_and_passes_the_removal_check(name: str) -> None:
    """A plan is there, nothing is gouged or touched, and what is left above 0.01 mm has a finding."""
    job = _job(name)

    assert not job.stopped, [f.text for f in job.findings if f.severity is Severity.STOP]
    assert job.removal is not None and job.removal.ok
    if job.removal.max_left > LEFT:
        assert any(f.code.startswith("planning/") and f.where.z is not None for f in job.findings)


@pytest.mark.parametrize("name", GOOD)
def test_the_written_document_passes_an_outside_replay(name: str) -> None:
    """The JSON alone, replayed by code that shares nothing with the package, gives the same verdict."""
    files = render(_job(name))
    document = json.loads(files[f"{name}.plan.json"])

    verdict = replay(document)

    assert verdict["ok"], {k: v for k, v in verdict.items() if k != "steps"}


def test_the_part_that_cannot_be_made_is_stopped_with_its_place() -> None:
    """The spool with a groove of 0.4 mm is stopped: narrower than any blade, at Z -12."""
    drawing = pipeline.read(DRAWINGS / "broken" / "blocked_spool.dxf")

    job = pipeline.plan(drawing)
    stops = [f for f in job.findings if f.severity is Severity.STOP]

    assert job.plan is None
    assert [f.code for f in stops] == ["checks/groove-width"]
    assert stops[0].where.z == pytest.approx(-12.2, abs=0.3)
    assert stops[0].measured == pytest.approx(0.4)


def test_an_open_outline_names_both_ends_and_the_distance() -> None:
    """The outline with a gap of 0.6 mm is stopped: both entities and the distance are named."""
    job = pipeline.recognise(pipeline.read(DRAWINGS / "broken" / "open_outline.dxf"))
    stop = next(f for f in job.findings if f.severity is Severity.STOP)

    assert stop.measured == pytest.approx(0.6, abs=1e-6)
    assert len(stop.where.handles) == 2
