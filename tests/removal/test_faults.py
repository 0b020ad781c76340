"""Every fault put into a good plan is found, named with its kind, setup and step, and stops the job."""

from __future__ import annotations

import pytest

from dxf2turn.findings import Severity
from dxf2turn.removal.tolerances import LEFT
from dxf2turn.removal.verify import verify
from tests.removal.document import document
from tests.removal.faults import FAULTS, Fault
from tests.removal.kit import changed, with_move
from tests.removal.plans import stepped
from tests.replay import replay

OUTSIDE_WORD = {
    "rapid contact": "rapid",
    "holder contact": "holder",
    "jaw contact": "jaws",
    "cut loose": "loose",
}
BY_NAME = {fault.name: fault for fault in FAULTS}


@pytest.mark.parametrize("name", BY_NAME)
def test_the_check_names_the_fault(name: str) -> None:
    """The removal check finds it in the right step and refuses the plan with a finding."""
    fault = BY_NAME[name]
    removal = verify(*fault.plan())
    assert not removal.ok
    if fault.kind == "left":
        assert removal.max_left_unexplained > LEFT
    else:
        assert any(_is(fault, t.kind, t.setup, t.step) for t in removal.troubles)
    code = f"removal/{fault.kind.replace(' ', '-')}"
    found = [finding for finding in removal.findings if finding.code == code]
    assert found and all(finding.severity is Severity.STOP for finding in found)
    if fault.step:
        assert any(f"step {fault.step}:" in finding.text for finding in found)


@pytest.mark.parametrize("name", BY_NAME)
def test_the_outsider_finds_it_too(name: str) -> None:
    """The replay of the document finds the same fault in the same step."""
    fault = BY_NAME[name]
    verdict = replay(document(*fault.plan()))
    assert not verdict["ok"]
    if fault.kind == "left":
        assert verdict["max_left_unexplained_mm"] > LEFT
        return
    word = OUTSIDE_WORD.get(fault.kind, fault.kind)
    found = [t for t in verdict["troubles"] if t["kind"] == word]
    assert (
        fault.kind == "thread" and found or any(_is(fault, fault.kind, t["setup"], t["step"]) for t in found)
    )


@pytest.mark.parametrize("depth", [0.004, 0.01, 0.05, 0.3, 2.0])
def test_a_gouge_is_measured(depth: float) -> None:
    """A cylinder turned too deep gives that depth, whatever its size, and its ring as volume."""
    part, plan = stepped()
    spoilt = changed(plan, 1, 30, lambda one: with_move(with_move(one, 4, r=15.0 - depth), 5, r=15.0 - depth))
    removal = verify(part, spoilt)
    assert removal.max_gouge == pytest.approx(depth, abs=1e-9)
    ring = 3.141592653589793 * (15.0**2 - (15.0 - depth) ** 2) * 15.0
    assert removal.gouge_mm3 == pytest.approx(ring, rel=1e-6)


def test_the_tolerance_of_a_gouge() -> None:
    """Half the tolerance passes as the flattening of arcs may amount to as much; twice it does not."""
    part, plan = stepped()
    shallow = changed(plan, 1, 30, lambda one: with_move(with_move(one, 4, r=14.999), 5, r=14.999))
    deep = changed(plan, 1, 30, lambda one: with_move(with_move(one, 4, r=14.996), 5, r=14.996))
    assert verify(part, shallow).ok
    assert not verify(part, deep).ok


def _is(fault: Fault, kind: str, setup: int, step: int) -> bool:
    return (kind, setup, step) == (fault.kind, fault.setup, fault.step)
