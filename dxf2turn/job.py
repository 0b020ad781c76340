"""Job: every stage's result for one drawing, as far as it got."""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.cleaning.model import CleanDrawing
from dxf2turn.contour.model import Contour
from dxf2turn.features.model import TurnedPart
from dxf2turn.findings import Finding, Repair, stops
from dxf2turn.planning.model import Plan
from dxf2turn.reading.model import Drawing
from dxf2turn.removal.model import Removal


@dataclass(frozen=True, slots=True)
class Job:
    """Stages that were not reached are None."""

    drawing: Drawing
    clean: CleanDrawing | None = None
    contour: Contour | None = None
    part: TurnedPart | None = None
    checks: tuple[Finding, ...] = ()
    plan: Plan | None = None
    removal: Removal | None = None

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings, in the order of the stages."""
        stages = (self.drawing, self.clean, self.contour, self.part)
        before = tuple(f for stage in stages if stage is not None for f in stage.findings)
        after = tuple(f for stage in (self.plan, self.removal) if stage is not None for f in stage.findings)
        return before + self.checks + after

    @property
    def repairs(self) -> tuple[Repair, ...]:
        """All repairs, in the order of the stages."""
        stages = (self.drawing, self.clean, self.contour)
        return tuple(r for stage in stages if stage is not None for r in stage.repairs)

    @property
    def stopped(self) -> bool:
        """Whether some finding prevents a plan, or the removal check did not pass it."""
        return bool(stops(self.findings)) or (self.removal is not None and not self.removal.ok)
