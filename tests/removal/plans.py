"""Small plans made by hand, good as they stand: the fault tests spoil them one move at a time.

Every number is worked out from the sketch in the docstring; nothing comes from the planner. z to the right,
r up, mm, all r are radii.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from dxf2turn.contour.model import Profile
from dxf2turn.features.model import Feature, Thread, TurnedPart
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.planning.model import Move, MoveKind, Plan, Setup, Spindle, Step, Times
from dxf2turn.shop.model import Machine, Material, Tool

HOME = Point(30.0, 60.0)
ORIGIN = Point(0.0, 0.0)
DEG = math.pi / 180.0


# -- moves ---------------------------------------------------------------------------------------------


def rapid(z: float, r: float) -> Move:
    return Move(MoveKind.RAPID, z, r)


def feed(z: float, r: float) -> Move:
    return Move(MoveKind.FEED, z, r, feed=0.2)


def arc(z: float, r: float, centre: tuple[float, float], clockwise: bool) -> Move:
    return Move(MoveKind.ARC, z, r, feed=0.1, centre=Point(*centre), clockwise=clockwise)


def thread(z: float, r: float, lead: float) -> Move:
    return Move(MoveKind.THREAD, z, r, lead=lead)


def trip(*moves: Move) -> tuple[Move, ...]:
    """Moves with the way from and to the tool-change point."""
    return (rapid(*HOME), *moves, rapid(*HOME))


# -- tools ---------------------------------------------------------------------------------------------


def points(*pairs: tuple[float, float]) -> tuple[Point, ...]:
    return tuple(Point(*pair) for pair in pairs)


def tool(id: str, kind: str, outline: Sequence[Point], **more: object) -> Tool:
    outline = tuple(outline)
    common = {"insert": kind, "holder_style": None, "nose_radius": 0.0, "nose_centre": Point(0.0, 0.0)}
    return Tool(id=id, kind=kind, core=outline, outline=outline, **{**common, **more})  # type: ignore[arg-type]


def along(angle: float, length: float, start: Point = ORIGIN) -> Point:
    return Point(start.x + length * math.cos(angle * DEG), start.y + length * math.sin(angle * DEG))


def sharp_insert() -> Tool:
    """An 80 degree rhombus, sharp, approach 95 degrees, cutting towards -z; the shank stands behind it."""
    a, b = along(5.0, 12.0), along(85.0, 12.0)
    outline = (Point(0.0, 0.0), a, Point(a.x + b.x, a.y + b.y), b)
    return tool(
        "T1", "turning", outline, holder=(points((3.0, 9.0), (20.0, 9.0), (20.0, 60.0), (3.0, 60.0)),)
    )


def round_nosed(radius: float, pieces: int = 60) -> Tool:
    """A square-ended tool with both corners of its 2 radius width rounded to a full half circle.

    The controlled point is the imaginary tip: lowest r, least z.
    """
    low = [along(180.0 + 180.0 * i / pieces, radius, Point(radius, radius)) for i in range(pieces + 1)]
    outline = (*low, Point(2.0 * radius, 10.0), Point(0.0, 10.0))
    return tool("T9", "turning", outline, nose_radius=radius, nose_centre=Point(radius, radius))


def blade(width: float = 3.0, reach: float = 20.0, id: str = "T3", kind: str = "parting") -> Tool:
    """A blade, controlled at its left corner; a narrower support above, the block beyond its reach."""
    cut = points((0.0, 0.0), (width, 0.0), (width, 4.0), (0.0, 4.0))
    support = points((0.2, 4.0), (width - 0.2, 4.0), (width - 0.2, reach), (0.2, reach))
    block = points((-4.0, reach), (16.0, reach), (16.0, reach + 30.0), (-4.0, reach + 30.0))
    return tool(id, kind, cut, holder=(support, block), width=width, reach=reach)


def drill(diameter: float, reach: float = 60.0) -> Tool:
    """A 118 degree twist drill on the axis with a thicker socket beyond its reach."""
    radius, point = 0.5 * diameter, 0.5 * diameter / math.tan(59.0 * DEG)
    cut = points((0.0, 0.0), (point, -radius), (reach, -radius), (reach, radius), (point, radius))
    socket = points(
        (reach, -radius - 8.0),
        (reach + 40.0, -radius - 8.0),
        (reach + 40.0, radius + 8.0),
        (reach, radius + 8.0),
    )
    return tool("T4", "drill", cut, holder=(socket,), diameter_mm=diameter, point_angle=118.0 * DEG)


def boring_bar(least: float = 6.0) -> Tool:
    """A bar for bores of at least `least` radius: the tip at its outer edge, the bar towards -r and +z."""
    cut = points((0.0, 0.0), (4.0, -0.5), (4.0, -3.0), (0.2, -3.0))
    bar = points(
        (0.5, -2.0 * least + 0.4), (40.0, -2.0 * least + 0.4), (40.0, -2.0), (4.0, -2.0), (0.5, -3.0)
    )
    return tool("T5", "boring", cut, holder=(bar,), least_bore_mm=2.0 * least)


def thread_insert(pitch: float) -> Tool:
    """A sharp 60 degree point; its flanks reach a pitch up."""
    half = pitch * math.tan(30.0 * DEG)
    cut = points((0.0, 0.0), (half, pitch), (half, pitch + 6.0), (-half, pitch + 6.0), (-half, pitch))
    return tool("T6", "threading", cut, form_angle=60.0 * DEG)


# -- parts, setups, plans ------------------------------------------------------------------------------


def lines(*pairs: tuple[float, float]) -> tuple[Segment, ...]:
    """A closed run of straight pieces."""
    corners = points(*pairs)
    return tuple(Line(a, b) for a, b in zip(corners, (*corners[1:], corners[0])))


def part_of(segments: Sequence[Segment], features: tuple[Feature, ...] = ()) -> TurnedPart:
    profile = Profile(tuple(segments), ("outside",) * len(segments))
    return TurnedPart(profile=profile, target=profile, features=features)


def bar(radius: float, front: float = 1.0, back: float = -100.0) -> tuple[Segment, ...]:
    return lines((front, 0.0), (front, radius), (back, radius), (back, 0.0))


def jaws(front: float, radius: float, height: float = 25.0) -> tuple[tuple[Point, ...], ...]:
    """One jaw from `front` to z -100, standing on `radius`."""
    return (points((front, radius), (front, radius + height), (-100.0, radius + height), (-100.0, radius)),)


def step(no: int, operation: str, used: Tool | None, *moves: Move) -> Step:
    turning = Spindle(mode="rpm", value=500.0, limit_rpm=2000.0, direction="M04")
    return Step(
        no=no, operation=operation, tool=used, side="outside", spindle=turning, feed=0.2, depth=1.0, passes=1,
        features=(), why="worked out by hand", moves=trip(*moves) if moves else (),
    )  # fmt: skip


def setup(no: int, stock: Sequence[Segment], keep_out: tuple[tuple[Point, ...], ...], *steps: Step) -> Setup:
    return Setup(
        no=no, flipped=False, stock=tuple(stock), jaws=keep_out, support="none", tool_change=HOME, steps=steps
    )


def plan_of(*setups: Setup) -> Plan:
    machine = Machine(
        name="bench", power_kw=5.0, efficiency=0.8, min_rpm=50.0, max_rpm=2500.0, torque_points=(),
        rapid_z_mm_per_min=5000.0, rapid_x_mm_per_min=5000.0, feed_max_mm_per_min=2000.0,
        thread_rate_max_mm_per_min=2000.0, acceleration_mm_per_s2=1000.0, max_swing_mm=300.0,
        max_length_mm=500.0, spindle_bore_mm=40.0, jaw_length=30.0, jaw_height=25.0, tool_change_s=5.0,
        stations=8,
    )  # fmt: skip
    material = Material(
        name="steel", group="P", description="", kc11=1700.0, mc=0.25, density=7850.0, youngs_modulus=2.1e5,
        speed_class="steel",
    )  # fmt: skip
    times = Times(cut_s=1.0, rapid_s=1.0, tool_change_s=1.0, total_s=3.0, bound_s=1.0)
    return Plan(machine=machine, material=material, stock_text="bar", setups=setups, times=times)


# -- the plans -----------------------------------------------------------------------------------------


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
    threading = step(50, "thread", thread_insert(1.5), *passes)
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
    "threaded": threaded, "rounded": rounded,
}  # fmt: skip


# -- faults --------------------------------------------------------------------------------------------


def changed(plan: Plan, setup_no: int, step_no: int, change) -> Plan:  # type: ignore[no-untyped-def]
    """The plan with one step replaced by change(step); a step that becomes None is left out."""

    def steps(one: Setup) -> tuple[Step, ...]:
        new = (change(s) if s.no == step_no else s for s in one.steps)
        return tuple(s for s in new if s is not None)

    setups = tuple(replace(s, steps=steps(s)) if s.no == setup_no else s for s in plan.setups)
    return replace(plan, setups=setups)


def with_move(one: Step, index: int, **new: object) -> Step:
    """The step with fields of one move replaced."""
    moves = list(one.moves)
    moves[index] = replace(moves[index], **new)  # type: ignore[arg-type]
    return replace(one, moves=tuple(moves))
