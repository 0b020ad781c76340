"""A blade over a piece of work, seen in the plane (u, v) of `axes.py`: how low it may go, where it must."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.planning.tool_space.axes import Axes
from dxf2turn.planning.tool_space.envelope import (
    SAME,
    Envelope,
    envelope_of,
    ground,
    highest,
    lower_chain,
    path,
    rest,
    under,
    window,
)
from dxf2turn.shop.model import Tool


@dataclass(frozen=True, slots=True)
class Blade:
    """A tool in (u, v), relative to its controlled point.

    chain: lower side of the core; nose: what the core is grown by; low, high: extent of the cutting part
    along u; rest: lower sides of the holder's polygons.
    """

    tool: Tool
    axes: Axes
    chain: tuple[Point, ...]
    nose: float
    low: float
    high: float
    rest: tuple[tuple[Point, ...], ...]

    @property
    def width(self) -> float:
        return self.high - self.low


SLACK = 5e-7  # taken off each side of a blade's core, so that a blade as wide as its groove still fits, mm


def blade_of(tool: Tool, axes: Axes) -> Blade:
    """The tool as a blade that goes in along -v."""
    outline = [axes.uv(p) for p in tool.outline]
    return Blade(
        tool,
        axes,
        _slackened(lower_chain([axes.uv(p) for p in tool.core])),
        tool.nose_radius,
        min(p.x for p in outline),
        max(p.x for p in outline),
        tuple(lower_chain([axes.uv(p) for p in polygon]) for polygon in tool.holder),
    )


def _slackened(chain: tuple[Point, ...]) -> tuple[Point, ...]:
    left, right = chain[0].x, chain[-1].x
    if right - left <= 2.0 * SLACK:
        return chain
    scale = 1.0 - 2.0 * SLACK / (right - left)
    middle = 0.5 * (left + right)
    return tuple(Point(middle + (p.x - middle) * scale, p.y) for p in chain)


@lru_cache(maxsize=64)  # A blade's reach and its finishing runs ask for the same floor.
def floor_of(
    blade: Blade, target: tuple[Segment, ...], grow: float, base: float, span: tuple[float, float]
) -> Envelope:
    """How low the controlled point may go in a span of u so that `grow` is left; never lower than `base`.

    target: closed counter-clockwise profile in (z, r). The holder keeps out of the bare target.
    """
    env = _lowest(_ground(blade.axes, target, blade.nose + grow), blade.chain, span)
    for chain in blade.rest:
        env = highest(env, _lowest(_ground(blade.axes, target, 0.0), chain, span))
    base_line = Line(Point(span[0], base), Point(span[1], base))
    return window(highest(env, envelope_of([base_line])), *span)


def _lowest(env: Envelope, chain: tuple[Point, ...], span: tuple[float, float]) -> Envelope:
    """`under` for the controlled point in a span of u: what is not below the tool there is left out."""
    low, high = span[0] + chain[0].x, span[1] + chain[-1].x
    return under(tuple(s for s in env if s.u1 >= low and s.u0 <= high), chain)


def lowest_at(blade: Blade, target: tuple[Segment, ...], grow: float, u: float) -> float:
    """How low the controlled point may go at one place u; see `floor_of`. -inf where nothing is below."""
    low = rest(_ground(blade.axes, target, blade.nose + grow), blade.chain, u)
    return max([low, *(rest(_ground(blade.axes, target, 0.0), chain, u) for chain in blade.rest)])


@lru_cache(maxsize=64)
def _ground(axes: Axes, target: tuple[Segment, ...], grow: float) -> Envelope:
    return ground(axes.profile(target), grow)


def tops_of(blade: Blade, stock: BaseGeometry, lo: float, hi: float) -> Envelope:
    """Highest stock under the blade's cutting part, for the controlled point between lo and hi."""
    box = _box(blade.axes, lo + blade.low, hi + blade.high)
    lines = []
    for piece in getattr(shapely.intersection(stock, box), "geoms", [shapely.intersection(stock, box)]):
        if piece.geom_type != "Polygon" or piece.is_empty:
            continue
        points = [blade.axes.uv(p) for p in piece.exterior.coords]
        lines += [Line(a, b) if a.x < b.x else Line(b, a) for a, b in zip(points, points[1:])]
    return under(envelope_of(lines), (Point(blade.low, 0.0), Point(blade.high, 0.0)))


