"""Faults put on purpose into the plans of the demo drawings: which step, and how it is spoilt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

from dxf2turn.features.model import TurnedPart
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.planning.model import Move, MoveKind, Plan, Setup, Step
from dxf2turn.shop.load import load_shop
from dxf2turn.shop.model import Tool
from tests.demo_jobs import GOOD, demo_job

Change = Callable[[Step], Step]
BLADES = ("groove", "inside groove", "face groove", "part off")
SPOILT = "T99"  # a tool of its own: other steps keep theirs
CUTS = (MoveKind.FEED, MoveKind.ARC, MoveKind.THREAD)


@dataclass(frozen=True)
class Place:
    """A step of a demo."""

    demo: str
    setup: Setup
    step: Step

    @property
    def part(self) -> TurnedPart:
        part = demo_job(self.demo).part
        assert part is not None
        return part

    @property
    def plan(self) -> Plan:
        plan = demo_job(self.demo).plan
        assert plan is not None
        return plan

    def spoilt(self, change: Change) -> Plan:
        """The plan up to this step, which is changed: what comes later has no say in what it does."""
        upto = tuple(setup for setup in self.plan.setups if setup.no <= self.setup.no)
        steps = (*(s for s in self.setup.steps if s.no < self.step.no), change(self.step))
        return replace(self.plan, setups=(*upto[:-1], replace(self.setup, steps=steps)))


@cache
def longest(operation: str) -> Place:
    """Of all demos the step of a kind that cuts longest; of drills one that makes a hole as drawn."""
    places = (
        Place(name, setup, step)
        for name in GOOD
        if (plan := demo_job(name).plan) is not None
        for setup in plan.setups
        for step in setup.steps
        if step.operation == operation and (operation != "drill" or step.features)
    )
    return max(places, key=lambda place: place.step.cut_time_s)


def shifted(dz: float, dr: float) -> Change:
    """All moves but those from and to the tool-change point."""

    def change(step: Step) -> Step:
        inner = (
            replace(m, z=m.z + dz, r=m.r + dr, centre=m.centre and m.centre + Vector(dz, dr))
            for m in step.moves[1:-1]
        )
        return replace(step, moves=(step.moves[0], *inner, step.moves[-1]))

    return change


def wider(more: float) -> Change:
    """A blade that is wider on the side away from its controlled corner, mm; face blades in r."""

    def change(step: Step) -> Step:
        tool = step.tool
        assert tool is not None
        across = (0.0, 1.0) if step.operation == "face groove" else (1.0, 0.0)
        reach = max(p.x * across[0] + p.y * across[1] for p in tool.outline)

        def grown(p: Point) -> Point:
            far = p.x * across[0] + p.y * across[1] > 0.5 * reach
            return Point(p.x + more * across[0], p.y + more * across[1]) if far else p

        outline = tuple(grown(p) for p in tool.outline)
        return replace(step, tool=replace(tool, id=SPOILT, outline=outline, core=outline))

    return change


def holder_near(step: Step) -> Step:
    """The holder so much nearer that it stands half a millimetre beyond the cutting part."""
    tool = step.tool
    assert tool is not None and tool.holder
    inside = step.side == "inside"
    nearest = min(tool.holder, key=lambda ring: min(p.x for p in ring))  # The bar, not its sleeve.
    own, held = [p.y for p in tool.outline], [p.y for p in nearest]
    dr = max(own) + 0.5 - max(held) if inside else min(own) - 0.5 - min(held)
    holder = tuple(tuple(Point(p.x, p.y + dr) for p in ring) for ring in tool.holder)
    return replace(step, tool=replace(tool, id=SPOILT, holder=holder))


def longest_cut_in_rapid(step: Step) -> Step:
    """The cut that is longest is made as a rapid."""
    lengths = [a.end.distance(b.end) if b.kind in CUTS else 0.0 for a, b in zip(step.moves, step.moves[1:])]
    index = 1 + max(range(len(lengths)), key=lengths.__getitem__)
    place = step.moves[index]
    moves = [*step.moves]
    moves[index] = Move(MoveKind.RAPID, place.z, place.r)
    return replace(step, moves=tuple(moves))


def straight_home(step: Step) -> Step:
    """From the lowest place of a groove, the last one of a bore, straight to the tool-change point."""
    cuts = [i for i, move in enumerate(step.moves) if move.kind in CUTS]

    def rank(i: int) -> float:
        move = step.moves[i]
        if step.operation == "finish bore":
            return move.z
        return -move.r if step.side == "inside" else move.r

    return replace(step, moves=(*step.moves[: min(cuts, key=rank) + 1], step.moves[-1]))


def with_lead(factor: float) -> Change:
    return lambda step: replace(
        step, moves=tuple(replace(m, lead=m.lead and factor * m.lead) for m in step.moves)
    )


def backwards(step: Step) -> Step:
    assert step.spindle is not None
    turned = "M04" if step.spindle.direction == "M03" else "M03"
    return replace(step, spindle=replace(step.spindle, direction=turned))


def other_nose(step: Step) -> Step:
    """The crib's tool of the same shape whose nose differs most, set to the same imaginary tip."""
    tool = step.tool
    assert tool is not None
    alike = (t for t in load_shop(None).tools_of(tool.kind) if _alike(t, tool))
    other = max(alike, key=lambda t: abs(t.nose_radius - tool.nose_radius))
    return replace(step, tool=replace(other, id=SPOILT))


def _alike(one: Tool, other: Tool) -> bool:
    same = (one.hand, one.corner_angle, one.cutting_edge_angle, one.bar_mm)
    return same == (other.hand, other.corner_angle, other.cutting_edge_angle, other.bar_mm)


def near_change(setup: Setup, step: Step) -> tuple[Setup, Step]:
    """The tool-change point a millimetre in front of the face, at half the radius of the stock."""
    front = max(s.start.x for s in setup.stock)
    there = Point(front + 1.0, 0.5 * max(s.start.y for s in setup.stock))
    ends = (replace(step.moves[0], z=there.x, r=there.y), replace(step.moves[-1], z=there.x, r=there.y))
    return replace(setup, tool_change=there), replace(step, moves=(ends[0], *step.moves[1:-1], ends[1]))


def jaws_forward(setup: Setup) -> Setup:
    """The jaws half a millimetre beyond the lowest place that any tool of the setup goes to."""
    front = max(p.x for ring in setup.jaws for p in ring)
    lowest = min(m.z for step in setup.steps for m in step.moves)
    more = lowest + 0.5 - front
    return replace(setup, jaws=tuple(tuple(Point(p.x + more, p.y) for p in ring) for ring in setup.jaws))
