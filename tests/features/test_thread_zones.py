"""Threads on the part: which diameter a designation means, what is filled in, what is said."""

from __future__ import annotations

import math

import pytest

from dxf2turn.contour.model import ThinLine
from dxf2turn.errors import BadOptions
from dxf2turn.features.model import Thread, TurnedPart
from dxf2turn.findings import Finding
from dxf2turn.geometry.path import is_closed
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line
from tests.features.shapes import C, dimension, note, recognised

STUD = [
    C(0, 0), C(0, 20, chamfer=1.5), C(-24, 20), C(-25, 17.7), C(-28, 17.7, radius=0.8), C(-28, 30, chamfer=1),
    C(-50, 30), C(-50, 24), C(-80, 24, chamfer=1), C(-80, 0),
]  # fmt: skip
NUT = [C(0, 18.376, chamfer=1), C(0, 40), C(-30, 40), C(-30, 18.376, chamfer=1)]


def thread(part: TurnedPart) -> Thread:
    (found,) = part.of_kind("thread")
    assert isinstance(found, Thread)
    return found


def codes(part: TurnedPart) -> list[str]:
    return [finding.code for finding in part.findings]


def thin(z1: float, z2: float, d: float) -> ThinLine:
    return ThinLine(Line(Point(z1, d / 2), Point(z2, d / 2)), "7C", "THIN")


@pytest.mark.parametrize(
    "callout",
    [
        note("M20x1.5 - 6g", (-12, 30), ((-12, 10.0),)),
        note("M20x1.5 - 6g", (-12, 12)),
        note("M20x1.5 - 6g", (-90, -60)),
        dimension("M20x1.5 - 6g", (-10, 10), (-10, -10)),
    ],
    ids=["leader", "text beside", "text anywhere", "dimension"],
)
def test_a_designation_finds_its_diameter(callout) -> None:  # type: ignore[no-untyped-def]
    """By leader, by place, by the diameter alone and by a dimension: the same zone with all its sizes."""
    found = thread(recognised(STUD, None, callout))

    assert (found.z_front, found.z_back, found.segments) == (-1.5, -24, (2,))
    assert (found.designation, found.thread_class, found.pitch) == ("M20x1.5-6g", "6g", 1.5)
    assert found.source == ("dimension" if callout.note.dimension else "text")
    assert found.limits[0] == ("d", pytest.approx(19.732), pytest.approx(19.968))


def test_relief_start_chamfer_and_room_are_filled() -> None:
    """The relief behind, the chamfer ahead; open space ahead, 4 mm of relief behind."""
    part = recognised(STUD, None, note("M20x1.5", (-12, 30), ((-12, 10.0),)))
    found = thread(part)
    by_id = {f.id: f for f in part.features}

    assert by_id[found.relief or ""].purpose == "thread relief"  # type: ignore[attr-defined]
    assert by_id[found.start_chamfer or ""].kind == "chamfer"
    assert (found.run_in, found.run_out, found.entry) == (math.inf, pytest.approx(4.0), "front")


def test_a_class_that_is_assumed_is_said() -> None:
    """No class: 6g outside, 6H inside, with a note."""
    outside = recognised(STUD, None, note("M20x1.5", (-12, 30), ((-12, 10.0),)))
    inside = recognised(NUT, [], note("M20x1.5", (-12, 5), ((-12, 9.2),)))

    assert (thread(outside).thread_class, codes(outside)) == ("6g", ["features/thread-assumed"])
    assert (thread(inside).thread_class, codes(inside)) == ("6H", ["features/thread-assumed"])


def test_crests_go_to_the_middle_of_their_limits() -> None:
    """6g: crest (19.968 + 19.732) / 2 = 19.85; its chamfer keeps 1.5 x 45; the relief stays."""
    part = recognised(STUD, None, note("M20x1.5-6g", (-12, 30), ((-12, 10.0),)))
    points = [(round(s.start.x, 4), round(s.start.y, 4)) for s in part.target.segments]

    assert points[1:5] == [(0, 8.425), (-1.5, 9.925), (-24, 9.925), (-25, 8.85)]


def test_an_inside_thread_bores_to_the_middle_of_d1() -> None:
    """M20x1.5-6H: D1 18.376 to 18.676 (TS03 in docs/tables.md), so 18.526 is bored."""
    part = recognised(NUT, [], note("M20x1.5-6H", (-12, 5), ((-12, 9.2),)))

    assert thread(part).side == "inside"
    assert part.target.segments[-2].start.y == pytest.approx(18.526 / 2, abs=0.0003)


