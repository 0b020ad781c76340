"""The verdict at its edges: declared areas, broken plans, the order of holder and edge, the pictures."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.point import Point
from dxf2turn.planning.model import ShortThread, Step
from dxf2turn.removal.tolerances import LEFT
from dxf2turn.removal.verify import verify
from tests.removal.document import document
from tests.removal.kit import (
    bar,
    blade,
    changed,
    feed,
    jaws,
    lines,
    part_of,
    plan_of,
    points,
    rapid,
    setup,
    step,
    tool,
    with_move,
)
from tests.removal.plans import bored, face_to_centre, grooved, stepped, threaded, two_sided
from tests.replay import replay

GROOVE = points((-9.99, 7.9), (-9.99, 10.1), (-13.01, 10.1), (-13.01, 7.9))
SAID = Finding(code="planning/unreached", severity=Severity.FIX, text="No blade fits the groove.")


def ungrooved():  # type: ignore[no-untyped-def]
    part, plan = grooved()
    return part, changed(plan, 1, 40, lambda _: None)


def test_left_over_that_the_plan_declares_is_allowed() -> None:
    """A groove that no blade reaches, declared and said in a finding, does not stop the plan."""
    part, plan = ungrooved()
    removal = verify(part, replace(plan, unreached=(GROOVE,), findings=(SAID,)))
    assert removal.ok
    assert removal.max_left == pytest.approx(1.5, abs=0.01)  # the middle of the mouth is 1.5 from both walls
    assert removal.max_left_unexplained == 0.0
    assert removal.left_mm3 == pytest.approx(math.pi * (100.0 - 64.0) * 3.0, rel=1e-9)


def test_left_over_declared_without_a_finding_is_not_allowed() -> None:
    """An area that is declared but that no finding speaks of stays unexplained."""
    part, plan = ungrooved()
    assert not verify(part, replace(plan, unreached=(GROOVE,))).ok


def test_only_what_lies_in_the_declared_area_is_explained() -> None:
    """Left-over that reaches out of the declared area by more than the tolerance stops the plan."""
    part, plan = ungrooved()
    half = points((-9.99, 7.9), (-9.99, 10.1), (-11.0, 10.1), (-11.0, 7.9))
    removal = verify(part, replace(plan, unreached=(half,), findings=(SAID,)))
    assert not removal.ok
    assert removal.max_left_unexplained > LEFT


def test_the_place_of_left_over_is_on_the_part() -> None:
    """The finding names z and r of the part, also when the last setup is turned end for end."""
    part, plan = two_sided()
    removal = verify(part, changed(plan, 2, 20, lambda _: None))
    (finding,) = [f for f in removal.findings if f.code == "removal/left"]
    assert -50.0 <= finding.where.z <= -30.0
    assert 10.0 <= finding.where.r <= 16.0


def test_the_place_of_a_gouge_after_the_flip_is_on_the_part() -> None:
    """Setup z -20 is part z -30: the finding gives the part's, the trouble the setup's."""
    part, plan = two_sided()
    spoilt = changed(plan, 2, 20, lambda one: with_move(with_move(one, 6, z=-20.3), 7, z=-20.3))
    removal = verify(part, spoilt)
    (finding,) = [f for f in removal.findings if f.code == "removal/gouge"]
    assert finding.where.z == pytest.approx(-29.7, abs=0.01)
    assert removal.troubles[0].at.x == pytest.approx(-20.3, abs=0.01)


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_a_coordinate_that_is_no_number(bad: float) -> None:
    """It is named with its step; nothing raises."""
    part, plan = stepped()
    removal = verify(part, changed(plan, 1, 30, lambda one: with_move(one, 3, z=bad)))
    assert not removal.ok
    assert ("path", 30) in {(t.kind, t.step) for t in removal.troubles}


def test_a_plan_without_setups() -> None:
    """Nothing made is not ok, and says so."""
    part, _ = stepped()
    removal = verify(part, plan_of())
    assert not removal.ok
    assert [f.code for f in removal.findings] == ["removal/nothing-made"]


def test_a_tool_without_an_outline_can_not_pass() -> None:
    """What can't be checked is not waved through."""
    part, plan = stepped()
    removal = verify(part, changed(plan, 1, 30, lambda one: replace(one, tool=tool("T1", "turning", ()))))
    assert ("path", 30) in {(t.kind, t.step) for t in removal.troubles}


def test_a_support_may_follow_its_blade_but_not_lead_it() -> None:
    """The same support is no contact when plunging, and one when the blade is driven sideways into metal."""
    part = part_of(lines((0, 0), (0, 4), (-40, 4), (-40, 0)))
    support = points((0.0, 1.0), (2.0, 1.0), (2.0, 20.0), (0.0, 20.0))
    shallow = tool(
        "T2", "grooving", points((0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0)), holder=(support,)
    )
    plunge = step(10, "groove", shallow, rapid(-10.0, 18.0), feed(-10.0, 8.0), rapid(-10.0, 18.0))
    sideways = step(
        10, "groove", shallow, rapid(-10.0, 18.0), feed(-10.0, 8.0), feed(-15.0, 8.0), rapid(-15.0, 18.0)
    )
    one = setup(1, bar(16.0), jaws(-60.0, 16.0), plunge)
    assert verify(part, plan_of(one)).holder_contacts == 0
    found = verify(part, plan_of(replace(one, steps=(sideways,)))).troubles
    assert ("holder contact", 10, 3) in {(t.kind, t.step, t.move) for t in found}
    assert replay(document(part, plan_of(one)))["holder_contacts"] == 0
    assert replay(document(part, plan_of(replace(one, steps=(sideways,)))))["holder_contacts"] > 0


