"""Every demo drawing from DXF to a plan, judged twice: by the removal check and by an outside replay."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace

import pytest

from dxf2turn import pipeline
from dxf2turn.findings import Severity
from dxf2turn.geometry.point import Vector
from dxf2turn.job import Job
from dxf2turn.output import json_doc
from dxf2turn.output.files import render
from dxf2turn.planning.model import Plan, Step
from dxf2turn.removal.verify import verify
from tests.demo_jobs import DRAWINGS, GOOD, demo_job
from tests.loads import lathe, overloads
from tests.replay import replay

LEFT = 0.01  # mm, what may stay without a word


@pytest.mark.parametrize("name", GOOD)
def test_a_demo_is_planned_and_passes_the_removal_check(name: str) -> None:
    """A plan is there, nothing is gouged or touched, and what is left above 0.01 mm has a finding."""
    job = demo_job(name)

    assert not job.stopped, [f.text for f in job.findings if f.severity is Severity.STOP]
    assert job.removal is not None and job.removal.ok
    if job.removal.max_left > LEFT:
        assert any(f.code.startswith("planning/") and f.where.z is not None for f in job.findings)


@pytest.mark.parametrize("name", GOOD)
def test_the_written_document_passes_an_outside_replay(name: str) -> None:
    """The JSON alone, replayed by code that shares nothing with the package, gives the same verdict."""
    files = render(demo_job(name))
    document = json.loads(files[f"{name}.plan.json"])

    verdict = replay(document)

    assert verdict["ok"], {k: v for k, v in verdict.items() if k != "steps"}


@pytest.mark.parametrize("name", GOOD)
def test_no_step_asks_for_more_than_the_lathe_has(name: str) -> None:
    """Torque and power by Kienzle at every place, rev/min, feed and thread rates, from the document."""
    job = demo_job(name)
    assert job.plan is not None
    doc = json_doc.document(job)

    assert overloads(doc, lathe(doc, job.plan.machine.name)) == []


INTO = {
    "face": (-0.05, 0.0),
    "finish turn": (0.0, -0.05),
    "groove": (0.0, -0.05),
    "thread": (0.0, -0.05),
    "face groove": (-0.05, 0.0),
    "finish bore": (0.0, 0.05),
    "inside groove": (0.0, 0.05),
    "inside thread": (0.0, 0.05),
    "drill": (0.0, 0.05),
    "part off": (0.05, 0.0),
}  # (z, r) towards the part, mm
NEEDED = ("groove", "face groove", "inside groove", "thread", "inside thread", "knurl", "part off")


def _longest(operation: str) -> tuple[Job, Step]:
    """Of all demos the step of this kind that cuts longest; of drills one that makes a hole as drawn."""
    steps = (
        (job, step)
        for job in map(demo_job, GOOD)
        if job.plan is not None
        for setup in job.plan.setups
        for step in setup.steps
        if step.operation == operation and (operation != "drill" or step.features)
    )
    return max(steps, key=lambda pair: pair[1].cut_time_s)


def _spoilt(job: Job, step: Step, change: Callable[[Step], tuple[Step, ...]]) -> Plan:
    assert job.plan is not None
    setups = (
        replace(s, steps=tuple(new for one in s.steps for new in (change(one) if one is step else (one,))))
        for s in job.plan.setups
    )
    return replace(job.plan, setups=tuple(setups))


@pytest.mark.parametrize("operation", INTO)
def test_a_step_shifted_into_the_part_is_found(operation: str) -> None:
    """Of every kind of step: 0.05 mm too deep is named in that step."""
    job, step = _longest(operation)
    way = Vector(*INTO[operation])
    inner = (
        replace(m, z=m.z + way.dx, r=m.r + way.dy, centre=m.centre and m.centre + way)
        for m in step.moves[1:-1]
    )
    moved = replace(step, moves=(step.moves[0], *inner, step.moves[-1]))

    removal = verify(job.part, _spoilt(job, step, lambda _: (moved,)))

    assert not removal.ok and any(t.step == step.no for t in removal.troubles)


@pytest.mark.parametrize("operation", NEEDED)
def test_a_step_left_out_is_found(operation: str) -> None:
    """Without the step something is left, a thread is missing, or the piece stays on the bar."""
    job, step = _longest(operation)

    assert not verify(job.part, _spoilt(job, step, lambda _: ())).ok


@pytest.mark.parametrize("operation", ["thread", "inside thread"])
def test_a_wrong_lead_is_found(operation: str) -> None:
    """Every thread move must have the thread's lead, whatever the section looks like."""
    job, step = _longest(operation)
    faster = tuple(replace(m, lead=m.lead and 1.1 * m.lead) for m in step.moves)

    removal = verify(job.part, _spoilt(job, step, lambda _: (replace(step, moves=faster),)))

    assert any(t.kind == "thread" and t.step == step.no for t in removal.troubles)


def test_a_wrong_flip_is_found() -> None:
    """A second setup that is not turned over starts from stock that is not there."""
    job = next(j for j in map(demo_job, GOOD) if j.plan and len({s.flipped for s in j.plan.setups}) == 2)
    last = job.plan.setups[-1]
    wrong = replace(job.plan, setups=(*job.plan.setups[:-1], replace(last, flipped=not last.flipped)))

    assert any(t.kind == "stock" and t.setup == last.no for t in verify(job.part, wrong).troubles)


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
