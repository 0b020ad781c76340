"""Small plans made by hand, good as they stand: the fault tests spoil them one move at a time.

Every number is worked out from the sketch in the docstring; nothing comes from the planner. z to the right,
r up, mm, all r are radii.
"""

from __future__ import annotations

import math
from dataclasses import replace

from dxf2turn.features.model import Thread, TurnedPart
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.planning.model import Plan, Step
from tests.removal.kit import (
    DEG,
    arc,
    bar,
    blade,
    boring_bar,
    drill,
    feed,
    jaws,
    jaws_in_bore,
    lines,
    part_of,
    plan_of,
    rapid,
    round_nosed,
    setup,
    sharp_insert,
    step,
    thread,
    thread_insert,
)


def face_to_centre() -> Step:
    return step(10, "face", sharp_insert(), rapid(0.0, 18.0), feed(0.0, -0.2), rapid(2.0, -0.2))


def part_off(z: float, radius: float, to: float = -0.1, no: int = 90) -> Step:
    """Right side of a 3 mm blade at z."""
    left = z - 3.0
    return step(no, "part off", blade(), rapid(left, radius + 2.0), feed(left, to), rapid(left, radius + 2.0))


def rough_and_finish() -> tuple[Step, ...]:
    """The outside of the stepped shaft: radius 10 to z -25 with a 1 mm chamfer, then radius 15."""
    rough = step(
        20, "rough turn", sharp_insert(),
        rapid(2.0, 15.4), feed(-44.0, 15.4), feed(-44.0, 17.0), rapid(2.0, 17.0),
        rapid(2.0, 12.9), feed(-24.8, 12.9), feed(-24.8, 15.9), rapid(2.0, 16.9),
        rapid(2.0, 10.4), feed(-24.8, 10.4), feed(-24.8, 13.4), rapid(2.0, 14.4),
    )  # fmt: skip
    finish = step(
        30, "finish turn", sharp_insert(),
        rapid(1.0, 8.0), feed(-1.0, 10.0), feed(-25.0, 10.0), feed(-25.0, 15.0), feed(-44.0, 15.0),
        feed(-44.0, 17.0),
    )  # fmt: skip
    return rough, finish


def stepped_profile() -> tuple[Segment, ...]:
    return lines((0, 0), (0, 9), (-1, 10), (-25, 10), (-25, 15), (-40, 15), (-40, 0))


def stepped() -> tuple[TurnedPart, Plan]:
    """A shaft of 40: radius 10 to 25, then 15; from bar of radius 16, parted off."""
    steps = (face_to_centre(), *rough_and_finish(), part_off(-40.0, 16.0))
    return part_of(stepped_profile()), plan_of(setup(1, bar(16.0), jaws(-60.0, 16.0), *steps))


def grooved() -> tuple[TurnedPart, Plan]:
    """The stepped shaft with a groove of 3 from z -10 to -13 down to radius 8, cut by a blade of 2."""
    profile = lines(
        (0, 0),
        (0, 9),
        (-1, 10),
        (-10, 10),
        (-10, 8),
        (-13, 8),
        (-13, 10),
        (-25, 10),
        (-25, 15),
        (-40, 15),
        (-40, 0),
    )
    groove = step(
        40, "groove", blade(2.0, 12.0, "T2", "grooving"),
        rapid(-12.5, 12.0), feed(-12.5, 8.2), rapid(-12.5, 12.0), rapid(-12.0, 12.0),
        feed(-12.0, 8.0), feed(-13.0, 8.0), rapid(-13.0, 12.0),
    )  # fmt: skip
    steps = (face_to_centre(), *rough_and_finish(), groove, part_off(-40.0, 16.0))
    return part_of(profile), plan_of(setup(1, bar(16.0), jaws(-60.0, 16.0), *steps))


def outside_only(radius: float, length: float) -> Step:
    return step(
        30, "finish turn", sharp_insert(), rapid(2.0, radius), feed(-length - 4.0, radius),
        feed(-length - 4.0, radius + 3.0),
    )  # fmt: skip


