"""What a section can't show of threads and knurls: lead, hand, starts, and whether a wheel came at all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from dxf2turn.features.model import Knurl, Thread, TurnedPart
from dxf2turn.geometry.point import Point
from dxf2turn.planning.model import Move, MoveKind, Plan, Setup, Step
from dxf2turn.removal.body import Frame, frame_of
from dxf2turn.removal.model import Trouble
from dxf2turn.removal.tolerances import LEAD, START_SHARE, THREAD_DEPTH


@dataclass(frozen=True, slots=True)
class Turn:
    """One thread move: before it the tool stood at `start`, part coordinates; index of the move."""

    setup: Setup
    step: Step
    index: int
    before: Move
    move: Move
    start: Point
    end: Point

    def overlap(self, thread: Thread) -> float:
        """Length along z that move and thread share, mm."""
        low, high = sorted((self.start.x, self.end.x))
        return min(high, thread.z_front) - max(low, thread.z_back)

    @property
    def hand(self) -> str | None:
        """Of the thread that this pass cuts; None for the second of two moves, where a tap comes back, say.

        A right-hand thread comes about where the spindle turns forward (M03, ISO 6983) and the tool goes
        towards the chuck, a left-hand one where one of both is the other way round.
        """
        if self.step.spindle is None or self.before.kind is MoveKind.THREAD:
            return None
        forward = self.step.spindle.direction == "M03"
        return "right" if forward == (self.move.z < self.before.z) else "left"

    def trouble(self, text: str) -> Trouble:
        return Trouble(
            kind="thread", setup=self.setup.no, step=self.step.no, move=self.index, at=self.move.end,
            size=self.move.lead or 0.0, text=text,
        )  # fmt: skip


def pitch_troubles(part: TurnedPart, plan: Plan) -> Iterator[Trouble]:
    """Thread moves with a lead or a hand that no thread there has, and threads with too few starts."""
    threads = [f for f in part.of_kind("thread") if isinstance(f, Thread)]
    turns = tuple(_turns(part, plan))
    for turn in turns:
        near = [t for t in threads if turn.overlap(t) > 0.0]
        if near and all(abs((turn.move.lead or 0.0) - t.pitch * t.starts) > LEAD for t in near):
            wanted = " or ".join(f"{t.pitch * t.starts:g}" for t in near)
            text = f"has the lead {turn.move.lead or 0.0:g} mm; {near[0].designation} has {wanted} mm"
            yield turn.trouble(text)
        if near and turn.hand is not None and all(t.hand != turn.hand for t in near):
            text = f"cuts a {turn.hand}-hand thread; {near[0].designation} is {near[0].hand}-hand"
            yield turn.trouble(text)
    for thread in threads:
        yield from _start_troubles(thread, turns)


def _turns(part: TurnedPart, plan: Plan) -> Iterator[Turn]:
    for setup in plan.setups:
        frame = frame_of(part, setup.flipped)
        for step in setup.steps:
            for index, (before, move) in enumerate(pairwise(step.moves), start=1):
                if move.kind is MoveKind.THREAD:
                    ends = (frame.point_on_part(m.end) for m in (before, move))
                    yield Turn(setup, step, index, before, move, *ends)


def _start_troubles(thread: Thread, turns: tuple[Turn, ...]) -> Iterator[Trouble]:
    """Of several starts each has its own place along the lead; only the deepest passes count."""
    lead = thread.pitch * thread.starts
    mine = [t for t in turns if t.before.kind is not MoveKind.THREAD and t.overlap(thread) > 0.0]
    mine = [t for t in mine if abs((t.move.lead or 0.0) - lead) <= LEAD]
    if thread.starts < 2 or thread.taper != 0.0 or not mine:
        return
    deep = (max if thread.side == "inside" else min)(t.start.y for t in mine)
    grid = START_SHARE * thread.pitch
    places = {
        round((t.start.x - mine[0].start.x) / grid) % round(lead / grid)
        for t in mine
        if abs(t.start.y - deep) <= THREAD_DEPTH
    }
    if len(places) != thread.starts:
        yield mine[-1].trouble(f"leaves {thread.designation} with {len(places)} of {thread.starts} starts")


def missing_knurls(part: TurnedPart, plan: Plan) -> Iterator[Trouble]:
    """Knurls that no step with a wheel comes to."""
    if not plan.setups:
        return
    for knurl in (f for f in part.of_kind("knurl") if isinstance(f, Knurl)):
        if not any(_presses(knurl, step, frame_of(part, s.flipped)) for s in plan.setups for step in s.steps):
            last = plan.setups[-1]
            at = frame_of(part, last.flipped).point_in_setup(Point(knurl.z_back, knurl.r_large))
            text = f"knurl {knurl.id} is not made: no step presses it"
            yield Trouble(kind="knurl", setup=last.no, step=0, move=0, at=at, size=knurl.pitch, text=text)


def _presses(knurl: Knurl, step: Step, frame: Frame) -> bool:
    """Whether a step with a wheel feeds down to the knurl's surface within its length."""
    if step.operation != "knurl":
        return False
    places = (frame.point_on_part(m.end) for m in step.moves if m.kind is MoveKind.FEED)
    reach = knurl.r_large + THREAD_DEPTH
    slack = knurl.z_front - knurl.z_back
    return any(p.y <= reach and knurl.z_back - slack <= p.x <= knurl.z_front + slack for p in places)
