"""Parts that a designer may draw and that once gave no plan, or a bad one: planned, checked and replayed."""

from __future__ import annotations

import io
import json
import math

import ezdxf
import pytest

from dxf2turn import pipeline
from dxf2turn.contour.model import Profile
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc
from dxf2turn.job import Job
from dxf2turn.output import iso6983, json_doc
from dxf2turn.output.model import OutputOptions
from tests.random_parts import Corner, profile_of
from tests.replay import replay

POINT = math.tan(math.radians(59.0))  # half the usual point angle of a drill, 118 degrees


def turned(*corners: tuple[float, float] | Corner, bore: bool = False) -> Profile:
    """A part from corners (z, diameter), front face first; bore: the last side is no axis."""
    made = [c if isinstance(c, Corner) else Corner(c[0], 0.5 * c[1]) for c in corners]
    roles = ["front", *["outside"] * (len(made) - 2), "inside" if bore else "axis"]
    return profile_of([Corner(c.z, c.r, role, c.chamfer, c.radius) for c, role in zip(made, roles)])


def edge(z: float, d: float, chamfer: float = 0.0, radius: float = 0.0) -> Corner:
    """A corner with a chamfer or a round."""
    return Corner(z, 0.5 * d, "outside", chamfer, radius)


def drawing(profile: Profile, note: tuple[str, float, float] | None = None) -> bytes:
    """The upper half as lines and arcs with a centre line; note: a text with its tip (z, diameter)."""
    doc = ezdxf.new("R2010", setup=["linetypes"])
    doc.header["$INSUNITS"] = 4
    space = doc.modelspace()
    for s in profile.segments:
        if isinstance(s, Arc):
            ends = [math.degrees(math.atan2(p.y - s.centre.y, p.x - s.centre.x)) for p in (s.start, s.end)]
            space.add_arc(s.centre, s.radius, *(reversed(ends) if s.clockwise else ends))
        elif max(s.start.y, s.end.y) > 0.0:
            space.add_line(s.start, s.end)
    box = profile.bounds
    space.add_line((box.max_x + 5.0, 0.0), (box.min_x - 5.0, 0.0), dxfattribs={"linetype": "CENTER"})
    if note is not None:
        text, z, d = note
        space.add_leader([(z, 0.5 * d), (z + 8.0, box.max_y + 15.0)])
        space.add_text(text, height=2.5).set_placement((z + 9.0, box.max_y + 14.0))
    stream = io.StringIO()
    doc.write(stream)
    return stream.getvalue().encode()


def planned(profile: Profile, note: tuple[str, float, float] | None = None) -> Job:
    """The whole job; both checks must pass the first plan."""
    job = pipeline.plan(pipeline.read(drawing(profile, note)))
    assert not job.stopped, [(f.code, f.text) for f in job.findings]
    assert job.removal is not None and job.removal.ok
    assert "planning/other-plan" not in codes(job), [f.text for f in job.findings]
    verdict = replay(json.loads(json_doc.render(job, OutputOptions())))
    assert verdict["ok"], (verdict["troubles"][:3], verdict["left"][:3])
    return job


def codes(job: Job) -> set[str]:
    """Codes of all findings."""
    return {finding.code for finding in job.findings}