@pytest.mark.parametrize(("drawn", "measured"), [(19.6, 19.6), (16.933, 16.933), (20.5, 20.5)])
def test_a_diameter_near_the_designation_is_used_with_both_values_said(drawn: float, measured: float) -> None:
    """M20 beside 19.6, beside its own root and beside 20.5: a finding, and the thread's size is cut."""
    shaft = [C(0, 0), C(0, drawn), C(-24, drawn), C(-24, 30), C(-50, 30), C(-50, 0)]
    part = recognised(shaft, None, note("M20-6g", (-12, 12), ((-12, drawn / 2),)))

    assert codes(part) == ["features/thread-diameter"]
    assert (part.findings[0].measured, part.findings[0].limit) == (pytest.approx(measured), 20.0)
    assert part.target.segments[1].start.y == pytest.approx(0.5 * 19.7905, abs=1e-3)


def test_a_diameter_far_from_the_designation_gets_no_thread_but_a_finding_with_both_values() -> None:
    """M20 pointing at 24: both values, and the standard sizes near 24."""
    part = recognised([C(0, 0), C(0, 24), C(-24, 24), C(-24, 0)], None, note("M20", (-12, 30), ((-12, 12),)))

    assert part.of_kind("thread") == ()
    assert codes(part) == ["features/thread-unplaced"]
    assert (part.findings[0].measured, part.findings[0].limit) == (24, 20)
    assert "M24" in part.findings[0].hint


def test_a_size_that_is_no_standard_names_the_nearest() -> None:
    """M19 has no pitch in the table: named with its neighbours."""
    part = recognised(STUD, None, note("M19", (-12, 30), ((-12, 10),)))

    assert "M18 and M20" in part.findings[0].hint


def test_several_diameters_that_fit_are_said() -> None:
    """Two 20 mm journals and a text that points at neither: the nearer one, with the other named."""
    shaft = [C(0, 0), C(0, 20), C(-24, 20), C(-24, 30), C(-50, 30), C(-50, 20), C(-80, 20), C(-80, 0)]
    part = recognised(shaft, None, note("M20x1.5-6g", (-70, 14)))
    both = recognised(shaft, None, note("2x M20x1.5-6g", (-70, 14)))

    assert thread(part).z_front == -50
    assert codes(part) == ["features/thread-several"]
    assert len(both.of_kind("thread")) == 2


def test_a_thin_line_bounds_a_thread_and_tells_of_one_without_text() -> None:
    """ISO 6410 root line over part of a cylinder: with a text it is the zone, without one a guess."""
    rod = [C(0, 0), C(0, 12, chamfer=1.2), C(-60, 12), C(-60, 0)]
    named = recognised(rod, None, note("M12-6g", (-5, 14), ((-5, 6),)), thin=(thin(0, -22, 10.1),))
    guessed = recognised(rod, None, thin=(thin(0, -22, 10.1),))

    assert (thread(named).z_front, thread(named).z_back) == (-1.2, -22)
    assert (thread(guessed).designation, thread(guessed).source) == ("M12", "thin line")
    assert codes(guessed) == ["features/thread-guessed"]


def test_a_root_line_that_starts_at_the_chamfers_foot_may_be_far_off() -> None:
    """A line at 0.7 d is no root by itself, but it is where it runs into the foot of the end chamfer."""
    rod = [C(0, 0), C(0, 10, chamfer=1.535), C(-40, 10), C(-40, 0)]
    other = [C(0, 0), C(0, 10), C(-40, 10), C(-40, 0)]
    screw = recognised(rod, None, thin=(thin(0, -25, 6.93),))

    assert (thread(screw).designation, thread(screw).source) == ("M10", "thin line")
    assert recognised(other, None, thin=(thin(0, -25, 6.93),)).of_kind("thread") == ()


def test_a_partial_thread_leaves_the_rest_of_the_cylinder_alone() -> None:
    """The shank stays 12; within one pitch behind the thread the surface comes back to it."""
    rod = [C(0, 0), C(0, 12, chamfer=1.2), C(-60, 12), C(-60, 0)]
    part = recognised(rod, None, note("M12-6g", (-5, 14), ((-5, 6),)), thin=(thin(0, -22, 10.1),))
    points = [(s.start.x, s.start.y) for s in part.target.segments[2:6]]

    crest = 0.5 * 11.8335  # (11.966 + 11.701) / 2, M12-6g as printed by TS07 (docs/tables.md)
    assert points == [pytest.approx(p) for p in ((-1.2, crest), (-22, crest), (-23.75, 6), (-60, 6))]
    assert [f.segments for f in part.of_kind("cylinder")] == [(2, 3), (4,)]  # thread with run-out, shank
    assert is_closed(part.target.segments, 0.0)
    assert len(part.profile.segments) == len(part.target.segments)