def _box(axes: Axes, lo: float, hi: float) -> BaseGeometry:
    far = 1e4
    return shapely.box(-far, max(0.0, lo), far, hi) if axes.swap else shapely.box(lo, 0.0, hi, far)


def spans_to_cut(tops: Envelope, floor: Envelope, least: float) -> tuple[tuple[float, float], ...]:
    """Where the stock stands more than `least` above the floor: intervals of u."""
    lifted = tuple(s._replace(curve=_raised(s.curve, least)) for s in floor)
    own = {id(s.curve) for s in tops}
    spans: list[tuple[float, float]] = []
    for span in highest(lifted, tops):
        if id(span.curve) not in own:
            continue
        if spans and span.u0 - spans[-1][1] <= SAME:
            spans[-1] = (spans[-1][0], span.u1)
        else:
            spans.append((span.u0, span.u1))
    return tuple(spans)


def _raised(curve: Segment, by: float) -> Segment:
    return curve.moved(Vector(0.0, by))


def downhill(floor: Envelope, u0: float, u1: float, lap: float) -> tuple[tuple[Segment, ...], ...]:
    """The floor between u0 and u1 as runs that only go down or level, each from its own side.

    Two runs meet in the middle of a valley's bottom and lap over by `lap` where it is level.
    """
    run = [piece for segment in path(window(floor, u0, u1)) for piece in _monotone(segment)]
    runs: list[tuple[Segment, ...]] = []
    while run:
        falling = _count(run, -1)
        level = _count(run[falling:], 0)
        rising = _count_rise(run[falling + level :])
        down, flat = run[:falling], run[falling : falling + level]
        up = run[falling + level : falling + level + rising]
        runs.extend(_valley(down, flat, up, lap))
        run = run[falling + level + rising :]
    return tuple(runs)


def _count(run: list[Segment], sign: int) -> int:
    """How many pieces at the start do not rise (sign -1; trailing level ones left out) or are level (0)."""
    if sign == 0:
        return next((i for i, s in enumerate(run) if _slope(s) != 0), len(run))
    last = 0
    for i, segment in enumerate(run):
        if _slope(segment) > 0:
            break
        if _slope(segment) < 0:
            last = i + 1
    return last


def _count_rise(run: list[Segment]) -> int:
    """How many pieces at the start do not fall; a level top belongs to the rise before it."""
    return next((i for i, s in enumerate(run) if _slope(s) < 0), len(run))


def _slope(segment: Segment) -> int:
    rise = segment.end.y - segment.start.y
    return 0 if abs(rise) <= SAME else int(math.copysign(1, rise))


def _valley(
    down: list[Segment], flat: list[Segment], up: list[Segment], lap: float
) -> list[tuple[Segment, ...]]:
    if not flat:
        first = [tuple(down)] if down else []
        return first + ([tuple(s.reversed() for s in reversed(up))] if up else [])
    left, right = flat[0].start, flat[-1].end
    middle = 0.5 * (left.x + right.x)
    split = Point(middle, left.y) if down and up else (right if down else left)
    over = Point(max(left.x, split.x - lap), left.y)
    runs: list[tuple[Segment, ...]] = []
    if down or split.x > left.x + SAME or not up:
        end = split if (down or up) else right
        runs.append((*down, Line(left, end)) if end.x - left.x > SAME else tuple(down))
    if up:
        level = (Line(right, over),) if right.x - over.x > SAME else ()
        runs.append((*(s.reversed() for s in reversed(up)), *level))
    return [run for run in runs if run]


def _monotone(segment: Segment) -> list[Segment]:
    """A piece cut at its highest or lowest point, if that lies inside."""
    if not isinstance(segment, Arc):
        return [segment]
    t = segment.parameter_of_angle(math.pi / 2.0 if segment.clockwise else -math.pi / 2.0)
    return [segment.part(0.0, t), segment.part(t, 1.0)] if 1e-6 < t < 1.0 - 1e-6 else [segment]
