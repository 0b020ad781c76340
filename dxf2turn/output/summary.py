"""The job in a few sentences, the same in every document and on the screen."""

from __future__ import annotations

from dxf2turn.job import Job
from dxf2turn.output.feature_words import general_roughness
from dxf2turn.output.wording import Wording, duration, one_line
from dxf2turn.units import plain_text

UNIT_SOURCES = {"header": "from the file's header", "option": "as asked for", "assumed": "assumed"}
LEFT = 0.01  # material left up to this is none for a person, mm (as the removal check has it)


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
        words = [f"Drawing in {unit.unit.value}, {UNIT_SOURCES.get(unit.source, unit.source)}"]
        if unit.scale != 1.0:
            words.append(f"drawn {plain_text(unit.scale, 4)} times its size")
        if unit.why:
            words.append(one_line(unit.why))
        lines.append("; ".join(words))
    return tuple(lines)


def verdict_line(job: Job, w: Wording) -> str:
    """What the removal check says."""
    removal = job.removal
    if removal is None:
        return "Removal check: not run"
    if not removal.ok or job.stopped:
        return "Removal check: NOT passed, do not run this plan"
    passed = "Removal check: passed; nothing gouged, no contact"
    if removal.max_left > LEFT:
        return f"{passed}; {w.size(removal.max_left)} left where the findings say so"
    most = w.short(removal.max_left)
    return f"{passed}, nothing left" if most == "0" else f"{passed}, at most {most} {w.unit_word} left"


def verdict_style(job: Job) -> str:
    """ "good", "partly" (material left, named in the findings) or "bad"."""
    if job.removal is None or not job.removal.ok or job.stopped:
        return "bad"
    return "partly" if job.removal.max_left > LEFT else "good"


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
