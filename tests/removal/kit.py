"""Pieces to make plans of by hand: moves, simple tools, stocks, jaws. z right, r up, mm, all r are radii."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from dxf2turn.contour.model import Profile
from dxf2turn.features.model import Feature, TurnedPart
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line, Segment
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
    """A tool 2 radius wide and 40 long, both ends half circles.

    The controlled point is the imaginary tip: lowest r, least z.
    """
    low, high = Point(radius, radius), Point(radius, 40.0 - radius)
    outline = [along(180.0 + 180.0 * i / pieces, radius, low) for i in range(pieces + 1)]
    outline += [along(180.0 * i / pieces, radius, high) for i in range(pieces + 1)]
    made = tool("T9", "turning", outline, nose_radius=radius, nose_centre=low)
    return replace(made, core=(low, high))


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


def jaws_in_bore(front: float, radius: float, behind: float = -32.0) -> tuple[tuple[Point, ...], ...]:
    """Jaws from `behind` to `front`, opened to `radius`, 6 high, on a block of radius 40 behind them."""
    nose = points((behind, radius - 6.0), (front, radius - 6.0), (front, radius), (behind, radius))
    return nose, points((-100.0, 0.0), (behind, 0.0), (behind, 40.0), (-100.0, 40.0))


def step(no: int, operation: str, used: Tool | None, *moves: Move) -> Step:
    turning = Spindle(mode="rpm", value=500.0, limit_rpm=2000.0, direction="M03")
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
