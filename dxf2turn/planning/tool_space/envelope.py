"""The upper envelope of lines and arcs, exact: how low a tool may go at each place.

Words. A *curve* is a Line or an Arc that runs from left to right and is a function v(u). An *envelope* is
the highest of many curves, as spans sorted by u that do not overlap. `under` slides a convex tool along an
envelope and gives the envelope of the tool's controlled point: the Minkowski sum of the ground with the
mirrored tool, seen from above. All in closed form, so that a finishing path made of it has true arcs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Line, Segment

SAME = 1e-9  # two heights or places closer than this are one, mm


class Span(NamedTuple):
    """One piece of an envelope: `curve` between u0 and u1 (u0 < u1)."""

    u0: float
    u1: float
    curve: Segment

    def height(self, u: float) -> float:
        return height(self.curve, u)


Envelope = tuple[Span, ...]


def height(curve: Segment, u: float) -> float:
    """v of a curve at u (on the curve's endless line or half circle)."""
    if isinstance(curve, Line):
        (u0, v0), (u1, v1) = curve.start, curve.end
        return v0 + (v1 - v0) * (u - u0) / (u1 - u0)
    lift = math.sqrt(max(0.0, curve.radius**2 - (u - curve.centre.x) ** 2))
    return curve.centre.y + (lift if curve.clockwise else -lift)


def curve_span(curve: Segment) -> Span:
    """The span of a whole curve."""
    return Span(curve.start.x, curve.end.x, curve)


def clipped(span: Span) -> Segment:
    """The curve of a span as a segment of its own, from left to right."""
    curve = span.curve
    start = curve.start if abs(curve.start.x - span.u0) < SAME else Point(span.u0, span.height(span.u0))
    end = curve.end if abs(curve.end.x - span.u1) < SAME else Point(span.u1, span.height(span.u1))
    if isinstance(curve, Line):
        return Line(start, end, curve.origin)
    return Arc(start, end, curve.centre, curve.clockwise, curve.origin)


def envelope_of(curves: Iterable[Segment]) -> Envelope:
    """The highest of all curves, by divide and conquer: near linear in their number."""
    spans = [curve_span(curve) for curve in curves if curve.end.x - curve.start.x > SAME]
    if not spans:
        return ()
    layers: list[Envelope] = [(span,) for span in spans]
    while len(layers) > 1:
        pairs = [highest(a, b) for a, b in zip(layers[0::2], layers[1::2])]
        layers = pairs + (layers[-1:] if len(layers) % 2 else [])
    return layers[0]


def highest(a: Envelope, b: Envelope) -> Envelope:
    """The higher of two envelopes; where they are level, `a`."""
    stops = sorted({u for span in (*a, *b) for u in (span.u0, span.u1)})
    result: list[Span] = []
    i = j = 0
    for u0, u1 in zip(stops, stops[1:]):
        if u1 - u0 <= SAME:
            continue
        middle = 0.5 * (u0 + u1)
        while i < len(a) and a[i].u1 < middle:
            i += 1
        while j < len(b) and b[j].u1 < middle:
            j += 1
        one = a[i].curve if i < len(a) and a[i].u0 < middle else None
        two = b[j].curve if j < len(b) and b[j].u0 < middle else None
        _extend(result, one, two, u0, u1)
    return tuple(result)


def _extend(result: list[Span], one: Segment | None, two: Segment | None, u0: float, u1: float) -> None:
    """Append the higher of two curves between u0 and u1."""
    if one is None or two is None:
        if (curve := one or two) is not None:
            _append(result, Span(u0, u1, curve))
        return
    stops = [u0, *sorted(u for u in crossings(one, two) if u0 + SAME < u < u1 - SAME), u1]
    for left, right in zip(stops, stops[1:]):
        middle = 0.5 * (left + right)
        lower = height(one, middle) < height(two, middle) - SAME
        _append(result, Span(left, right, two if lower else one))


def _append(result: list[Span], span: Span) -> None:
    """Append a span; grow the last one when it goes on along the same curve."""
    if result and result[-1].curve is span.curve and abs(result[-1].u1 - span.u0) <= SAME:
        result[-1] = Span(result[-1].u0, span.u1, span.curve)
    else:
        result.append(span)


def crossings(one: Segment, two: Segment) -> list[float]:
    """u where two curves (endless lines, half circles) meet; unsorted, may hold strangers off the halves."""
    if isinstance(one, Line) and isinstance(two, Line):
        return _line_line(one, two)
    if isinstance(one, Arc) and isinstance(two, Arc):
        return _circle_circle(one, two)
    line, arc = (one, two) if isinstance(one, Line) else (two, one)
    return _line_circle(line.start, line.end - line.start, arc)  # type: ignore[arg-type]


def _line_line(one: Line, two: Line) -> list[float]:
    a, b = one.end - one.start, two.end - two.start
    cross = a.cross(b)
    if cross == 0.0:
        return []
    return [one.start.x + a.dx * (two.start - one.start).cross(b) / cross]


def _line_circle(foot: Point, along: Vector, arc: Arc) -> list[float]:
    direction = along.unit()
    if direction is None:
        return []
    to_centre = arc.centre - foot
    middle, off = to_centre.dot(direction), to_centre.cross(direction)
    square = arc.radius**2 - off * off
    if square < 0.0:
        return []
    half = math.sqrt(square)
    return [foot.x + direction.dx * (middle - half), foot.x + direction.dx * (middle + half)]


def _circle_circle(one: Arc, two: Arc) -> list[float]:
    """Along the line through both crossings, the radical line."""
    between = two.centre - one.centre
    distance = between.length
    if distance < SAME:
        return []
    share = (distance**2 + one.radius**2 - two.radius**2) / (2.0 * distance**2)
    return _line_circle(one.centre + between * share, between.left, one)


def ground(profile: Iterable[Segment], grow: float) -> Envelope:
    """Upper envelope of a closed counter-clockwise profile grown by `grow` all round (0 = as it is).

    Lines move along their upward normal, convex arcs grow, hollow arcs shrink, every corner gets a circle
    (Minkowski sum with a disc). The profile may be reflected: `profile` must then be counter-clockwise too.
    """
    curves: list[Segment] = []
    for segment in profile:
        curves.extend(_grown(segment, grow))
        if grow > 0.0:
            corner = segment.start
            left, right = Point(corner.x - grow, corner.y), Point(corner.x + grow, corner.y)
            curves.append(Arc(left, right, corner, True))
    return envelope_of(curves)


def _grown(segment: Segment, grow: float) -> Iterable[Segment]:
    if isinstance(segment, Line):
        line = segment if segment.start.x <= segment.end.x else segment.reversed()
        along = (line.end - line.start).unit()
        if along is not None and line.end.x - line.start.x > SAME:
            yield line.moved(along.left * grow)
        return
    radius = segment.radius + (-grow if segment.clockwise else grow)
    if radius <= SAME:
        return
    for piece in _upward(segment):
        scale = radius / segment.radius
        start, end = (segment.centre + (p - segment.centre) * scale for p in (piece.start, piece.end))
        arc = Arc(start, end, segment.centre, segment.clockwise, segment.origin)
        yield arc if arc.start.x < arc.end.x else arc.reversed()


def _upward(arc: Arc) -> Iterable[Arc]:
    """The parts of a boundary arc that look upwards: the upper half if convex, the lower half if hollow."""
    stops = sorted({0.0, 1.0, *(t for t in map(arc.parameter_of_angle, (0.0, math.pi)) if 0.0 < t < 1.0)})
    for t0, t1 in zip(stops, stops[1:]):
        above = arc.point_at(0.5 * (t0 + t1)).y > arc.centre.y
        if above != arc.clockwise and t1 - t0 > SAME:
            yield arc.part(t0, t1)


def under(env: Envelope, chain: Sequence[Point]) -> Envelope:
    """How low the controlled point of a tool may go over the ground `env`.

    chain: the lower side of the convex tool, left to right, relative to the controlled point. The result is
    max over the chain of env(u + c.x) - c.y.
    """
    whole = [clipped(span) for span in env]
    curves = [_shifted(curve, corner) for corner in chain for curve in whole]
    for a, b in zip(chain, chain[1:]):
        if b.x - a.x <= SAME:
            continue
        slope = (b.y - a.y) / (b.x - a.x)
        curves.extend(Line(p + -Vector(*b), p + -Vector(*a)) for p in _contacts(whole, slope))
    return envelope_of(curves)


def rest(env: Envelope, chain: Sequence[Point], u: float) -> float:
    """The height of `under(env, chain)` at one place, without the envelope: for tools that stay on an axis.

    -inf where nothing lies under the tool.
    """
    heights = [at(env, u + corner.x) - corner.y for corner in chain]
    curves = [clipped(span) for span in env if span.u1 > u + chain[0].x and span.u0 < u + chain[-1].x]
    for a, b in zip(chain, chain[1:]):
        if b.x - a.x <= SAME:
            continue
        slope = (b.y - a.y) / (b.x - a.x)
        for p in _contacts(curves, slope):
            if a.x < p.x - u < b.x:
                heights.append(p.y - a.y - slope * (p.x - u - a.x))
    return max(heights, default=-math.inf)


def _shifted(curve: Segment, corner: Point) -> Segment:
    return curve.moved(Vector(-corner.x, -corner.y))


def _contacts(curves: Sequence[Segment], slope: float) -> Iterable[Point]:
    """Points of the ground that an edge of this slope can rest on: all ends, and tangent points of arcs."""
    for curve in curves:
        yield curve.start
        yield curve.end
        if isinstance(curve, Arc) and curve.clockwise:
            run = curve.radius / math.hypot(1.0, slope)
            top = Point(curve.centre.x - slope * run, curve.centre.y + run)
            if curve.start.x < top.x < curve.end.x:
                yield top


def at(env: Envelope, u: float) -> float:
    """Height of an envelope at u; the higher one at a step; -inf where there is none."""
    return max((s.height(u) for s in env if s.u0 - SAME <= u <= s.u1 + SAME), default=-math.inf)


def window(env: Envelope, u0: float, u1: float) -> Envelope:
    """The part of an envelope between u0 and u1."""
    kept = (Span(max(s.u0, u0), min(s.u1, u1), s.curve) for s in env)
    return tuple(span for span in kept if span.u1 - span.u0 > SAME)


def path(env: Envelope) -> tuple[Segment, ...]:
    """The envelope as one connected run from left to right, upright lines at its steps."""
    run: list[Segment] = []
    for piece in map(clipped, env):
        if run and abs(run[-1].end.y - piece.start.y) > SAME:
            run.append(Line(run[-1].end, piece.start))
        run.append(piece)
    return tuple(run)


def lower_chain(polygon: Sequence[Point]) -> tuple[Point, ...]:
    """The lower side of a convex polygon, left to right."""
    points = sorted({(p[0], p[1]) for p in polygon})
    chain: list[Point] = []
    for point in (Point(*p) for p in points):
        while len(chain) > 1 and (chain[-1] - chain[-2]).cross(point - chain[-1]) <= 0.0:
            chain.pop()
        chain.append(point)
    return tuple(chain)
