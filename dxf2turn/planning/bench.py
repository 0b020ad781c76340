"""Bench: the state of one setup while its steps are planned. Every step makes a new bench."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.features.model import Limits
from dxf2turn.findings import Finding
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import polygon
from dxf2turn.geometry.segment import Segment
from dxf2turn.planning.bound import least_time
from dxf2turn.planning.clamping import Clamping
from dxf2turn.planning.model import Move, ShortThread, Spindle, Step
from dxf2turn.planning.overload import eased
from dxf2turn.planning.rates import within_rates
from dxf2turn.planning.times import cut_time, rapid_time
from dxf2turn.planning.tool_space.sweep import after, areas
from dxf2turn.planning.work import SAGITTA, Work
from dxf2turn.shop.model import Machine, Material, Shop, Tool
from dxf2turn.shop.practice import Practice

FAR = 1e4  # beyond any part, mm


@dataclass(frozen=True, slots=True, eq=False)
class Cell:
    """Where the part is made: the crib, one lathe, one material. A cell is equal to itself only."""

    shop: Shop
    machine: Machine
    material: Material

    @property
    def practice(self) -> Practice:
        """How much is left, pecked and kept clear here."""
        return self.shop.practice

    @property
    def clearance(self) -> float:
        """Of rapids from stock, part and jaws, mm."""
        return self.practice.travel.clearance_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """How a step cuts. feed mm/rev; depth of one pass mm on the radius; why: with sources.

    turns: whether the spindle has the torque for it.
    """

    spindle: Spindle
    feed: float
    depth: float
    why: str
    turns: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """cell, clamping and limits stay; stock, steps, findings and the bound grow. bound_s: see `bound.py`.

    failures: features that could not be made here, with the reason. before: ids that earlier setups worked
    on; finished_before: those that they finished.
    """

    cell: Cell
    clamping: Clamping
    tool_change: Point
    stock: BaseGeometry
    limits: tuple[Limits, ...] = ()
    steps: tuple[Step, ...] = ()
    findings: tuple[Finding, ...] = ()
    bound_s: float = 0.0
    failures: tuple[tuple[str, Finding], ...] = ()
    before: frozenset[str] = frozenset()
    finished_before: frozenset[str] = frozenset()
    short_threads: tuple[ShortThread, ...] = ()

    def work(self, target: tuple[Segment, ...]) -> Work:
        """What an operation sees that must keep out of `target`."""
        return Work(
            target=target,
            part=polygon(target, SAGITTA),
            stock=self.stock,
            keep_out=self.clamping.keep_out,
            tool_change=self.tool_change,
            clearance=self.cell.clearance,
            surface=self.body.boundary,
        )

    @property
    def body(self) -> BaseGeometry:
        """The finished part in setup coordinates."""
        return polygon(self.clamping.part.segments, SAGITTA)

    @property
    def made(self) -> frozenset[str]:
        """Ids of the features that steps so far work on, earlier setups included."""
        return self.before | {id for step in self.steps for id in step.features}

    @property
    def finished(self) -> frozenset[str]:
        """Ids of the features that finishing cuts have made, earlier setups included."""
        done = (step for step in self.steps if step.operation.startswith("finish"))
        return self.finished_before | {id for step in done for id in step.features}

    @property
    def loaded(self) -> Tool | None:
        """The tool of the last step that has one."""
        return next((s.tool for s in reversed(self.steps) if s.tool is not None), None)

    @property
    def busy_s(self) -> float:
        """Cutting and travelling time of all steps so far, s."""
        return sum(step.cut_time_s + step.rapid_time_s for step in self.steps)

    def with_step(self, step: Step, cuts_stock: bool = True) -> Bench:
        """The bench once a step is done: its times filled in, its cuts taken off the stock."""
        assert step.tool is not None and step.spindle is not None
        machine = self.cell.machine
        step = replace(step, moves=within_rates(step.moves, step.spindle, machine))
        step = eased(step, self.stock, machine, self.cell.material)
        timed = replace(
            step,
            cut_time_s=cut_time(step.moves, step.spindle, machine),
            rapid_time_s=rapid_time(step.moves, machine),
        )
        nothing = shapely.Polygon()
        work = Work((), nothing, self.stock, nothing, self.tool_change, self.cell.clearance)
        stock = after(work, step.moves, step.tool).stock if cuts_stock else self.stock
        cut = areas(shapely.difference(self.stock, stock))
        practice, thread = self.cell.practice, self._thread_length(step)
        bound = self.bound_s + least_time(timed, cut, self.body.exterior, practice, thread)
        return replace(self, steps=(*self.steps, timed), stock=stock, bound_s=bound)

    def _thread_length(self, step: Step) -> float:
        """Length of the thread that a step cuts, mm; endless when it cuts none."""
        threads = (f for f in self.clamping.part.features if f.kind == "thread" and f.id in step.features)
        return min((f.z_front - f.z_back for f in threads), default=math.inf)

    def with_stop(self, step: Step) -> Bench:
        """The bench with a step in which no tool moves."""
        return replace(self, steps=(*self.steps, step))

    def with_finding(self, *findings: Finding) -> Bench:
        """The bench with more findings."""
        return replace(self, findings=(*self.findings, *findings))

    def with_failure(self, feature: str, finding: Finding) -> Bench:
        """The bench with a feature that this setup could not make; another setup may."""
        return replace(self, failures=(*self.failures, (feature, finding)))

    def with_short_thread(self, short: ShortThread, finding: Finding) -> Bench:
        """The bench with a thread that is not full all along, and the finding that says so."""
        return replace(self.with_finding(finding), short_threads=(*self.short_threads, short))


def made_step(operation: str, tool: Tool, choice: Choice, moves: tuple[Move, ...], **more: object) -> Step:
    """A step without number; passes default to 1, side to outside, features to none."""
    values: dict = {"side": "outside", "passes": 1, "features": ()} | more
    return Step(
        no=0,
        operation=operation,
        tool=tool,
        spindle=choice.spindle,
        feed=choice.feed,
        depth=choice.depth,
        why=choice.why,
        moves=moves,
        **values,
    )
