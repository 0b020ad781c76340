"""Lines and arcs that somebody stored as a spline, recognised as what they are."""

from __future__ import annotations

import math
from collections.abc import Sequence

from dxf2turn.geometry.curve import CurvePoint, Fit, Span, angle_between
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Line, Segment, arc_through

TOUCH = math.radians(0.01)  # two directions closer than this touch without a kink
# The same for a whole curve that is nearly a line or an arc. A cubic through points of an arc leaves it by
# one or two degrees at its ends, where it has no curvature.
_LINE_TOUCH, _ARC_TOUCH = math.radians(0.2), math.radians(2.0)
_STORED = 1e-3  # of the tolerance: how exactly a stored line or arc is one
_LEAST_SWEEP = math.radians(5.0)  # of an arc that is recognised inside a curve
_LEAST_LENGTH = 20.0  # tolerances: of a line that is recognised inside a curve
_SAME_WAY = 0.99  # cosine between curve and piece, to refuse a curve that runs to and fro


def kind_of_whole(spans: Sequence[Span], tolerance: float) -> str:
    """`line` or `arc` when a whole curve is one within `tolerance`, else ""."""
    places = [place for span in spans for place in span.samples]
    if _is_line(places, tolerance, _LINE_TOUCH):
        return "line"
    return "arc" if _is_arc(places, tolerance, _ARC_TOUCH) else ""


def longest_stored(spans: Sequence[Span], index: int, tolerance: float) -> tuple[str, int]:
    """Kind and number of spans of the longest stored line or arc that starts with span `index`."""
    kind = _long_enough(spans[index : index + 1], tolerance)
    if not kind:
        return "", 1
    good, step = 1, 1
    while index + good < len(spans):
        count = min(good + step, len(spans) - index)
        if _kind_of(spans[index : index + count], _STORED * tolerance) == kind:
            good, step = count, 2 * step
        elif step == 1:
            break
        else:
            step = 1
    return kind, good


def _long_enough(spans: Sequence[Span], tolerance: float) -> str:
    """The kind of a stored piece, "" when it is so short that any curve looks like it."""
    kind = _kind_of(spans, _STORED * tolerance)
    start, end = spans[0].samples[0], spans[-1].samples[-1]
    if kind == "line" and start.point.distance(end.point) < _LEAST_LENGTH * tolerance:
        return ""
    if kind == "arc" and angle_between(start.along, end.along) < _LEAST_SWEEP:
        return ""
    return kind


def _kind_of(spans: Sequence[Span], tolerance: float) -> str:
    """`line` or `arc` when the spans are one within `tolerance`, in touch with what is beside them."""
    places = [place for span in spans for place in span.samples]
    if _is_line(places, tolerance, TOUCH):
        return "line"
    return "arc" if _is_arc(places, tolerance, TOUCH) else ""


def _is_line(places: Sequence[CurvePoint], tolerance: float, touch: float) -> bool:
    start, end = places[0], places[-1]
    along = (end.point - start.point).unit()
    if along is None or max(angle_between(along, start.along), angle_between(along, end.along)) > touch:
        return False
    return all(
        abs(along.cross(place.point - start.point)) <= tolerance and along.dot(place.along) > _SAME_WAY
        for place in places
    )


def _is_arc(places: Sequence[CurvePoint], tolerance: float, touch: float) -> bool:
    circle = _circle_of(places)
    if circle is None:
        return False
    centre, radius, turn = circle
    for place in places:
        out = place.point - centre
        if abs(out.length - radius) > tolerance or out.left.dot(place.along) * turn < _SAME_WAY * out.length:
            return False
    ends = (places[0], places[-1])
    return all(angle_between((end.point - centre).left * turn, end.along) <= touch for end in ends)


def _circle_of(places: Sequence[CurvePoint]) -> tuple[Point, float, float] | None:
    """Centre, radius and turn (+1 counter-clockwise) of the circle through three places of a run.

    A run that closes has its third place well before its end.
    """
    start, end = places[0].point, places[-1].point
    third = len(places) // 3
    near = start.distance(end) < start.distance(places[third].point)
    a, b, c = (start, places[third].point, places[2 * third].point) if near else (
        start, places[len(places) // 2].point, end
    )  # fmt: skip
    u, v = b - a, c - a
    double = 2.0 * u.cross(v)
    if double == 0.0:
        return None
    uu, vv = u.dot(u), v.dot(v)
    centre = a + Vector((v.dy * uu - u.dy * vv) / double, (u.dx * vv - v.dx * uu) / double)
    return centre, centre.distance(a), math.copysign(1.0, double)


def stored_pieces(kind: str, run: Sequence[Span], ends: tuple[Point, Point], origin: tuple[str, ...]) -> Fit:
    """The line or the arcs of a recognised run; an arc of more than a half turn becomes several."""
    start, end = ends
    places = [place for span in run for place in span.samples]
    if kind == "line":
        along = (end - start).unit() or Vector(1.0, 0.0)
        return Fit((Line(start, end, origin),), max(abs(along.cross(p.point - start)) for p in places))
    turned = sum(angle_between(a.along, b.along) for a, b in zip(places, places[1:]))
    count = max(1, math.ceil(turned / math.pi - TOUCH))
    stops = [round(i * (len(places) - 1) / count) for i in range(count + 1)]
    joints = [start, *(places[stop].point for stop in stops[1:-1]), end]
    arcs: list[Segment] = []
    deviation = 0.0
    for (low, high), a, b in zip(zip(stops, stops[1:]), joints, joints[1:]):
        arc = _arc_through_middle(a, places[(low + high) // 2].point, b, origin)
        arcs.append(arc)
        deviation = max(deviation, *(arc.distance(place.point) for place in places[low : high + 1]))
    return Fit(tuple(arcs), deviation)


def _arc_through_middle(start: Point, middle: Point, end: Point, origin: tuple[str, ...]) -> Segment:
    """The arc from `start` to `end` that passes through `middle`."""
    # The angle that the chord is seen under at `middle` is pi minus half the sweep.
    u, v = middle - start, end - middle
    half_sweep = math.atan2(u.cross(v), u.dot(v))
    return arc_through(start, end, math.tan(0.5 * half_sweep), origin)
