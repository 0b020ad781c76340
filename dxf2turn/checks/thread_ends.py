"""The two ends of a thread: how far the tool may run beyond it, and what breaks its edge."""

from __future__ import annotations

import math

from dxf2turn.checks.model import Case
from dxf2turn.checks.rays import BACK, FRONT, free_length
from dxf2turn.features.model import Chamfer, EdgeRound, Feature, Taper, Thread
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.options import Tolerances


def rooms(case: Case, thread: Thread) -> tuple[float, float]:
    """Free length before and behind the full thread, mm; infinite in the open."""
    return (
        max(thread.run_in, _beyond(case, thread, FRONT)),
        max(thread.run_out, _beyond(case, thread, BACK)),
    )


def start_break(case: Case, thread: Thread) -> Feature | None:
    """The chamfer or round at the end where the mating part comes on: the larger one of two open ends."""
    front, back = rooms(case, thread)
    if not thread.segments or math.inf not in (front, back):
        return next((f for f in case.part.features if f.id == thread.start_chamfer), None)
    inside = thread.side == "inside"
    ends = []
    if math.isinf(front):
        ends.append(thread.segments[-1] + 1 if inside else thread.segments[0] - 1)
    if math.isinf(back):
        ends.append(thread.segments[0] - 1 if inside else thread.segments[-1] + 1)
    count = len(case.segments)
    around = {index % count for index in ends}
    crest = thread.r_small if inside else thread.r_large
    beside = (f for f in case.part.of_kind("chamfer", "edge_round", "taper") if around & set(f.segments))
    breaks = [f for f in beside if not isinstance(f, Taper) or f.leads_in(crest)]
    return max(breaks, key=radial_size, default=None)


def radial_size(feature: Feature | None) -> float:
    """How far a chamfer, round or cone takes the edge down, on the radius, mm; 0 for anything else."""
    if isinstance(feature, Chamfer):
        return feature.radial
    if isinstance(feature, Taper):
        return feature.r_large - feature.r_small
    return feature.radius if isinstance(feature, EdgeRound) else 0.0


def _beyond(case: Case, thread: Thread, way: Vector) -> float:
    """Free length beyond the full thread just clear of its crest: there the tool leaves turn by turn."""
    off = -Tolerances().gap if thread.side == "inside" else Tolerances().gap
    crest = thread.r_small if thread.side == "inside" else thread.r_large
    middle = 0.5 * (thread.z_front + thread.z_back)
    half = 0.5 * (thread.z_front - thread.z_back)
    return free_length(case.segments, Point(middle, crest + off), way) - half
