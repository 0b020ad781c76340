"""The cautions that a plan brings with it, from `data/cautions.csv`."""

from __future__ import annotations

from dxf2turn.job import Job
from dxf2turn.planning.model import Plan, Step
from dxf2turn.tables import rows

SLENDER = 3.0  # length out of the chuck over diameter; S55 asks for support above about three


def cautions(job: Job) -> tuple[str, ...]:
    """The cautions for this plan, in the order of the table; () without a plan."""
    if job.plan is None:
        return ()
    wanted = {"always", *_traits(job.plan)}
    return tuple(row.text("text") for row in rows("cautions") if row.text("applies") in wanted)


def _traits(plan: Plan) -> set[str]:
    steps = [step for setup in plan.setups for step in setup.steps]
    found = {"surface speed" for step in steps if _surface_speed(step)}
    found |= {"parting" for step in steps if step.operation == "part off"}
    if any(_slender(plan, index) for index in range(len(plan.setups))):
        found.add("slender")
    found |= {setup.support for setup in plan.setups if setup.supports}
    if _comes_through(plan):
        found.add("bar behind")
    description = f"{plan.material.name} {plan.material.description}".lower()
    return found | {metal for metal in ("titanium", "magnesium") if metal in description}


def _comes_through(plan: Plan) -> bool:
    """Whether stock is parted off that is thin enough to come through the spindle."""
    parted = any(step.operation == "part off" for setup in plan.setups for step in setup.steps)
    radius = max((setup.grip_radius for setup in plan.setups[:1]), default=0.0)
    return parted and 2.0 * radius <= plan.machine.spindle_bore_mm


def _surface_speed(step: Step) -> bool:
    return step.spindle is not None and step.spindle.mode == "surface speed"


def _slender(plan: Plan, index: int) -> bool:
    """Whether the work stands out of the jaws by more than SLENDER times its diameter."""
    setup = plan.setups[index]
    ends = [point for segment in setup.stock for point in (segment.start, segment.end)]
    grip_end = max((point.x for jaw in setup.jaws[:1] for point in jaw), default=min(p.x for p in ends))
    out, diameter = max(p.x for p in ends) - grip_end, 2.0 * max(p.y for p in ends)
    return out > SLENDER * diameter
