"""Options of the renderers."""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.job import Job
from dxf2turn.units import Unit


@dataclass(frozen=True, slots=True)
class OutputOptions:
    """units_out: unit of texts for people; None = the drawing's own."""

    units_out: Unit | None = None


def unit_for(job: Job, options: OutputOptions) -> Unit:
    """The unit that texts for people are in."""
    if options.units_out is not None:
        return options.units_out
    return job.clean.unit.unit if job.clean is not None else Unit.MM
