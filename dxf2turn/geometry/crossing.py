"""Where two pieces meet: crossings, touches and overlaps of lines and arcs, in closed form.

`tolerance` (mm) is the distance within which a point counts as lying on a piece and within which two
circles, or a circle and a line, count as touching: a touch is one point, never two close ones.
"""

from __future__ import annotations

import math
from dataclasses import replace

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import TAU, Arc, Line, Segment


def crossings(a: Segment, b: Segment, tolerance: float) -> tuple[Point, ...]:
    """Points that lie on both pieces, their ends included. Pieces that run along each other give none."""
    points = carrier_crossings(a, b, tolerance)
    return tuple(p for p in points if a.distance(p) <= tolerance and b.distance(p) <= tolerance)


def carrier_crossings(a: Segment, b: Segment, tolerance: float) -> tuple[Point, ...]:
    """Points where the endless lines or full circles of two pieces meet; none when they are the same."""
    if isinstance(a, Line):
        if isinstance(b, Line):
            return _line_line(a, b)
        return _line_circle(a, b, tolerance)
    if isinstance(b, Line):
        return _line_circle(b, a, tolerance)
    return _circle_circle(a, b, tolerance)


def _line_line(a: Line, b: Line) -> tuple[Point, ...]:
    along, other = a.end - a.start, b.end - b.start
    turn = along.cross(other)
    if turn == 0.0:
        return ()
    # The parameter is taken on the line whose start is nearer to the crossing, for the least rounding.
    t = (b.start - a.start).cross(other) / turn
    point = a.point_at(t) if abs(t) <= 0.5 else a.end + along * (t - 1.0)
    return (point,) if math.isfinite(point.x) and math.isfinite(point.y) else ()


def _line_circle(line: Line, arc: Arc, tolerance: float) -> tuple[Point, ...]:
    along = (line.end - line.start).unit()
    if along is None:
        return ()
    to_centre = arc.centre - line.start
    foot = line.start + along * to_centre.dot(along)
    offset = abs(along.cross(to_centre))
    radius = arc.radius
    if abs(offset - radius) <= tolerance:
        return (foot,)
    if offset > radius:
        return ()
    half = math.sqrt((radius - offset) * (radius + offset))
    return foot + along * -half, foot + along * half


def _circle_circle(a: Arc, b: Arc, tolerance: float) -> tuple[Point, ...]:
    between = b.centre - a.centre
    distance, ra, rb = between.length, a.radius, b.radius
    along = between.unit()
    if along is None or distance <= tolerance:
        return ()
    outer, inner = distance - (ra + rb), distance - abs(ra - rb)
    if outer > tolerance or inner < -tolerance:
        return ()
    if abs(outer) <= tolerance:
        return (a.centre + along * (ra + 0.5 * outer),)
    if abs(inner) <= tolerance:
        return (a.centre + along * math.copysign(ra, ra - rb),)
    reach = (distance * distance + (ra - rb) * (ra + rb)) / (2.0 * distance)
    half = math.sqrt(max(0.0, (ra - reach) * (ra + reach)))
    foot = a.centre + along * reach
    return foot + along.left * half, foot + along.left * -half


def overlap(a: Segment, b: Segment, tolerance: float) -> tuple[tuple[float, float], ...]:
    """Stretches of `a` along which `b` runs within `tolerance`, as (t0, t1) of `a`.

    Only stretches longer than `tolerance` count. Two arcs of one circle may overlap twice.
    """
    if isinstance(a, Line) and isinstance(b, Line):
        return _line_overlap(a, b, tolerance)
    if isinstance(a, Arc) and isinstance(b, Arc):
        return _arc_overlap(a, b, tolerance)
    return ()


def _line_overlap(a: Line, b: Line, tolerance: float) -> tuple[tuple[float, float], ...]:
    u, v = sorted((a.parameter_of(b.start), a.parameter_of(b.end)))
    low, high = max(0.0, u), min(1.0, v)
    if (high - low) * a.length <= tolerance:
        return ()
    if all(_off_line(b, a.point_at(t)) <= tolerance for t in (low, high)):
        return ((low, high),)
    return ()


def _off_line(line: Line, point: Point) -> float:
    along = (line.end - line.start).unit()
    return math.inf if along is None else abs(along.cross(point - line.start))


def _arc_overlap(a: Arc, b: Arc, tolerance: float) -> tuple[tuple[float, float], ...]:
    if a.centre.distance(b.centre) > tolerance or abs(a.radius - b.radius) > tolerance:
        return ()
    sweep = a.sweep
    first, last = (b.start_angle, b.sweep) if (b.sweep > 0.0) == (sweep > 0.0) else (b.end_angle, -b.sweep)
    begin = ((first - a.start_angle) * math.copysign(1.0, sweep)) % TAU
    size = abs(sweep)
    found = []
    for shift in (0.0, TAU):
        low, high = max(0.0, begin - shift), min(size, begin - shift + abs(last))
        if (high - low) * a.radius > tolerance:
            found.append((low / size, high / size))
    return tuple(sorted(found))


def foot(segment: Segment, point: Point) -> Point:
    """The nearest point of the endless line or full circle of `segment`."""
    if isinstance(segment, Line):
        return segment.point_at(segment.parameter_of(point))
    out = (point - segment.centre).unit() or Vector(1.0, 0.0)
    return segment.centre + out * segment.radius


def between(segment: Segment, start: Point, end: Point) -> Segment:
    """The part of a segment between two points on it."""
    return replace(segment, start=start, end=end)


def with_ends(segment: Segment, start: Point, end: Point) -> Segment:
    """The piece with its ends moved a little. An arc's centre goes to the nearest place that suits them."""
    if isinstance(segment, Line):
        return Line(start, end, segment.origin)
    if start == segment.start and end == segment.end:
        return segment
    across = (end - start).unit()
    if across is None:
        return segment
    middle = start.towards(end, 0.5)
    off = (segment.centre - middle).dot(across)
    centre = segment.centre + across * -off
    return Arc(start, end, centre, segment.clockwise, segment.origin)
