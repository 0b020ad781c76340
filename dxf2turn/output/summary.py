"""The job in a few sentences, the same in every document and on the screen."""

from __future__ import annotations

from dxf2turn.job import Job
from dxf2turn.output.feature_words import general_roughness
from dxf2turn.output.wording import Wording, duration
from dxf2turn.units import plain_text


def part_lines(job: Job, w: Wording) -> tuple[str, ...]:
    """Size of the part, unit of the drawing and how it was found."""
    lines = []
    profile = job.contour.profile if job.contour is not None else None
    if profile is not None:
        lines.append(f"Part: {w.diameter(profile.max_radius)} x {w.size(profile.length)}")
        if job.plan is not None:
            mass = profile.volume * 1e-9 * job.plan.material.density
            lines[-1] += f", {plain_text(mass, 3)} kg"
    general = general_roughness(job.part.features) if job.part is not None else None
    if general is not None:
        lines.append(f"Roughness: Ra {general:g} all over")
    if job.clean is not None:
        unit = job.clean.unit
        scale = "" if unit.scale == 1.0 else f", drawn {plain_text(unit.scale, 4)} times its size"
        why = f": {unit.why}" if unit.why else ""
        lines.append(f"Drawing in {unit.unit.value} (by {unit.source}{scale}){why}")
    return tuple(lines)


def verdict_line(job: Job, w: Wording) -> str:
    """What the removal check says."""
    removal = job.removal
    if removal is None:
        return "Removal check: not run"
    if not removal.ok or job.stopped:
        return "Removal check: NOT passed, do not run this plan"
    return f"Removal check: passed; nothing gouged, no contact, at most {w.size(removal.max_left)} left"


def plan_line(job: Job) -> str:
    """One line for the screen: steps, tools, time."""
    if job.plan is None:
        return f"{job.drawing.file}: no plan"
    steps = [step for setup in job.plan.setups for step in setup.steps]
    tools = {step.tool.id for step in steps if step.tool is not None}
    setups = len(job.plan.setups)
    return (
        f"{job.drawing.file}: {setups} setup{'s' if setups > 1 else ''}, {len(steps)} steps, "
        f"{len(tools)} tools, {duration(job.plan.times.total_s)}"
    )
