"""Faults in real plans: the removal check and the outside replay find each one, or both prove it harmless."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from dxf2turn.features.model import Thread, TurnedPart
from dxf2turn.geometry.point import Point
from dxf2turn.output import json_doc
from dxf2turn.planning.model import Plan
from dxf2turn.removal.tolerances import LEFT
from dxf2turn.removal.verify import verify
from tests.demo_jobs import GOOD, demo_job
from tests.removal import real_faults as faults
from tests.removal.real_faults import Place, longest
from tests.replay import replay

# (z, r) towards the part; a shift of the other coordinate is found or harmless.
INTO_X = {
    "finish turn": -0.05, "groove": -0.05, "thread": -0.05, "finish bore": 0.05, "inside groove": 0.05,
    "inside thread": 0.05,
}  # fmt: skip
INTO_Z = {"face": -0.05, "face groove": -0.05, "part off": 0.05, "finish bore": -0.05, "inside groove": 0.05}
EITHER = {
    "rough turn": ((0.0, -0.05), (-0.05, 0.0)), "bore": ((0.0, 0.05), (-0.05, 0.0)),
    "drill": ((-0.05, 0.0), (0.0, 0.05)), "centre drill": ((-0.05, 0.0),),
    "knurl": ((0.0, -0.05), (0.05, 0.0)),
    "finish turn": ((-0.05, 0.0), (0.05, 0.0)), "thread": ((-0.05, 0.0), (0.05, 0.0)),
}  # fmt: skip
SHORT = "clamp_screw_full"


def found(part: TurnedPart, plan: Plan, name: str) -> tuple[set[int], bool]:
    """Steps in which the check names something, and whether it finds anything; the replay says the same."""
    removal = verify(part, plan)
    job = replace(demo_job(name), part=part, plan=plan, removal=removal)
    verdict = replay(json_doc.document(job))
    assert removal.ok == verdict["ok"], (removal.troubles[:2], verdict["troubles"][:2])
    return {t.step for t in removal.troubles}, not removal.ok


def named_by_both(place: Place, plan: Plan) -> bool:
    """Whether both name the step of a place; what later steps leave is no matter here."""
    removal = verify(place.part, plan)
    verdict = replay(document_of(place.demo, plan))
    mine = {t.step for t in removal.troubles}
    theirs = {t["step"] for t in verdict["troubles"]}
    assert (place.step.no in mine) == (place.step.no in theirs), (
        removal.troubles[:2],
        verdict["troubles"][:2],
    )
    return place.step.no in mine


def document_of(name: str, plan: Plan) -> dict[str, Any]:
    return json_doc.document(replace(demo_job(name), plan=plan))


@pytest.mark.parametrize("operation", INTO_X)
def test_a_shift_in_x_is_found(operation: str) -> None:
    """0.05 mm too deep, in every kind of step that makes a diameter."""
    place = longest(operation)
    assert named_by_both(place, place.spoilt(faults.shifted(0.0, INTO_X[operation])))


@pytest.mark.parametrize("operation", INTO_Z)
def test_a_shift_in_z_is_found(operation: str) -> None:
    """0.05 mm too far, in every kind of step that makes a shoulder, a wall or a face."""
    place = longest(operation)
    assert named_by_both(place, place.spoilt(faults.shifted(INTO_Z[operation], 0.0)))


@pytest.mark.parametrize(
    ("operation", "shift"), [(o, shift) for o, shifts in EITHER.items() for shift in shifts]
)
def test_other_shifts_are_found_or_harmless(operation: str, shift: tuple[float, float]) -> None:
    """Where the step only takes off what another one finishes both say so; else both name it."""
    place = longest(operation)
    if not named_by_both(place, place.spoilt(faults.shifted(*shift))):
        whole = replace(
            place.plan,
            setups=tuple(
                replace(
                    s, steps=tuple(faults.shifted(*shift)(o) if o.no == place.step.no else o for o in s.steps)
                )
                for s in place.plan.setups
            ),
        )
        found(place.part, whole, place.demo)


@pytest.mark.parametrize(
    "operation", ["rough turn", "finish turn", "groove", "bore", "inside groove", "part off"]
)
def test_a_cut_made_in_rapid_is_found(operation: str) -> None:
    """The longest cut of the step as a rapid runs into the stock."""
    place = longest(operation)
    assert named_by_both(place, place.spoilt(faults.longest_cut_in_rapid))


@pytest.mark.parametrize("operation", ["groove", "inside groove", "part off", "finish bore"])
def test_a_rapid_through_a_shoulder_is_found(operation: str) -> None:
    """From the bottom straight home: through the groove's wall, through the bore's."""
    place = longest(operation)
    assert named_by_both(place, place.spoilt(faults.straight_home))


@pytest.mark.parametrize("more", [0.05, 0.2])
@pytest.mark.parametrize("operation", faults.BLADES)
def test_a_blade_too_wide_is_found(operation: str, more: float) -> None:
    """The side away from the controlled corner cuts into the wall."""
    place = longest(operation)
    assert named_by_both(place, place.spoilt(faults.wider(more)))


@pytest.mark.parametrize("operation", ["finish turn", "groove", "finish bore", "inside groove", "part off"])
def test_a_holder_too_near_is_found(operation: str) -> None:
    """Half a millimetre beyond the cutting part."""
    place = longest(operation)
    assert named_by_both(place, place.spoilt(faults.holder_near))


@pytest.mark.parametrize("operation", ["thread", "inside thread"])
@pytest.mark.parametrize("change", [faults.with_lead(1.1), faults.backwards], ids=["lead", "hand"])
def test_a_wrong_lead_and_a_wrong_hand_are_found(operation: str, change: faults.Change) -> None:
    place = longest(operation)
    assert named_by_both(place, place.spoilt(change))


def test_too_few_starts_are_found() -> None:
    """The same moves for a thread of two starts with the same lead: one of them is missing."""
    place = longest("thread")
    features = tuple(
        replace(f, starts=2, pitch=0.5 * f.pitch) if isinstance(f, Thread) else f for f in place.part.features
    )
    assert found(replace(place.part, features=features), place.plan, place.demo)[1]


def test_a_wrong_flip_is_found() -> None:
    """Every demo with a setup turned over, not turned over."""
    for name in (name for name in GOOD if _is_flipped(name)):
        job = demo_job(name)
        first, *_, last = job.plan.setups
        wrong = replace(job.plan, setups=(*job.plan.setups[:-1], replace(last, flipped=first.flipped)))
        assert found(job.part, wrong, name)[1], name
        return


def _is_flipped(name: str) -> bool:
    plan = demo_job(name).plan
    return plan is not None and len({s.flipped for s in plan.setups}) == 2


@pytest.mark.parametrize("operation", ["finish turn", "finish bore"])
def test_another_nose_is_found_or_harmless(operation: str) -> None:
    """A tool whose nose differs leaves or gouges what is not level; both agree, whatever it is."""
    place = longest(operation)
    named_by_both(place, place.spoilt(faults.other_nose))


def test_a_tool_change_point_too_near_is_found() -> None:
    """A millimetre in front of the face the holders stand in the stock."""
    place = longest("finish turn")
    setup, step = faults.near_change(place.setup, place.step)
    alone = replace(setup, steps=(step,))
    upto = tuple(s for s in place.plan.setups if s.no < setup.no)
    assert named_by_both(place, replace(place.plan, setups=(*upto, alone)))


def test_jaws_in_the_travel_are_found() -> None:
    """The chuck so far forward that the lowest travel goes into it."""
    job = demo_job(SHORT)
    setup = faults.jaws_forward(job.plan.setups[0])
    assert found(job.part, replace(job.plan, setups=(setup,)), SHORT)[1]


def test_a_centre_that_is_not_there_is_found() -> None:
    """A setup in the tailstock without a centre, and one whose centre hole was never made."""
    name = "draw_rod"
    job = demo_job(name)
    at = next(i for i, s in enumerate(job.plan.setups) if s.support == "tailstock")
    setups = job.plan.setups
    forgotten = (*setups[:at], replace(setups[at], supports=()))
    assert found(job.part, replace(job.plan, setups=forgotten), name)[0] == {0}
    first = replace(setups[0], steps=tuple(s for s in setups[0].steps if s.operation != "centre drill"))
    assert found(job.part, replace(job.plan, setups=(first, setups[at])), name)[1]


def test_stock_that_is_too_small_is_found() -> None:
    """A bar a millimetre thinner than the part."""
    job = demo_job(SHORT)
    setup = job.plan.setups[0]
    share = (job.part.profile.max_radius - 0.5) / max(s.start.y for s in setup.stock)
    thin = tuple(
        replace(s, start=Point(s.start.x, share * s.start.y), end=Point(s.end.x, share * s.end.y))
        for s in setup.stock
    )
    steps, wrong = found(job.part, replace(job.plan, setups=(replace(setup, stock=thin),)), SHORT)
    assert wrong and 0 in steps


def test_every_step_left_out_is_found_or_harmless() -> None:
    """Of a screw: without its thread, finishing or parting off something is missing, and both say so."""
    job = demo_job(SHORT)
    setup = job.plan.setups[0]
    for index, step in enumerate(setup.steps):
        rest = (*setup.steps[:index], *setup.steps[index + 1 :])
        _, wrong = found(job.part, replace(job.plan, setups=(replace(setup, steps=rest),)), SHORT)
        assert wrong or step.operation in ("face", "rough turn", "groove"), step


def test_two_steps_in_the_wrong_order_are_found_or_harmless() -> None:
    """Each pair of neighbours of a screw; parting off before the thread is always found."""
    job = demo_job(SHORT)
    setup = job.plan.setups[0]
    for index in range(len(setup.steps) - 1):
        order = [*setup.steps]
        order[index], order[index + 1] = order[index + 1], order[index]
        plan = replace(job.plan, setups=(replace(setup, steps=tuple(order)),))
        _, wrong = found(job.part, plan, SHORT)
        assert wrong or setup.steps[index + 1].operation != "part off"


def test_good_plans_have_no_fault() -> None:
    """The plans that are spoilt here pass both judges as they stand."""
    for name in {longest(operation).demo for operation in (*INTO_X, *INTO_Z)} | {SHORT}:
        job = demo_job(name)
        assert job.removal.ok and job.removal.max_left_unexplained <= LEFT
