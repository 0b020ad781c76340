"""All rules, one after the other, over one part.

A rule that does not apply is skipped with its reason; a rule that crashes becomes a finding, and the others
go on.
"""

from __future__ import annotations

from dxf2turn.checks import (
    bore_access,
    centre_hole,
    face_groove,
    falling_slope,
    flat_bottom,
    grip,
    groove_depth,
    groove_width,
    hole_depth,
    inner_corner,
    inside_groove,
    knurl_wheel,
    machine_size,
    overhanging_wall,
    parting,
    rib,
    roughness,
    slenderness,
    small_chamfer,
    small_step,
    thin_wall,
    thread_length,
    thread_relief,
    thread_runout,
    thread_standard,
    thread_start,
    thread_tool,
    tolerance_grade,
)
from dxf2turn.checks.model import Case, Check, CheckResult, Outcome
from dxf2turn.contour.model import Contour
from dxf2turn.features.model import TurnedPart
from dxf2turn.findings import Finding, Severity
from dxf2turn.shop.model import Shop

# What stops a job comes first, then the size of the part, then its details.
CHECKS: tuple[Check, ...] = (
    machine_size.CHECK,
    overhanging_wall.CHECK,
    groove_width.CHECK,
    groove_depth.CHECK,
    inside_groove.CHECK,
    face_groove.CHECK,
    bore_access.CHECK,
    hole_depth.CHECK,
    thread_tool.CHECK,
    thread_runout.CHECK,
    thread_relief.CHECK,
    thread_start.CHECK,
    thread_length.CHECK,
    thread_standard.CHECK,
    thin_wall.CHECK,
    rib.CHECK,
    slenderness.CHECK,
    centre_hole.CHECK,
    grip.CHECK,
    parting.CHECK,
    falling_slope.CHECK,
    flat_bottom.CHECK,
    inner_corner.CHECK,
    tolerance_grade.CHECK,
    roughness.CHECK,
    knurl_wheel.CHECK,
    small_step.CHECK,
    small_chamfer.CHECK,
)


def run_checks(part: TurnedPart, contour: Contour, shop: Shop) -> tuple[Finding, ...]:
    """The findings of all rules, in the order of the rules."""
    return tuple(finding for result in check_results(part, contour, shop) for finding in result.findings)


def check_results(part: TurnedPart, contour: Contour, shop: Shop) -> tuple[CheckResult, ...]:
    """Every rule's outcome, also of those that were skipped or passed."""
    case = Case(part, contour, shop)
    return tuple(run_one(check, case) for check in CHECKS)


def run_one(check: Check, case: Case) -> CheckResult:
    """The outcome of one rule."""
    try:
        reason = check.applies(case)
        if reason is not None:
            return CheckResult(check.id, Outcome.SKIP, reason=reason)
        findings = tuple(check.run(case))
    except Exception as problem:  # noqa: BLE001 - one broken rule must not cost the others
        return CheckResult(check.id, Outcome.CRASH, (_crash(check, problem),))
    return CheckResult(check.id, Outcome.FINDINGS if findings else Outcome.PASS, findings)


def _crash(check: Check, problem: Exception) -> Finding:
    return Finding(
        code="checks/crash",
        severity=Severity.FIX,
        text=f"the rule {check.id!r} could not be applied: {problem.__class__.__name__}: {problem}",
        hint="This is a defect of the program; please report it with the drawing.",
    )