def bored() -> tuple[TurnedPart, Plan]:
    """A bush of radius 15 and 30 long: drilled 12 through, bored to radius 10 down to z -20."""
    profile = lines((0, 10), (0, 15), (-30, 15), (-30, 6), (-20, 6), (-20, 10))
    hole = step(
        40, "drill", drill(12.0), rapid(3.0, 0.0), feed(-20.0, 0.0), rapid(3.0, 0.0), rapid(-19.0, 0.0),
        feed(-38.0, 0.0), rapid(3.0, 0.0),
    )  # fmt: skip
    inside = step(
        50, "bore", boring_bar(),
        rapid(2.0, 8.0), feed(-19.9, 8.0), feed(-19.9, 6.5), rapid(2.0, 6.5),
        rapid(2.0, 10.0), feed(-20.0, 10.0), feed(-20.0, 5.9), rapid(2.0, 5.9),
    )  # fmt: skip
    steps = (face_to_centre(), outside_only(15.0, 30.0), hole, inside, part_off(-30.0, 16.0, to=5.5))
    return part_of(profile), plan_of(setup(1, bar(16.0), jaws(-60.0, 16.0), *steps))


def drilled() -> tuple[TurnedPart, Plan]:
    """A pin of radius 15 and 40 long with a drilled hole of 10, 20 deep, as the drill's point leaves it."""
    tip = -20.0 - 5.0 / math.tan(59.0 * DEG)
    profile = lines((0, 5), (0, 15), (-40, 15), (-40, 0), (tip, 0), (-20, 5))
    hole = step(
        40, "drill", drill(10.0), rapid(3.0, 0.0), feed(tip + 12.0, 0.0), rapid(3.0, 0.0),
        rapid(tip + 13.0, 0.0), feed(tip, 0.0), rapid(3.0, 0.0),
    )  # fmt: skip
    steps = (face_to_centre(), outside_only(15.0, 40.0), hole, part_off(-40.0, 16.0))
    return part_of(profile), plan_of(setup(1, bar(16.0), jaws(-60.0, 16.0), *steps))


def two_sided() -> tuple[TurnedPart, Plan]:
    """A shaft of 50 with a collar of radius 15 from z -20 to -30; radius 8 before, 10 behind it.

    First setup: front and collar, parted off 0.5 too long. Second setup, turned end for end: faced to
    length, the back turned.
    """
    profile = lines((0, 0), (0, 8), (-20, 8), (-20, 15), (-30, 15), (-30, 10), (-50, 10), (-50, 0))
    front = step(
        20, "finish turn", sharp_insert(),
        rapid(2.0, 12.0), feed(-19.9, 12.0), feed(-19.9, 17.0), rapid(2.0, 17.0),
        rapid(2.0, 8.0), feed(-20.0, 8.0), feed(-20.0, 15.0), feed(-34.0, 15.0), feed(-34.0, 17.0),
    )  # fmt: skip
    first = setup(1, bar(16.0), jaws(-70.0, 16.0), face_to_centre(), front, part_off(-50.5, 16.0))
    stock = lines((0.5, 0), (0.5, 16), (-16, 16), (-16, 15), (-30, 15), (-30, 8), (-50, 8), (-50, 0))
    back = step(
        20, "finish turn", sharp_insert(),
        rapid(2.0, 13.0), feed(-19.9, 13.0), feed(-19.9, 17.0), rapid(2.0, 17.0),
        rapid(2.0, 10.0), feed(-20.0, 10.0), feed(-20.0, 17.0),
    )  # fmt: skip
    second = replace(setup(2, stock, jaws(-32.0, 8.0), face_to_centre(), back), flipped=True)
    return part_of(profile), plan_of(first, second)


def held_in_bore() -> tuple[TurnedPart, Plan]:
    """A ring of radius 15 with a bore of radius 10, 30 long; the other end is faced with the bore held.

    First setup: bored through and parted off 0.5 too long. Second setup: jaws in the bore from z -12 to
    behind the part, on a block behind it; faced, and a bar goes into the bore down to 1 before the jaws.
    """
    profile = lines((0, 10), (0, 15), (-30, 15), (-30, 10))
    hole = step(20, "drill", drill(12.0), rapid(3.0, 0.0), feed(-42.0, 0.0), rapid(3.0, 0.0))
    inside = step(
        40, "bore", boring_bar(),
        rapid(2.0, 8.0), feed(-35.0, 8.0), feed(-35.0, 7.5), rapid(2.0, 7.5),
        rapid(2.0, 10.0), feed(-35.0, 10.0), feed(-35.0, 9.5), rapid(2.0, 9.5),
    )  # fmt: skip
    steps = (face_to_centre(), hole, outside_only(15.0, 30.0), inside, part_off(-30.5, 16.0, to=9.5))
    first = setup(1, bar(16.0), jaws(-60.0, 16.0), *steps)
    face = step(10, "face", sharp_insert(), rapid(0.0, 18.0), feed(0.0, 9.0), rapid(2.0, 9.0))
    edge = step(
        20, "bore", boring_bar(), rapid(2.0, 9.5), feed(-11.0, 9.5), feed(-11.0, 9.0), rapid(2.0, 9.0)
    )
    stock = lines((0.5, 10), (0.5, 15), (-30, 15), (-30, 10))
    second = setup(2, stock, jaws_in_bore(-12.0, 10.0), face, edge)
    return part_of(profile), plan_of(first, replace(second, flipped=True, grip_length=18.0, grip_radius=10.0))