BALL = Corner(-10.0 - math.sqrt(100.0 - 36.0), 6.0)
PARTS = {
    "flat-bottomed blind bore": turned(
        (-27, 10.2), (0, 10.2), edge(0, 24.2, 1.5), (-12, 24.2), (-12, 28.2), edge(-36, 28.2, 0.5), (-36, 0),
        (-27, 0), bore=True,
    ),
    "shallow recess": turned(
        (-0.6, 28), (0, 28), edge(0, 36, 0.5), edge(-12, 36, radius=1.6), (-12, 0), (-0.6, 0), bore=True
    ),
    "blind hole from the back": turned(
        (0, 0), edge(0, 20, 1.0), (-30, 20), (-30, 8.5), (-14, 8.5), (-14 + 4.25 / POINT, 0)
    ),
    "bores of both ends": turned(
        (0, 26), edge(0, 60, 0.5), edge(-40, 60, 0.5), (-40, 36), (-28, 36), (-28, 10), (-14, 10), (-14, 26),
        bore=True,
    ),
    "disc": turned((0, 0), edge(0, 100, 0.5), edge(-5, 100, 0.5), (-5, 0)),
    "cones to a point at both ends": turned((0, 0), (-22, 12), (-32, 12), (-54, 0)),
    "tiny": turned((0, 0), edge(0, 2, 0.2), (-2, 2), (-2, 3), (-5, 3), (-5, 0)),
    "two collars": turned(
        (0, 0), edge(0, 14, 0.5), (-8, 14), (-8, 26), (-12, 26), (-12, 14), (-22, 14), (-22, 26), (-27, 26),
        (-27, 0),
    ),
    "round edge on a falling cone": turned(  # The edge of its tool space turns past a right angle.
        (0, 0), edge(0, 12, radius=0.3), (-22, 8), (-28, 8), (-28, 12), edge(-40, 12, 0.5), (-40, 0)
    ),
    "sharp vee": turned(  # Blades leave its bottom to a pointed insert.
        (0, 0), edge(0, 30, 1), (-8, 30), (-12.6188, 14), (-17.2376, 30), edge(-26, 30, 0.5), (-26, 0)
    ),
    "thin pin with a broken back edge": turned((0, 0), (0, 2), edge(-10, 2, 0.2), (-10, 0)),
    "bore with the cone of a drill, small hole on": turned(
        (0, 2), (0, 26), edge(-35, 26, 1), (-35, 10), (-18, 10), (-18 + 4 / POINT, 2), bore=True
    ),
    "vee in a rim": turned(
        (0, 0), edge(0, 40, 1), (-6, 40), (-8, 34), (-10, 34), (-12, 40), edge(-20, 40, 1), (-20, 0)
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", PARTS)
def test_a_part_gets_a_plan_that_both_checks_pass(name: str) -> None:
    """Every part gets a plan; it leaves nothing but the round of a nose in corners drawn sharp."""
    job = planned(PARTS[name])
    assert "planning/left-over" not in codes(job)


def test_a_thread_up_to_a_head_stops_short_of_it() -> None:
    """Without relief the tool stops before the head, and a finding says how much thread is not full."""
    screw = turned((0, 0), edge(0, 16, 1.0), (-20, 16), (-20, 24), edge(-28, 24, 1.0), (-28, 0))
    job = planned(screw, ("M16x1.5", -10.0, 16.0))
    short = next(f for f in job.findings if f.code == "planning/thread-short")
    # Half the insert and half a pitch to pull out: less than two pitches, more than half of one.
    assert short.measured is not None and 0.75 < short.measured < 3.0
    assert job.plan is not None
    assert any(s.operation == "thread" for setup in job.plan.setups for s in setup.steps)


def test_a_screw_drawn_head_first_is_turned_from_the_other_end() -> None:
    """A thread whose open end lies at the back is cut in one clamping from there."""
    screw = turned((0, 0), edge(0, 10, 0.5), (-4, 10), (-4, 6), edge(-20, 6, 0.8), (-20, 0))
    job = planned(screw, ("M6", -12.0, 6.0))
    assert job.plan is not None
    assert [setup.flipped for setup in job.plan.setups] == [True]


def test_a_thread_starts_clear_of_a_shoulder_in_front() -> None:
    """In a relief in front of a thread every pass starts where the insert has room, the first ones too."""
    stud = turned(
        (0, 0), edge(0, 16, 0.5), edge(-15, 16, radius=0.3), (-15, 10.12), (-18.75, 10.12), (-18.75, 12),
        edge(-33.15, 12, 0.88), (-33.15, 0),
    )  # fmt: skip
    planned(stud, ("M12x1.25", -25.0, 12.0))


def test_a_small_inside_thread_is_tapped() -> None:
    """No threading bar gets into a hole for M5: a tap cuts it, and the spindle turns back to let it out."""
    nut = turned((0, 4.134), edge(0, 14, 0.5), edge(-10, 14, 0.5), (-10, 4.134), bore=True)
    job = planned(nut, ("M5", -5.0, 4.134))
    assert job.plan is not None
    kinds = [s.tool.kind for setup in job.plan.setups for s in setup.steps if s.tool is not None]
    assert "tap" in kinds
    program = iso6983.render(job, OutputOptions()).splitlines()
    forward, back = (number for number, line in enumerate(program) if " G33 X" in line)
    assert "M04" in program[back - 1] and back == forward + 2


def test_a_plan_that_the_check_refuses_is_replaced(monkeypatch: pytest.MonkeyPatch) -> None:
    """When the removal check refuses the best plan, another one is handed on and a note says why."""
    from dxf2turn import approve
    from dxf2turn.removal.verify import verify

    verdicts = []

    def first_one_refused(part, plan):  # noqa: ANN001, ANN202
        verdict = verify(part, plan)
        verdicts.append(verdict)
        return verdict if len(verdicts) > 1 else approve.replace(verdict, ok=False)

    monkeypatch.setattr(approve, "verify", first_one_refused)
    job = pipeline.plan(pipeline.read(drawing(PARTS["tiny"])))
    assert not job.stopped and len(verdicts) == 2
    assert "planning/other-plan" in codes(job)


def test_the_ball_of_a_handle_is_finished() -> None:
    """A ball end on the axis, smaller behind: made from bar, nothing left."""
    corners = [
        Corner(0.0, 0.0, "front", centre=Point(-10.0, 0.0)), BALL, Corner(-40.0, 6.0), Corner(-40.0, 12.0),
        Corner(-52.0, 12.0, "back"), Corner(-52.0, 0.0, "axis"),
    ]  # fmt: skip
    job = planned(profile_of(corners))
    assert "planning/left-over" not in codes(job)