def test_a_holder_that_goes_first_is_found_although_the_edge_follows() -> None:
    """A holder ahead of the edge enters metal that the edge takes away only later in the same move."""
    part = part_of(lines((0, 0), (0, 4), (-40, 4), (-40, 0)))
    ahead = points((-3.0, 0.5), (-1.0, 0.5), (-1.0, 2.0), (-3.0, 2.0))
    edge = points((0.0, 0.0), (2.0, 0.0), (2.0, 12.0), (0.0, 12.0))
    wrong = tool("T2", "turning", edge, holder=(ahead,))
    cut = step(10, "rough turn", wrong, rapid(5.0, 14.0), feed(-10.0, 14.0), feed(-10.0, 20.0))
    plan = plan_of(setup(1, bar(16.0), jaws(-60.0, 16.0), cut))
    assert ("holder contact", 2) in {(t.kind, t.move) for t in verify(part, plan).troubles}
    assert replay(document(part, plan))["holder_contacts"] >= 1


def test_a_tool_change_inside_the_stock_is_a_contact() -> None:
    """The first move stands still at the tool-change point and is judged like a rapid."""
    part, plan = stepped()
    one = plan.setups[0]
    home = Point(-10.0, 14.0)
    moves = tuple(
        replace(m, z=home.x, r=home.y) if m.end == one.tool_change else m for m in one.steps[0].moves
    )
    spoilt = replace(one, tool_change=home, steps=(replace(one.steps[0], moves=moves), *one.steps[1:]))
    removal = verify(part, replace(plan, setups=(spoilt,)))
    assert ("rapid contact", 10, 0) in {(t.kind, t.step, t.move) for t in removal.troubles}


def test_a_rapid_past_the_axis_meets_the_far_side() -> None:
    """A bar driven too low inside the bore touches the wall on the other side of the axis."""
    part, plan = bored()
    removal = verify(part, changed(plan, 1, 50, lambda one: with_move(one, 8, r=0.5)))
    assert ("holder contact", 50, 8) in {(t.kind, t.step, t.move) for t in removal.troubles}


def test_a_threading_tool_leaves_through_its_own_groove() -> None:
    """Without a relief behind it, the way straight out of the thread is no contact for the tool itself."""
    part, plan = threaded()

    def short(one):  # type: ignore[no-untyped-def]
        moves = tuple(replace(m, z=-15.0) if m.z == -22.5 else m for m in one.moves)
        return replace(one, moves=moves)

    troubles = verify(part, changed(plan, 1, 50, short)).troubles
    assert {t.kind for t in troubles} == {"thread"}  # cut only to z -15: named, but no contact


@pytest.mark.parametrize(
    ("low", "high", "passes"), [(-20.0, -16.5, True), (-20.0, -14.0, False), (-16.0, -12.0, False)]
)
def test_a_thread_may_be_short_where_the_plan_says_so(low: float, high: float, passes: bool) -> None:
    """Up to 3 pitches at an end of the zone, with a finding; not more, and not in the middle."""
    part, plan = threaded()
    end = high - 0.1 if passes else -15.0

    def stopping(one: Step) -> Step:
        return replace(one, moves=tuple(replace(m, z=end) if m.z == -22.5 else m for m in one.moves))

    short = ShortThread(feature="F1", z_low=low, z_high=high)
    said = replace(changed(plan, 1, 50, stopping), short_threads=(short,), findings=(SAID,))
    assert verify(part, said).ok is passes
    assert not verify(part, replace(said, findings=())).ok


def test_other_tools_meet_the_crests_of_a_thread() -> None:
    """A rapid of another tool at the level of the thread's roots is a contact: the teeth stand there."""
    part, plan = threaded()
    through = step(60, "groove", blade(2.0, 12.0, "T2"), rapid(-12.0, 9.5), rapid(-12.0, 20.0))
    one = plan.setups[0]
    removal = verify(
        part, replace(plan, setups=(replace(one, steps=(*one.steps[:-1], through, one.steps[-1])),))
    )
    assert ("rapid contact", 60) in {(t.kind, t.step) for t in removal.troubles}


def test_facing_short_of_the_centre_leaves_a_pip() -> None:
    """A pip of 0.1 radius at the front is left over, 1 mm tall."""
    part, plan = stepped()
    removal = verify(part, changed(plan, 1, 10, lambda one: with_move(with_move(one, 2, r=0.1), 3, r=0.1)))
    assert removal.max_left == pytest.approx(1.0, abs=0.01)


def test_the_outlines_for_the_preview() -> None:
    """One entry a step, in order, outer ring first; the piece is the part."""
    part, plan = stepped()
    removal = verify(part, plan)
    assert [(no, at) for no, at, _ in removal.after] == [(1, 10), (1, 20), (1, 30), (1, 90)]
    ((outer, *holes),) = removal.piece
    assert not holes
    corners = {(round(p.x, 6), round(p.y, 6)) for p in outer}
    assert {tuple(map(float, segment.start)) for segment in part.target.segments} <= corners


def test_facing_alone_says_what_is_missing() -> None:
    """One finding for the left-over, with its volume: the bar less the face less the part."""
    part, plan = stepped()
    one = plan.setups[0]
    removal = verify(part, replace(plan, setups=(replace(one, steps=(face_to_centre(),)),)))
    assert removal.left_mm3 == pytest.approx(math.pi * 256.0 * 100.0 - part.target.volume, rel=1e-9)
    assert [f.code for f in removal.findings] == ["removal/left"]