ROOT = 10.0 - 0.92


def threaded() -> tuple[TurnedPart, Plan]:
    """A stud: M20x1.5 to z -20, a relief of 4 to radius 8.7 behind it, then radius 15 to z -40."""
    profile = lines(
        (0, 0), (0, 8.5), (-1.5, 10), (-20, 10), (-21.3, 8.7), (-25, 8.7), (-25, 15), (-40, 15), (-40, 0)
    )
    feature = Thread(
        id="F1", side="outside", z_front=-1.5, z_back=-20.0, r_small=ROOT, r_large=10.0, segments=(2,),
        designation="M20x1.5", family="M", major_diameter_mm=20.0, minor_diameter_mm=2.0 * ROOT,
        pitch_diameter_mm=19.026, pitch=1.5, form_angle=60.0 * DEG, cut_from_mm=20.0, cut_to_mm=2.0 * ROOT,
        run_in=4.0, run_out=2.5,
    )  # fmt: skip
    finish = step(
        30, "finish turn", sharp_insert(),
        rapid(1.0, 7.5), feed(-1.5, 10.0), feed(-25.0, 10.0), feed(-25.0, 15.0), feed(-44.0, 15.0),
        feed(-44.0, 17.0),
    )  # fmt: skip
    relief = step(
        40, "groove", blade(2.0, 12.0, "T2", "grooving"),
        rapid(-25.0, 16.0), feed(-25.0, 8.7), feed(-23.3, 8.7), feed(-21.9, 10.1), rapid(-21.9, 16.0),
    )  # fmt: skip
    passes = tuple(
        move
        for depth in (0.4, 0.7, 0.92)
        for move in (
            rapid(4.0, 12.0),
            feed(4.0, 10.0 - depth),
            thread(-22.5, 10.0 - depth, 1.5),
            rapid(-22.5, 12.0),
        )
    )
    threading = replace(step(50, "thread", thread_insert(1.5), *passes), features=("F1",))
    steps = (face_to_centre(), rough_and_finish()[0], finish, relief, threading, part_off(-40.0, 16.0))
    return part_of(profile, (feature,)), plan_of(setup(1, bar(16.0), jaws(-60.0, 16.0), *steps))


def rounded() -> tuple[TurnedPart, Plan]:
    """A knob: quarter of a circle of radius 10 at the front, a fillet of 3 at the collar, round tool of 2."""
    profile = (
        Line(Point(0.0, 0.0), Point(0.0, 2.0)),
        Arc(Point(0.0, 2.0), Point(-10.0, 12.0), Point(-10.0, 2.0), False),
        Line(Point(-10.0, 12.0), Point(-27.0, 12.0)),
        Arc(Point(-27.0, 12.0), Point(-30.0, 15.0), Point(-27.0, 15.0), True),
        Line(Point(-30.0, 15.0), Point(-30.0, 16.0)), Line(Point(-30.0, 16.0), Point(-40.0, 16.0)),
        Line(Point(-40.0, 16.0), Point(-40.0, 0.0)), Line(Point(-40.0, 0.0), Point(0.0, 0.0)),
    )  # fmt: skip
    face = step(10, "face", round_nosed(2.0), rapid(0.0, 20.0), feed(0.0, -2.0), rapid(2.0, -2.0))
    # The nose centre runs on the offset contour; the tip is 2 less in z and in r than the centre.
    finish = step(
        30, "finish turn", round_nosed(2.0),
        rapid(4.0, 0.0), feed(0.0, 0.0), arc(-12.0, 12.0, (-12.0, 0.0), False), feed(-29.0, 12.0),
        arc(-30.0, 13.0, (-29.0, 13.0), True), feed(-30.0, 16.0), feed(-44.0, 16.0), feed(-44.0, 20.0),
    )  # fmt: skip
    steps = (face, finish, part_off(-40.0, 18.0))
    return part_of(profile), plan_of(setup(1, bar(18.0), jaws(-60.0, 18.0), *steps))


GOOD = {
    "stepped": stepped, "grooved": grooved, "bored": bored, "drilled": drilled, "two sided": two_sided,
    "threaded": threaded, "rounded": rounded, "held in bore": held_in_bore,
}  # fmt: skip
