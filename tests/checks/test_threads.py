"""Rules about threads. Each with a part that passes and one that does not."""

from __future__ import annotations

import pytest

from tests.checks.kit import FIX, NOTE, SHOP, STOP, C, case_of, found, outcome, severities, without


def screw(
    chamfer: float = 1.5,
    relief: tuple[float, float] | None = (5.0, 16.0),
    thread: str = "M20x1.5",
    z: str = "",
):
    """A shouldered screw: thread diameter from the front to a relief (width, floor diameter) and a head."""
    d = 20.0
    body = [C(-30, d)] if relief is None else [
        C(-30 + relief[0], d), C(-30 + relief[0], relief[1]), C(-30, relief[1]),
    ]  # fmt: skip
    outer = [C(0, 0), C(0, d, chamfer=chamfer), *body, C(-30, 40), C(-60, 40), C(-60, 0)]
    return case_of(outer, threads=(f"{thread}@{z or '0..-30'}",))


def nut(d: float, thread: str, length: float = 20.0, shop=SHOP):
    """A nut with a chamfered bore."""
    outer = [C(0, d, chamfer=2.0), C(0, 60), C(-length, 60), C(-length, d, chamfer=2.0)]
    return case_of(outer, [], threads=(f"{thread}@0..-{length:g}",), shop=shop)


def test_thread_is_there() -> None:
    """The helper really makes a thread with a relief and a chamfer."""
    (thread,) = screw().part.of_kind("thread")
    assert thread.relief and thread.start_chamfer


def test_relief_of_regular_size_passes() -> None:
    """A relief 5 mm wide, below the root: nothing to say."""
    case = screw()
    for check in ("thread-runout", "thread-relief", "thread-start", "thread-length", "thread-standard"):
        assert not found(check, case), check


def test_thread_against_a_shoulder_is_to_fix() -> None:
    """No relief and no length to run out: the last turns can't be full."""
    result = outcome("thread-runout", screw(relief=None))
    (finding,) = result.findings
    assert finding.severity is FIX
    assert finding.measured == pytest.approx(0.0)
    # Short run-out x2 of a 1.5 mm pitch: 1.9 mm in GB/T 3 (TS24, copied), the same value in DIN 76-1.
    assert finding.limit == pytest.approx(1.9)


def test_thread_that_ends_before_the_shoulder_passes() -> None:
    """The full thread ends 6 mm before the shoulder: room to run out."""
    assert not found("thread-runout", screw(relief=None, z="0..-24"))


def test_thread_runout_is_skipped_without_threads() -> None:
    """The rule says that it does not apply."""
    result = outcome("thread-runout", case_of([C(0, 0), C(0, 20), C(-30, 20), C(-30, 0)]))
    assert result.outcome.value == "skip" and "no thread" in result.reason


def test_relief_above_the_root_is_to_fix() -> None:
    """A floor of 18.4 mm lies above the root d3 = 20 - 1.2269 x 1.5 = 18.16 mm (formula from memory)."""
    result = outcome("thread-relief", screw(relief=(4.0, 18.4)))
    (finding,) = result.findings
    assert finding.severity is FIX
    assert finding.limit == pytest.approx(18.16, abs=0.01)


def test_narrow_relief_is_to_fix() -> None:
    """2 mm is less than 2.2 pitches of 1.5 mm."""
    result = outcome("thread-relief", screw(relief=(2.0, 16.0)))
    assert [finding.severity for finding in result.findings] == [FIX]
    assert result.findings[0].limit == pytest.approx(3.3)


def test_sharp_start_is_to_fix() -> None:
    """Without a chamfer at the start."""
    assert severities("thread-start", screw(chamfer=0.0)) == [FIX]


def test_shallow_start_is_noted() -> None:
    """A chamfer of 0.3 mm does not reach the root 0.92 mm down."""
    result = outcome("thread-start", screw(chamfer=0.3))
    (finding,) = result.findings
    assert finding.severity is NOTE and finding.limit == pytest.approx(0.915)


def test_start_is_the_open_end_whichever_it_is() -> None:
    """A screw drawn with its head in front starts its thread at the back."""
    outer = [
        C(0, 0),
        C(0, 40),
        C(-20, 40),
        C(-20, 16),
        C(-25, 16),
        C(-25, 20),
        C(-50, 20, chamfer=1.5),
        C(-50, 0),
    ]
    blunt = [C(0, 0), C(0, 40), C(-20, 40), C(-20, 16), C(-25, 16), C(-25, 20), C(-50, 20), C(-50, 0)]
    assert not found("thread-start", case_of(outer, threads=("M20x1.5@-25..-50",)))
    assert severities("thread-start", case_of(blunt, threads=("M20x1.5@-25..-50",))) == [FIX]


def test_a_slope_up_from_a_thinner_neck_leads_in() -> None:
    """A pilot of 16 mm and 45 degrees up to the thread: nothing is sharp there; square up it is."""
    slope = [C(0, 0), C(0, 16), C(-10, 16), C(-12, 20), C(-40, 20), C(-40, 16), C(-45, 16), C(-45, 30)]
    square = [C(-10, 20) if c == C(-12, 20) else c for c in slope]
    slope, square = ([*outer, C(-60, 30), C(-60, 0)] for outer in (slope, square))
    assert not found("thread-start", case_of(slope, threads=("M20x1.5@-12..-40",)))
    assert severities("thread-start", case_of(square, threads=("M20x1.5@-10..-40",))) == [FIX]


def test_short_thread_is_noted() -> None:
    """Less than three turns hardly hold."""
    assert severities("thread-length", screw(z="0..-4")) == [NOTE]


def test_long_inside_thread_is_noted() -> None:
    """More than two diameters inside do not hold better (S77)."""
    assert severities("thread-length", nut(18.4, "M20x1.5", 50.0)) == [NOTE]
    assert not found("thread-length", nut(18.4, "M20x1.5", 30.0))


def test_pitch_outside_the_list_is_to_fix() -> None:
    """M20 x 1.75 is in no list; the nearest sizes are named."""
    result = outcome("thread-standard", screw(thread="M20x1.75"))
    (finding,) = result.findings
    assert finding.severity is FIX and finding.hint.startswith("Nearest: M20")


def test_outside_thread_with_a_tool_passes() -> None:
    """M20x1.5 has a tool."""
    assert not found("thread-tool", screw())


def test_thread_without_any_tool_stops() -> None:
    """A crib without threading tools can't make it."""
    case = screw()
    bare = case_of([C(0, 0), C(0, 20, chamfer=1.5), C(-40, 20), C(-40, 0)], threads=("M20x1.5@0..-20",),
                   shop=without(SHOP, "threading"))  # fmt: skip
    assert severities("thread-tool", bare) == [STOP]
    assert not found("thread-tool", case)


def test_small_inside_thread_is_tapped() -> None:
    """M6 inside: no bar gets in, but there is a tap."""
    assert not found("thread-tool", nut(5.0, "M6"))


def test_inside_thread_that_nothing_cuts_stops() -> None:
    """M4x0.5 inside: no bar gets into 3.5 mm and the crib has no such tap."""
    result = outcome("thread-tool", nut(3.459, "M4x0.5"))
    (finding,) = result.findings
    assert finding.severity is STOP and "minor diameter is 3.459 mm" in finding.text


def test_inside_thread_that_a_bar_reaches_passes() -> None:
    """M30x1.5 inside, 20 mm long."""
    assert not found("thread-tool", nut(28.376, "M30x1.5"))
