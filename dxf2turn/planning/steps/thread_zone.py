"""Where a threading tool stops: in a relief, in the open, or short of a shoulder."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from dxf2turn.features.model import Thread
from dxf2turn.planning.bench import FAR, Bench
from dxf2turn.shop.model import Tool

PULL_OUT = 0.5  # length of the pull-out where there is no relief, pitches
OVER = 1.0  # how far the tip runs past the full thread into a relief or the open, pitches
MARGIN = 0.05  # between the tool and a wall, mm
AHEAD = 40.0  # free length that is looked for in front of a thread before a centre, mm
STEP = 0.05  # how closely the last place before a wall is sought, mm
ROUNDING = 1e-9  # mm
ABOVE_CREST = 0.1  # pitches above the crest that the sides of the profile may pass through
MOST_SHORT = 2.5  # pitches before a shoulder that may stay without full thread
LEAST_FULL = 0.5  # share of the zone that must get its full thread


@dataclass(frozen=True, slots=True)
class Zone:
    """A thread in setup coordinates: crest and root radius at its front, radius gained per mm of z."""

    thread: Thread
    crest: float
    root: float
    slope: float

    @property
    def inside(self) -> bool:
        return self.thread.side == "inside"

    @property
    def depth(self) -> float:
        return abs(self.crest - self.root)

    def rise(self, z: float) -> float:
        """Radius gained from the zone's front to z."""
        return self.slope * (z - self.thread.z_front)


@dataclass(frozen=True, slots=True)
class Stop:
    """z: of the tip at the end of the last pass; pull_out: length along z over which it leaves the thread, 0
    into a relief; short: length at the end of the zone that stays without full thread. All mm."""

    z: float
    pull_out: float = 0.0
    short: float = 0.0


def stop_of(bench: Bench, zone: Zone, tool: Tool) -> Stop | None:
    """Where the tip stops on its way to the chuck; None when too little of the thread would be full.

    It runs past the full thread as far as the walls behind let the tool. At a shoulder the tool stops and
    pulls out before it, and the last turns are not full.
    """
    thread = zone.thread
    over, pull_out, back = OVER * thread.pitch, PULL_OUT * thread.pitch, thread.z_back
    reached = _furthest(bench, zone, tool, over)
    if reached is None:
        return None
    if thread.run_out >= over - 0.2 * STEP and reached <= back - pull_out:
        return Stop(reached)
    if thread.run_out > 0.2 * STEP and reached <= back:
        return Stop(max(reached, back - thread.run_out))
    end = back - pull_out
    out = zone.crest + 2.0 * MARGIN * (-1.0 if zone.inside else 1.0)
    if reached > back or not _free_places(bench, zone, tool)(end, out):
        end = max(reached, back - pull_out)
    return Stop(end, pull_out, max(0.0, end + pull_out - back))


def room_ahead(bench: Bench, zone: Zone, tool: Tool) -> float:
    """Free length in front of the thread for the tip, mm; large in the open, 0 where the tool touches.

    The first passes start further away, as far as the infeed along the flank moves the tip, and further
    starts of the thread a pitch each.
    """
    thread = zone.thread
    if math.isinf(thread.run_in) and bench.clamping.support != "tailstock":
        return FAR
    is_free = _free_places(bench, zone, tool)
    places = np.arange(thread.z_front + min(thread.run_in, AHEAD), thread.z_front, -STEP).tolist()
    first = next((z for z in places if is_free(z, zone.root)), thread.z_front)
    infeed = zone.depth * math.tan(0.5 * thread.form_angle) + thread.pitch * (thread.starts - 1)
    return max(0.0, first - thread.z_front - infeed)


def _furthest(bench: Bench, zone: Zone, tool: Tool, over: float) -> float | None:
    """The place of the tip at the root nearest to the chuck, at most `over` behind the thread."""
    thread, is_free = zone.thread, _free_places(bench, zone, tool)
    short = min(MOST_SHORT * thread.pitch, LEAST_FULL * (thread.z_front - thread.z_back))
    places = np.arange(thread.z_back, thread.z_back + short, STEP).tolist()
    first = next((z for z in places if is_free(z, zone.root)), None)
    if first is None or first > thread.z_back:
        return first
    last = first
    while last - STEP >= thread.z_back - over - ROUNDING and is_free(last - STEP, zone.root):
        last -= STEP
    return last


def _free_places(bench: Bench, zone: Zone, tool: Tool) -> Callable[[float, float], bool]:
    """Whether the tool touches nothing with its tip at z, on a line that has a radius at the zone's front."""
    shapes, solid = _shapes(tool), without_ridges(bench, zone)
    shapely.prepare(solid)

    def is_free(z: float, r: float) -> bool:
        at = r + zone.rise(z)
        return not any(shapely.intersects(solid, translate(shape, z, at)) for shape in shapes)

    return is_free


def _shapes(tool: Tool) -> list[BaseGeometry]:
    return [shapely.Polygon(ring).buffer(MARGIN, join_style="mitre") for ring in (tool.outline, *tool.holder)]


def without_ridges(bench: Bench, zone: Zone) -> BaseGeometry:
    """Part, jaws and centre without the ridges of the thread, less a hair so that flanks may slide.

    Only what lies between root and crest is taken out: a shoulder stands in the way.
    """
    thread = zone.thread
    behind = min(max(thread.run_out, (PULL_OUT + ABOVE_CREST) * thread.pitch), FAR)
    front, back = thread.z_front + min(thread.run_in + thread.pitch, FAR), thread.z_back - behind
    outward = -1.0 if zone.inside else 1.0
    low = zone.root - outward * 2.0 * MARGIN
    high = zone.crest + outward * ABOVE_CREST * thread.pitch
    corners = [(z, r + zone.rise(z)) for z, r in ((front, low), (front, high), (back, high), (back, low))]
    solid = shapely.difference(bench.body, shapely.Polygon(corners))
    stub = bench.clamping.stub
    ahead = [] if stub is None else [shapely.box(0.0, 0.0, *stub)]
    return shapely.union_all([solid, bench.clamping.keep_out, *ahead])
