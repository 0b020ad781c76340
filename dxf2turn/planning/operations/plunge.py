"""Plunging with a blade: rough plunges side by side, then walls and floor finished downhill.

Grooves outside, inside and in a face, back edges and whole zones behind a collar are all cut this way.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Segment
from dxf2turn.planning.blade import Blade, blade_of, downhill, floor_of, spans_to_cut, tops_of
from dxf2turn.planning.model import Move
from dxf2turn.planning.tool_space.axes import Axes
from dxf2turn.planning.tool_space.engaged import engaged
from dxf2turn.planning.tool_space.envelope import SAME, Envelope, Span, at, window
from dxf2turn.planning.tool_space.links import approach, retract
from dxf2turn.planning.tool_space.sweeping import cut_away, holder_hits, touches
from dxf2turn.planning.work import Work
from dxf2turn.shop.model import Tool
from dxf2turn.shop.practice import GroovingPractice

LEAST = 0.005  # stock thinner than this is not worth a cut: outlines are flattened to 0.002 mm
ONE_PLUNGE = 0.15  # a slot wider than the blade by less than this share of its width gets one plunge
QUICK = 4.0  # feed through air, times the feed of the cut
SLOW_FROM = 0.2  # the feed of the cut begins so far above the stock, mm
BESIDE = 0.3  # the blade comes down so far beside a wall, mm
LEVEL = 1e-6  # heights closer than this are level, mm
EDGE = 1e-7  # a plunge stands this far off the wall, so that it is on the bottom, mm
LIFT = 0.5  # how far a peck lifts to break the chip, mm
HAIR = 0.002  # half the thickness of layers that are the flattening of outlines, mm
FAR = 1e4  # beyond any part, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """Where and how a blade may cut. lo, hi: limits of its cutting part along u; base: lowest v, mm.

    practice: what the plunges leave, overlap and peck; feeds in mm/rev. clearance: of rapids along u.
    sideways: a layer no thicker than this needs no plunges, mm. wanted: from where to where along u the
    finishing runs are to leave nothing; what they would only cut beside that stays.
    """

    axes: Axes
    lo: float
    hi: float
    base: float
    practice: GroovingPractice
    feed: float
    finish_feed: float
    clearance: float
    sideways: float = 0.0
    wanted: tuple[float, float] = (-FAR, FAR)

    @property
    def allowance(self) -> float:
        """Left by the plunges for the finishing runs, mm."""
        return self.practice.leave_mm


@dataclass(frozen=True, slots=True)
class Plunges:
    """The moves with the number of rough plunges and finishing runs in them, and the stock left."""

    moves: tuple[Move, ...]
    plunges: int
    runs: int
    stock: BaseGeometry


def plunge(work: Work, tool: Tool, zone: Zone) -> Plunges:
    """Plunge and finish everything in the zone that the blade can reach; no moves when there is nothing."""
    blade = blade_of(tool, zone.axes)
    u0, u1 = zone.lo - blade.low, zone.hi - blade.high
    if u1 - u0 < -SAME:
        return Plunges((), 0, 0, work.stock)
    tops = window(tops_of(blade, work.stock, u0, u1), u0, u1)
    if not tops:
        return Plunges((), 0, 0, work.stock)
    job = _Job(work, blade, zone, tops, u0, u1)
    rough, plunges, stock = _rough(job)
    if rough and approach(work, tool, rough[0].end) is None:
        return Plunges((), 0, 0, work.stock)
    finish, runs, stock = _finish(job, stock)
    cuts = rough + finish
    if not cuts:
        return Plunges((), 0, 0, work.stock)
    moves = _carried(job, cuts, stock)
    return Plunges(moves, plunges, runs, stock) if moves else Plunges((), 0, 0, work.stock)


@dataclass(frozen=True, slots=True)
class _Job:
    work: Work
    blade: Blade
    zone: Zone
    tops: Envelope
    u0: float
    u1: float

    @property
    def axes(self) -> Axes:
        return self.zone.axes

    @property
    def across(self) -> float:
        """Height at which the tool moves along u: clear of all stock under it, holder included.

        A wall at the very end of the way, the floor of a blind bore say, is beside it.
        """
        low, high = self.u0 + LEAST, self.u1 - LEAST
        under = window(self.tops, low, high) if high > low else self.tops
        return max(max(s.height(s.u0), s.height(s.u1)) for s in under or self.tops) + self.zone.clearance

    def rest(self, stock: BaseGeometry) -> BaseGeometry:
        """What of the stock is no part, without the hairs that the flattening of outlines leaves."""
        rest = shapely.buffer(shapely.difference(stock, self.work.part), -HAIR, join_style="mitre")
        shapely.prepare(rest)
        return rest

    def rest_top(self, rest: BaseGeometry, u: float) -> float:
        """Highest place of that under the blade with the controlled point at u; -inf where there is none."""
        low, high = u + self.blade.low + LEAST, u + self.blade.high - LEAST
        under = shapely.intersection(rest, _strip(self.axes, low, high))
        if under.is_empty:
            return -math.inf
        z_low, r_low, z_high, r_high = under.bounds
        return max(self.axes.uv((z_low, r_low)).y, self.axes.uv((z_high, r_high)).y) + HAIR


def _rough(job: _Job) -> tuple[tuple[Move, ...], int, BaseGeometry]:
    """Plunges from the deepest place outwards, each followed by a lift along v."""
    zone, stock = job.zone, job.work.stock
    floor = floor_of(job.blade, job.work.target, zone.allowance, zone.base, (job.u0, job.u1))
    moves: tuple[Move, ...] = ()
    count = 0
    rest = job.rest(stock)
    for u0, u1 in spans_to_cut(job.tops, floor, LEAST + zone.allowance):
        for u, v in _stations(job, window(floor, u0, u1)):
            top = job.rest_top(rest, u)
            if top <= v + LEAST + max(0.0, zone.sideways - zone.allowance):
                continue  # The finishing runs take it sideways.
            cut = _one_plunge(job, Point(u, v), rest)
            left = cut_away(job.work, stock, job.blade.tool, cut)
            if holder_hits(stock, job.blade.tool, cut):
                continue
            if stock.area - left.area > LEAST * job.blade.width:
                up = Point(u, job.across)
                moves += (*cut, job.axes.rapid(up))
                count += 1
                stock, rest = left, job.rest(left)
    return moves, count, stock


def _one_plunge(job: _Job, bottom: Point, rest: BaseGeometry) -> tuple[Move, ...]:
    """Down to `bottom` from above, with a short lift every few blade widths."""
    axes, feed = job.axes, job.zone.feed
    moves, top = [*_down_to(job, bottom, rest)], job.rest_top(rest, bottom.x)
    step = job.zone.practice.peck_widths * job.blade.width
    for i in range(1, math.ceil((top - bottom.y) / step)):
        place = Point(bottom.x, top - step * i)
        moves += [axes.feed(place, feed), axes.rapid(Point(place.x, place.y + LIFT))]
    return (*moves, axes.feed(bottom, feed))


def _down_to(job: _Job, place: Point, rest: BaseGeometry) -> tuple[Move, ...]:
    """From travelling height to just above what is to be cut: in rapid, beside the work in a quick feed."""
    axes, clear = job.axes, job.zone.clearance
    beside = [u for u in (place.x, place.x - BESIDE, place.x + BESIDE) if job.u0 <= u <= job.u1]
    u = min(beside or [place.x], key=lambda u: round(at(job.tops, u), 1))  # Away from a high wall.
    lowest = max(place.y, job.rest_top(rest, place.x), job.rest_top(rest, u))
    near = min(max(at(job.tops, u), lowest) + clear, job.across)
    slow = lowest + min(SLOW_FROM, 0.5 * clear)
    down = (axes.rapid(Point(u, job.across)), axes.rapid(Point(u, near)))
    return (*down, axes.feed(Point(place.x, slow), QUICK * job.zone.feed)) if slow < near else down


def _stations(job: _Job, floor: Envelope) -> tuple[Point, ...]:
    """Where to plunge, the deepest middle first: at both ends of each valley's bottom, steps between.

    A bottom little wider than the blade gets one plunge in its middle. Slopes are left in stairs for the
    finishing run.
    """
    step = job.blade.width - job.zone.practice.overlap_mm
    fixed = _bottoms(floor, ONE_PLUNGE * job.blade.width)
    marks = sorted({floor[0].u0, *fixed, floor[-1].u1})
    places = set(fixed)
    for a, b in pairwise(marks):
        count = math.ceil((b - a) / step)
        places |= {a + (b - a) * i / count for i in range(1, count)}
    points = [Point(u, at(floor, u)) for u in sorted(places)]
    if not points:
        return ()
    if job.axes.swap:
        return tuple(reversed(points))  # A face blade starts at its first diameter and goes inwards.
    deepest = min(points, key=lambda p: (round(p.y, 6), abs(p.x - _middle(points))))
    first = points.index(deepest)
    return (*points[first:], *reversed(points[:first]))


def _bottoms(floor: Envelope, narrow: float) -> list[float]:
    """The ends of the level bottoms of valleys, or their middle where they are narrow; points of vees."""
    found: list[float] = []
    for index, span in enumerate(floor):
        left = floor[index - 1] if index else None
        right = floor[index + 1] if index + 1 < len(floor) else None
        low = span.height(span.u0)
        if abs(span.height(span.u1) - low) > LEVEL:
            continue
        if (left is None or left.height(left.u1) > low + LEVEL or _falls(left)) and (
            right is None or right.height(right.u0) > low + LEVEL or _falls(right, -1.0)
        ):
            wide = span.u1 - span.u0 > narrow
            found += [span.u0 + EDGE, span.u1 - EDGE] if wide else [0.5 * (span.u0 + span.u1)]
    return found or [min(_ends(floor), key=lambda p: p.y).x]


def _falls(span: Span, sign: float = 1.0) -> bool:
    """Whether a span falls to the right (sign 1) or to the left (-1)."""
    return sign * (span.height(span.u0) - span.height(span.u1)) > LEVEL


def _ends(floor: Envelope) -> list[Point]:
    return [Point(u, span.height(u)) for span in floor for u in (span.u0, span.u1)]


def _middle(points: list[Point]) -> float:
    """Middle of the deepest places."""
    low = min(p.y for p in points)
    deep = [p.x for p in points if p.y - low <= LEAST]
    return 0.5 * (deep[0] + deep[-1])


def _finish(job: _Job, stock: BaseGeometry) -> tuple[tuple[Move, ...], int, BaseGeometry]:
    """Runs down each wall to the middle of the floor; runs that would cut nothing are left out."""
    zone, axes = job.zone, job.axes
    floor = floor_of(job.blade, job.work.target, 0.0, zone.base, (job.u0, job.u1))
    moves: tuple[Move, ...] = ()
    count = 0
    rest = job.rest(stock)
    for u0, u1 in spans_to_cut(job.tops, floor, LEAST):
        for run in downhill(floor, u0, u1, zone.practice.overlap_mm):
            run = _cutting_stretch(job, run, stock, rest)
            if not run:
                continue
            cut = _one_run(job, run, rest)
            left = cut_away(job.work, stock, job.blade.tool, cut)
            if stock.area - left.area <= LEAST * LEAST or holder_hits(stock, job.blade.tool, cut):
                continue
            stock, rest = left, job.rest(left)
            end = run[-1].end
            up = Point(end.x, job.across)
            lift = axes.rapid(up)
            if touches(stock, job.blade.tool, cut[-1], lift):
                lift = axes.feed(up, zone.feed)
            moves += (*cut, lift)
            count += 1
    return moves, count, stock


def _cutting_stretch(
    job: _Job, run: tuple[Segment, ...], stock: BaseGeometry, rest: BaseGeometry
) -> tuple[Segment, ...]:
    """The run without its beginning and end that would only cut air; empty when there is no more to it."""
    cut = _one_run(job, run, rest)
    taken = shapely.difference(stock, cut_away(job.work, stock, job.blade.tool, cut))
    wanted = shapely.intersection(taken, _strip(job.axes, *job.zone.wanted))
    return engaged(run, job.axes, job.blade.tool, shapely.buffer(wanted, -HAIR, join_style="mitre"))


def _strip(axes: Axes, low: float, high: float) -> BaseGeometry:
    """All of (z, r) between two places along u."""
    return shapely.box(-FAR, low, FAR, high) if axes.swap else shapely.box(low, -FAR, high, FAR)


def _one_run(job: _Job, run: tuple[Segment, ...], rest: BaseGeometry) -> tuple[Move, ...]:
    axes, feed, start = job.axes, job.zone.finish_feed, run[0].start
    lead = (*_down_to(job, start, rest), axes.feed(start, feed))
    return (*lead, *(axes.along(segment, feed) for segment in run))


def _carried(job: _Job, cuts: tuple[Move, ...], stock: BaseGeometry) -> tuple[Move, ...]:
    """The cuts with the way in from the tool change and the way back; empty when there is no clear way."""
    work, tool = job.work, job.blade.tool
    way_in = approach(work, tool, cuts[0].end)
    way_out = retract(work.with_stock(stock), tool, cuts[-1].end)
    if way_in is None or way_out is None:
        return ()
    return _without_repeats((*way_in, *cuts, *way_out))


def _without_repeats(moves: tuple[Move, ...]) -> tuple[Move, ...]:
    """Without moves that go nowhere."""
    kept = [moves[0]]
    for move in moves[1:]:
        if math.hypot(move.z - kept[-1].z, move.r - kept[-1].r) > SAME:
            kept.append(move)
    return tuple(kept)