def test_the_option_places_a_thread() -> None:
    """`--thread M20x1.5@-5..-20`: no text needed, and the range counts."""
    part = recognised(STUD, threads=("M20x1.5-6g@-5..-20",))
    left = recognised(STUD, threads=("M24x2 LH@-60..-80",))

    assert (thread(part).z_front, thread(part).z_back, thread(part).source) == (-5, -20, "option")
    assert (thread(left).z_front, thread(left).hand) == (-50, "left") or thread(left).z_front == -60


@pytest.mark.parametrize("text", ["thread", "M20x1.5@five", "M20 and M30@-1..-2", "M20@-1"])
def test_a_senseless_option_is_refused(text: str) -> None:
    """What is no designation or no range is a usage error that quotes the text."""
    with pytest.raises(BadOptions, match="--thread"):
        recognised(STUD, threads=(text,))


def test_two_designations_for_one_diameter_are_said() -> None:
    """The first one counts; the same one twice is no contradiction."""
    twice = recognised(STUD, None, *[note("M20x1.5-6g", (-12, 30), ((-12, 10.0),))] * 2)
    other = recognised(
        STUD, None, note("M20x1.5-6g", (-12, 30), ((-12, 10),)), note("M20-6g", (-9, 30), ((-9, 10),))
    )

    assert codes(twice) == []
    assert codes(other) == ["features/thread-twice"]


def test_drawn_teeth_become_a_cylinder_with_a_thread() -> None:
    """Ten sharp 60 degree teeth of pitch 1.5 at 20 mm: taken out, and found as M20x1.5."""
    depth = 2 * 1.5 * math.sqrt(3) / 2
    teeth = [c for i in range(10) for c in (C(-2 - 1.5 * i, 20), C(-2.75 - 1.5 * i, 20 - depth))]
    part = recognised([C(0, 0), C(0, 17), *teeth, C(-17, 20), C(-30, 20), C(-30, 30), C(-40, 30), C(-40, 0)])

    assert (thread(part).z_front, thread(part).z_back, thread(part).designation) == (-2, -17, "M20x1.5")
    assert codes(part)[0] == "features/teeth-drawn"
    assert part.of_kind("groove") == ()
    assert is_closed(part.profile.segments, 0.0)


def test_vee_pulley_grooves_are_not_teeth() -> None:
    """Five 40 degree grooves with lands stay grooves."""
    half = 5 * math.tan(math.radians(20))
    rows = [
        c
        for i in range(5)
        for c in (C(-3 - 6 * i, 60), C(-3 - half - 6 * i, 50), C(-3 - 2 * half - 6 * i, 60))
    ]
    part = recognised([C(0, 0), C(0, 60), *rows, C(-40, 60), C(-40, 0)])

    assert len(part.of_kind("groove")) == 5


def test_a_taper_thread_on_its_cone_and_on_a_cylinder() -> None:
    """1/2 NPT on a 1:16 cone is right; on a cylinder it is said that the drawing shows no cone."""
    front = 0.75843 * 25.4 + 0.8 / 14 * 25.4
    cone = [C(0, 0), C(0, front), C(-20, front + 20 / 16), C(-20, 30), C(-40, 30), C(-40, 0)]
    plain = [C(0, 0), C(0, 21), C(-20, 21), C(-20, 30), C(-40, 30), C(-40, 0)]
    callout = note("1/2-14 NPT", (-10, 20), ((-10, 10.7),))

    assert thread(recognised(cone, None, callout)).taper == 1 / 16
    assert "features/thread-not-tapered" in codes(recognised(plain, None, callout))


def test_a_cone_off_its_gauge_is_said() -> None:
    """1/2 NPT: E0 = 0.75843 in (ASME B1.20.1), its crests 0.8 pitches over it. A cone 0.2 mm thinner is
    0.2 x 16 / 1.814 = 1.8 turns off; half a turn is within the gauge. The chamfer counts to the cone."""
    right = 0.75843 * 25.4 + 0.8 / 14 * 25.4
    callout = note("1/2-14 NPT", (-10, 20), ((-10, 10.7),))

    def found(small: float) -> list[Finding]:
        start = [C(0, 0), C(0, small - 2.7), C(-1.5, small + 1.5 / 16), C(-20, small + 20 / 16)]
        part = recognised([*start, C(-20, 30), C(-40, 30), C(-40, 0)], None, callout)
        return [f for f in part.findings if f.code == "features/thread-off-gauge"]

    assert found(right) == [] == found(right - 0.05)
    (off,) = found(right - 0.2)
    assert off.measured == pytest.approx(1.76, abs=0.02)


