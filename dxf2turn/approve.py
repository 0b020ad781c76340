"""The plan that the removal check passes: when it refuses the quickest one, others are tried."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from dxf2turn.findings import Finding, Severity, stops
from dxf2turn.job import Job
from dxf2turn.options import PlanOptions
from dxf2turn.planning.centre_holes import with_centre_holes
from dxf2turn.planning.model import Plan
from dxf2turn.planning.plan import make_plan, make_plans
from dxf2turn.planning.turret import crib_name
from dxf2turn.removal.model import Removal
from dxf2turn.removal.verify import verify
from dxf2turn.shop.model import Shop

OTHER_WAYS = 3  # ways to hold the part that are tried when the removal check refuses the best plan


def with_plan(job: Job, shop: Shop, options: PlanOptions) -> Job:
    """The job with the best plan that the removal check passes; with the best one when it passes none.

    The job must have its part and contour. After a refused plan the next one does without the tools that the
    check objects to; then the part is held in other ways.
    """
    assert job.part is not None and job.contour is not None
    part, contour = with_centre_holes(job.part, shop), job.contour
    job = replace(job, part=part)
    with np.errstate(divide="ignore", invalid="ignore"):  # The polygon library leaves such flags behind.
        plans = make_plans(part, contour, shop, options)
        best = _verified(job, next(plans))
        if best.removal is None or not best.stopped:
            return best
        without = (make_plan(part, contour, shop.without(tools), options) for tools in _objected(best))
        for planned in itertools.chain(without, itertools.islice(plans, OTHER_WAYS)):
            done = _verified(job, planned)
            if not done.stopped:
                return _told(done, best.removal)
        return best


def _verified(job: Job, planned: Plan) -> Job:
    """The job with a plan, and the verdict on it if planning was not stopped."""
    done = replace(job, plan=planned)
    assert done.part is not None
    return done if done.stopped else replace(done, removal=verify(done.part, planned))


def _objected(job: Job) -> Iterator[frozenset[str]]:
    """The tools of the crib that the check objects to, as one set; none when it objects to no tool."""
    assert job.plan is not None and job.removal is not None
    places = {(trouble.setup, trouble.step) for trouble in job.removal.troubles}
    steps = ((setup.no, step) for setup in job.plan.setups for step in setup.steps)
    tools = frozenset(crib_name(s.tool) for no, s in steps if s.tool is not None and (no, s.no) in places)
    if tools:
        yield tools


def _told(job: Job, refused: Removal) -> Job:
    """The job, and why it does not follow the quickest plan."""
    assert job.plan is not None
    reason = next((f.text for f in stops(refused.findings)), "material is left")
    finding = Finding(
        code="planning/other-plan",
        severity=Severity.NOTE,
        text=f"the quickest plan did not pass the removal check, so another one was taken: {reason}",
        hint="nothing has to be done: the plan that was written has passed the check",
    )
    return replace(job, plan=replace(job.plan, findings=(*job.plan.findings, finding)))
