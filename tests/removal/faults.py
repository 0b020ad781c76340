"""Faults put on purpose into the hand-made plans: what is spoiled, and what must be named."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from dxf2turn.features.model import TurnedPart
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.planning.model import MoveKind, Plan, Step
from dxf2turn.shop.model import Tool
from tests.removal.kit import (
    bar,
    blade,
    boring_bar,
    changed,
    drill,
    jaws,
    jaws_in_bore,
    lines,
    points,
    rapid,
    with_move,
)
from tests.removal.plans import GOOD, part_off


@dataclass(frozen=True)
class Fault:
    """kind, setup and step are what the check must name; step 0 is the setup as a whole; None: left-over."""

    name: str
    base: str
    spoil: Callable[[Plan], Plan]
    kind: str
    setup: int | None = 1
    step: int | None = None

    def plan(self) -> tuple[TurnedPart, Plan]:
        part, plan = GOOD[self.base]()
        return part, self.spoil(plan)


def at(setup: int, step: int, change: Callable[[Step], Step | None]) -> Callable[[Plan], Plan]:
    return lambda plan: changed(plan, setup, step, change)


def move(index: int, **new: object) -> Callable[[Step], Step]:
    return lambda one: with_move(one, index, **new)


def using(tool: Tool) -> Callable[[Step], Step]:
    return lambda one: replace(one, tool=tool)


def held_by(*holder: tuple[Point, ...]) -> Callable[[Step], Step]:
    return lambda one: replace(one, tool=replace(one.tool, holder=holder))


def shifted(dz: float, dr: float) -> Callable[[Step], Step]:
    """All moves but the first and the last shifted."""

    def change(one: Step) -> Step:
        inner = (
            replace(m, z=m.z + dz, r=m.r + dr, centre=m.centre and m.centre + Vector(dz, dr))
            for m in one.moves[1:-1]
        )
        return replace(one, moves=(one.moves[0], *inner, one.moves[-1]))

    return change


def setup(no: int, **new: object) -> Callable[[Plan], Plan]:
    return lambda plan: replace(
        plan, setups=tuple(replace(s, **new) if s.no == no else s for s in plan.setups)
    )


def in_bore(front: float, radius: float, behind: float = -32.0) -> Callable[[Plan], Plan]:
    """The jaws of the second setup in the bore, other than they should be."""
    return setup(2, jaws=jaws_in_bore(front, radius, behind))


def parted_early(plan: Plan) -> Plan:
    """The part comes off before its groove is cut."""
    one = plan.setups[0]
    order = (*one.steps[:-2], one.steps[-1], one.steps[-2])
    return replace(plan, setups=(replace(one, steps=order),))


def straight_home(one: Step) -> Step:
    """The last way up out of the groove is left out: the blade leaves slantwise."""
    return replace(one, moves=(*one.moves[:-2], one.moves[-1]))


def with_lead(lead: float) -> Callable[[Step], Step]:
    """All thread moves with this lead."""
    return lambda one: replace(
        one, moves=tuple(replace(m, lead=lead) if m.kind is MoveKind.THREAD else m for m in one.moves)
    )


def backwards(one: Step) -> Step:
    """The spindle turned round."""
    assert one.spindle is not None
    return replace(one, spindle=replace(one.spindle, direction="M04"))


def gone(one: Step) -> None:
    return None


FAT_SUPPORT = points((-0.3, 4.0), (2.3, 4.0), (2.3, 20.0), (-0.3, 20.0))
NEAR_SHANK = points((0.5, 4.0), (20.0, 4.0), (20.0, 60.0), (-1.0, 60.0), (-1.0, 4.2))
SHORT_BAR = lines((1.0, 0.0), (1.0, 14.9), (-100.0, 14.9), (-100.0, 0.0))
LESS_STOCK = lines((0.5, 0), (0.5, 15.5), (-16, 15.5), (-16, 15), (-30, 15), (-30, 8), (-50, 8), (-50, 0))

FAULTS = (
    Fault("a finishing move 0.05 too deep", "stepped", at(1, 30, move(3, r=9.95)), "gouge", 1, 30),
    Fault("a finishing move 0.05 too far", "stepped", at(1, 30, move(3, z=-25.05)), "gouge", 1, 30),
    Fault("a finishing move 0.05 too high", "stepped", at(1, 30, move(3, r=10.05)), "left"),
    Fault("a whole step shifted by 0.05", "stepped", at(1, 30, shifted(-0.05, 0.0)), "gouge", 1, 30),
    Fault("a chamfer 0.005 too deep", "stepped", at(1, 30, move(1, z=0.99)), "gouge", 1, 30),
    Fault("a facing move 0.05 past the front", "stepped", at(1, 10, shifted(-0.05, 0.0)), "gouge", 1, 10),
    Fault("a rapid through a shoulder", "stepped", at(1, 20, move(4, r=14.0)), "rapid contact", 1, 20),
    Fault("a feed made a rapid", "stepped", at(1, 20, move(2, kind=MoveKind.RAPID)), "rapid contact", 1, 20),
    Fault("a rapid down to the bar", "stepped", at(1, 10, move(1, r=15.9)), "rapid contact", 1, 10),
    Fault("a roughing step missing", "stepped", at(1, 30, gone), "left"),
    Fault("parting off missing", "stepped", at(1, 90, gone), "left"),
    Fault("parting off not to the centre", "stepped", at(1, 90, move(2, r=0.1)), "left"),
    Fault("parting off too near", "stepped", at(1, 90, lambda _: part_off(-39.9, 16.0)), "gouge", 1, 90),
    Fault("jaws in the way", "stepped", setup(1, jaws=jaws(-43.0, 16.0)), "jaw contact", 1, 20),
    Fault("jaws that stand in the bar", "stepped", setup(1, jaws=jaws(-46.0, 15.9)), "grip", 1, 0),
    Fault("jaws beside the bar", "stepped", setup(1, jaws=jaws(-60.0, 16.1)), "grip", 1, 0),
    Fault("jaws too far back", "two sided", setup(2, grip_length=18.0, jaws=jaws(-45.0, 8.0)), "grip", 2, 0),
    Fault("jaws in the wall of the bore", "held in bore", in_bore(-12.0, 10.05), "grip", 2, 0),
    Fault("jaws not opened", "held in bore", in_bore(-12.0, 9.95), "grip", 2, 0),
    Fault("jaws not far enough in the bore", "held in bore", in_bore(-20.0, 10.0), "grip", 2, 0),
    Fault("a block that the part stands in", "held in bore", in_bore(-12.0, 10.0, -29.5), "grip", 2, 0),
    Fault("a bore left too small", "held in bore", at(1, 40, shifted(0.0, -0.1)), "grip", 2, 0),
    Fault("a bar into jaws in the bore", "held in bore", at(2, 20, move(2, z=-12.5)), "jaw contact", 2, 20),
    Fault("jaws out of the bore", "held in bore", in_bore(1.0, 10.0), "jaw contact", 2, 10),
    Fault("a bar too thin", "stepped", setup(1, stock=SHORT_BAR), "stock", 1, 0),
    Fault("a bar without room to face", "stepped", setup(1, stock=bar(16.0, -0.1)), "stock", 1, 0),
    Fault("a holder too near", "stepped", at(1, 30, held_by(NEAR_SHANK)), "holder contact", 1, 30),
    Fault("a step that ends elsewhere", "stepped", at(1, 30, move(-1, r=50.0)), "path", 1, 30),
    Fault("a tool change in the stock", "stepped", setup(1, tool_change=Point(0.5, 5.0)), "path", 1, 10),
    Fault("a blade too wide", "grooved", at(1, 40, using(blade(3.1, 12.0, "T2"))), "gouge", 1, 40),
    Fault("a blade too narrow", "grooved", at(1, 40, using(blade(1.9, 12.0, "T2"))), "left"),
    Fault("a blade too short", "grooved", at(1, 40, using(blade(2.0, 1.8, "T2"))), "holder contact", 1, 40),
    Fault("a support too wide", "grooved", at(1, 90, held_by(FAT_SUPPORT)), "holder contact", 1, 90),
    Fault("a groove left slantwise", "grooved", at(1, 40, straight_home), "rapid contact", 1, 40),
    Fault("a groove through to the centre", "grooved", at(1, 40, move(6, r=-0.1)), "cut loose", 1, 40),
    Fault("parted off before the groove", "grooved", parted_early, "left"),
    Fault("a drill 0.05 too deep", "drilled", at(1, 40, shifted(-0.05, 0.0)), "gouge", 1, 40),
    Fault("a drill 0.1 too big", "drilled", at(1, 40, using(drill(10.1))), "gouge", 1, 40),
    Fault("a drill too short", "drilled", at(1, 40, using(drill(10.0, 18.0))), "holder contact", 1, 40),
    Fault("a rapid into the uncut hole", "drilled", at(1, 40, move(4, z=-15.0)), "rapid contact", 1, 40),
    Fault("a boring bar too thick", "bored", at(1, 50, using(boring_bar(7.5))), "holder contact", 1, 50),
    Fault("a bore 0.05 too big", "bored", at(1, 50, move(5, r=10.05)), "gouge", 1, 50),
    Fault("a retract through the bore's wall", "bored", at(1, 50, move(8, r=11.0)), "rapid contact", 1, 50),
    Fault("the bore missing", "bored", at(1, 50, gone), "left"),
    Fault("a wrong flip", "two sided", setup(2, flipped=False), "stock", 2, 0),
    Fault("a stated stock too small", "two sided", setup(2, stock=LESS_STOCK), "stock", 2, 0),
    Fault("faced 0.05 too far after the flip", "two sided", at(2, 10, shifted(-0.05, 0.0)), "gouge", 2, 10),
    Fault("jaws too long flipped", "two sided", setup(2, jaws=jaws(-18.0, 15.0)), "jaw contact", 2, 20),
    Fault("the second end missing", "two sided", at(2, 20, gone), "left"),
    Fault("a thread too deep", "threaded", at(1, 50, move(11, z=-22.5, r=9.03)), "gouge", 1, 50),
    Fault("a thread too shallow", "threaded", at(1, 50, shifted(0.0, 0.06)), "thread", 1, 0),
    Fault("a thread too long", "threaded", at(1, 50, move(-3, z=-28.0)), "gouge", 1, 50),
    Fault("a thread of a wrong lead", "threaded", at(1, 50, with_lead(1.75)), "thread", 1, 50),
    Fault("a thread of the wrong hand", "threaded", at(1, 50, backwards), "thread", 1, 50),
    Fault("a thread missing", "threaded", at(1, 50, gone), "thread", 1, 0),
    Fault("an arc the wrong way round", "rounded", at(1, 30, move(3, clockwise=True)), "gouge", 1, 30),
    Fault("an arc with two radii", "rounded", at(1, 30, move(3, centre=Point(-12.1, 0.0))), "path", 1, 30),
    Fault("an arc shifted by 0.01", "rounded", at(1, 30, shifted(0.0, -0.01)), "gouge", 1, 30),
    Fault("a rapid at the level of the shoulder", "stepped", at(1, 30, lambda one: replace(
        one, moves=(*one.moves[:3], rapid(-25.0, 10.0), *one.moves[4:]))), "rapid contact", 1, 30),
)  # fmt: skip
