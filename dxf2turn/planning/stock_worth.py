"""Whether other stock is worth working out: what it may save against a way that is known.

Judged from the steps of that way. What can't be told cheaply is left out, so that the answer is yes rather
too often; then the way is worked out whole, and only its own time counts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from dxf2turn.planning.bench import Bench
from dxf2turn.planning.model import Step
from dxf2turn.planning.rest import bore_region
from dxf2turn.planning.stock import Stock, is_sawn
from dxf2turn.planning.times import SECONDS, spindle_rpm
from dxf2turn.shop.model import Machine

HOLES = ("centre drill", "drill")


def saved_by_tube(benches: Sequence[Bench], bar: Stock, tube: Stock) -> float:
    """Seconds that a tube saves about, against a way from bar: no drilling, less boring and facing; more to
    turn off where it is thicker."""
    machine = benches[0].cell.machine
    steps = [step for bench in benches for step in bench.steps]
    drilled = sum(_busy(step, machine) for step in steps if step.operation in HOLES)
    boring = sum(step.cut_time_s for step in steps if step.operation == "bore")
    facing = sum(step.cut_time_s for step in steps if step.operation == "face")
    open_already = (tube.bore / bar.diameter) ** 2
    less = drilled + boring * _less_to_bore(benches, tube) + facing * open_already
    return less - _more_to_turn(benches, bar, tube)


def _busy(step: Step, machine: Machine) -> float:
    """A step with its change of tool, s."""
    return step.cut_time_s + step.rapid_time_s + machine.tool_change_s


def _less_to_bore(benches: Sequence[Bench], tube: Stock) -> float:
    """Share of the boring after the drill that the bore of a tube saves; negative where it is more."""
    part = benches[0].clamping.part
    region = bore_region(part)
    volume = 2.0 * region.centroid.y * region.area  # over pi, by Pappus
    from_drill = volume - part.length * _drilled_radius(benches) ** 2
    from_tube = volume - part.length * (0.5 * tube.bore) ** 2
    return 1.0 - from_tube / from_drill if from_drill > 0.0 else 0.0


def _drilled_radius(benches: Sequence[Bench]) -> float:
    drills = (
        s.tool.diameter_mm or 0.0 for b in benches for s in b.steps if s.operation == "drill" and s.tool
    )
    return 0.5 * max(drills, default=0.0)


def _more_to_turn(benches: Sequence[Bench], bar: Stock, tube: Stock) -> float:
    """Time for what a tube is thicker than a bar, as one of the way's own roughing steps takes it off, s."""
    rough = next((s for b in benches for s in b.steps if s.operation == "rough turn" and s.spindle), None)
    more = tube.radius - bar.radius
    if rough is None or rough.spindle is None or rough.depth <= 0.0 or rough.feed <= 0.0:
        return 0.0
    length = benches[0].clamping.part.length
    return SECONDS * more / rough.depth * length / (rough.feed * spindle_rpm(rough.spindle, tube.radius))


def saved_by_blank(benches: Sequence[Bench], bar: Stock) -> float:
    """Seconds that a sawn blank saves at most against a way from bar: parting off, and what blades do in one
    setup beside grooves; it costs the loading, and the turning over where one setup did."""
    cell = benches[0].cell
    steps = [step for bench in benches for step in bench.steps]
    saved = sum(_busy(step, cell.machine) for step in steps if step.operation == "part off")
    if not saved:
        return -math.inf
    costs = 0.0 if is_sawn(bar, cell.machine) else cell.practice.stock.load_s
    if len({bench.clamping.part.flipped for bench in benches}) == 1:
        saved += sum(step.cut_time_s for step in steps if step.operation == "groove")
        costs += cell.practice.holding.turn_over_s
    return saved - costs