def test_two_callouts_for_two_ends_leave_no_question() -> None:
    """M20 beside each journal: each takes its own, and nothing is left open."""
    shaft = [C(0, 0), C(0, 20), C(-24, 20), C(-24, 30), C(-50, 30), C(-50, 20), C(-80, 20), C(-80, 0)]
    part = recognised(shaft, None, note("M20x1.5-6g", (-12, 14)), note("M20x1.5-6g-LH", (-70, 14)))

    assert [f.hand for f in part.of_kind("thread")] == ["right", "left"]  # type: ignore[attr-defined]
    assert codes(part) == []


def test_a_class_in_capitals_on_an_outside_thread_is_said() -> None:
    """6G is a class of inside threads; on a bolt 6g is taken, with a finding."""
    found = recognised(STUD, None, note("M20X1.5-6G", (-12, 12)))

    assert (thread(found).designation, thread(found).thread_class) == ("M20x1.5-6g", "6g")
    assert codes(found) == ["features/thread-class"]


def test_screws_and_holes_off_the_axis_are_no_threads_of_the_part() -> None:
    """A bought screw is not spoken of; 4x M6 is work beyond turning."""
    screw = recognised(STUD, None, note("M8x20 DIN 912", (-12, 30)))
    holes = recognised(STUD, None, note("4x M6", (-12, 30)))

    assert codes(screw) == []
    assert [(f.severity.name, f.code) for f in holes.findings] == [("NOTE", "features/thread-unplaced")]
    assert "beyond turning" in holes.findings[0].text


def test_teeth_drawn_by_eye_are_a_thread_where_one_of_their_pitch_is_called_out() -> None:
    """A zigzag of 78 degrees: vee grooves by itself, the thread M20 (P 2.5, ISO 261) with its designation."""
    teeth = [c for i in range(8) for c in (C(-1.25 - 2.5 * i, 20), C(-2.5 - 2.5 * i, 16.93))]
    rod = [C(0, 0), C(0, 16.93), *teeth, C(-24, 16.93), C(-24, 30), C(-40, 30), C(-40, 0)]
    named, bare = recognised(rod, None, note("M20-6g", (-10, 20))), recognised(rod)

    assert thread(named).designation == "M20-6g"
    assert [g.purpose for g in named.of_kind("groove")] == ["thread relief"]  # type: ignore[attr-defined]
    assert bare.of_kind("thread") == ()


@pytest.mark.parametrize("text", ["MJ10x1.5", "1/2-20 UNJF-3A", "BSW 1/2", 'W 3/4"', "Pg 16", "1/2-14 NPSM"])
def test_families_without_a_table_are_named(text: str) -> None:
    """Whitworth, conduit, aerospace threads: a finding with the words of the drawing, and no thread."""
    part = recognised(
        [C(0, 0), C(0, 12.7), C(-30, 12.7), C(-30, 0)], None, note(text, (-5, 12), ((-5, 6.35),))
    )

    assert part.of_kind("thread") == ()
    assert [f.code for f in part.findings] == ["features/thread-family-unknown"]
    assert text.split()[0].rstrip("-3A") in part.findings[0].text


def test_vee_grooves_of_no_thread_pitch_stay_grooves() -> None:
    """Five vees of 53 degrees and pitch 21.6 on 360 mm: no standard thread has that pitch."""
    places = [-36 - 21.6 * i for i in range(5)]
    vees = [c for z in places for c in (C(z, 360), C(z - 9, 324), C(z - 10.8, 324), C(z - 19.8, 360))]
    part = recognised([C(0, 0), C(0, 360), *vees, C(-200, 360), C(-200, 0)])

    assert len(part.of_kind("groove")) == 5
    assert "features/teeth-drawn" not in codes(part)


@pytest.mark.parametrize("inside", [False, True])
def test_a_thread_that_starts_at_the_back_has_its_chamfer_there(inside: bool) -> None:
    """No relief: the shoulder is in front, so the mating part enters at the back, over the chamfer."""
    if inside:
        outer = [C(0, 10), C(0, 40), C(-40, 40), C(-40, 20.5)]
        part = recognised(outer, [C(-38.94, 18.376), C(-20, 18.376), C(-20, 10)],
                          note("M20x1.5", (-30, 30), ((-30, 9.2),)))  # fmt: skip
    else:
        rod = [C(0, 0), C(0, 30), C(-20, 30), C(-20, 20), C(-40, 20, chamfer=1.2), C(-40, 0)]
        part = recognised(rod, None, note("M20x1.5", (-30, 30), ((-30, 10),)))
    (thread,) = part.of_kind("thread")
    chamfer = next(f for f in part.features if f.id == thread.start_chamfer)  # type: ignore[attr-defined]

    assert thread.entry == "back"  # type: ignore[attr-defined]
    assert chamfer.kind == "chamfer" and chamfer.z_back == -40
