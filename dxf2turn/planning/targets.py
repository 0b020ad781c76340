"""What must not be cut, for each kind of operation of one setup: exact closed profiles."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from dxf2turn.features.model import Feature, Thread
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.planning.bridging import LEVEL, bridged
from dxf2turn.planning.clamping import Clamping
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.planning.tool_space.axes import FACE, INSIDE, OUTSIDE, Axes

LEAST_SHARE = 0.3  # or, of a tiny part, than this share of its largest radius
STEEP = math.radians(20.0)  # a fall towards the chuck steeper than this is left to a blade or another setup
LEAST_NECK = 0.5  # a back thinner than this radius is no neck to hold the part by until it is parted off, mm
OPEN = math.radians(45.0)  # a turning tool follows walls up to this steep (V insert: 52 degrees, rule T37)
PAST = 1.0  # a through bore goes on so far behind the part, mm
BROKEN_PAST = 4.0  # and so far where its far edge is broken: room for a blade of 3 mm
EDGE_PAST = 1.0  # and this edge goes on straight so far, mm
EDGE_SHARE = 0.3  # or this share of the wall
THREAD_PAST = 3.5  # pitches behind a thread that comes out at the back: the chamfer of a tap takes three
FAR = 1.0  # how far the bar is drawn past the lowest place of the setup, mm


def outside_target(clamping: Clamping) -> tuple[Segment, ...]:
    """For facing and outside turning: the part as a solid, grooves bridged, with what stays behind it.

    Behind `outside_to` the last diameter goes on for `over`, then the raw stock. A stub stays in front.
    """
    part = clamping.part
    front = _bridged(FACE, part.run("front"), _grooves(part, "face"))
    if clamping.stub is not None:
        front = _with_stub(front, *clamping.stub)
    outside = _bridged(OUTSIDE, part.run("outside"), _grooves(part, "outside", clamping.blades_up_to))
    if clamping.whole:
        return _closed_by_axis(front, _tail_bridged(outside, -part.length))
    outside = _up_to(outside, clamping.outside_to)
    outside = _tail_bridged(outside, clamping.outside_to, clamping.blades_up_to)
    last = outside[-1].end if outside else front[-1].end
    first = front[0].start if front else outside[0].start
    back = min(s.bounds.min_x for s in part.segments)
    back = min(back, clamping.lowest, clamping.turned_to) - FAR
    raw = max(clamping.raw_radius, last.y)
    corners = [
        last,
        Point(clamping.turned_to, last.y),
        Point(clamping.turned_to, raw),
        Point(back, raw),
        Point(back, 0.0),
        Point(first.x, 0.0),
        first,
    ]
    return (*front, *outside, *_lines(corners))


def _with_stub(front: tuple[Segment, ...], length: float, radius: float) -> tuple[Segment, ...]:
    """The front with a stub of stock before it; the plain face goes on outside of the stub."""
    kept = [s for s in front if max(s.start.y, s.end.y) > radius + LEVEL]
    foot = Point(kept[0].start.x if kept else front[-1].end.x, radius)
    stub = _lines([Point(foot.x + length, 0.0), Point(foot.x + length, radius), foot])
    if not kept:
        return stub
    return (*stub, Line(foot, kept[0].end, kept[0].origin), *kept[1:])


def _closed_by_axis(front: tuple[Segment, ...], outside: tuple[Segment, ...]) -> tuple[Segment, ...]:
    """Front and outside closed by the back plane and the axis."""
    run = (*front, *outside)
    first, last = run[0].start, run[-1].end
    return (*run, *_lines([last, Point(last.x, 0.0), Point(first.x, 0.0), first]))


def inside_target(clamping: Clamping) -> tuple[Segment, ...]:
    """For inside work: the bore that opens at the front, inside grooves bridged, in a block of stock.

    A through bore goes on for `past` behind the part, so that a bar may run out there; a blind one ends on
    the axis. Empty when nothing opens at the front.
    """
    part = clamping.part
    past = bore_goes_on(part)
    bore = front_bore(part)
    if not bore:
        return ()
    bore = _bridged(INSIDE, bore, _grooves(part, "inside"))
    deep, mouth = bore[0].start, bore[-1].end
    far = 2.0 * max(part.max_radius, clamping.raw_radius)
    back = min(min(s.bounds.min_x for s in part.segments) - past, clamping.lowest) - FAR
    if deep.y <= LEVEL:
        behind = [Point(back, far), Point(back, 0.0), deep]
    else:
        behind = [Point(back, far), *_goes_on(part, bore[0], back), deep]
    return (*_lines([mouth, Point(mouth.x, far), *behind]), *bore)


def _goes_on(part: PlacedPart, deepest: Segment, back: float) -> tuple[Point, Point]:
    """The bore behind the part: from z = back to where the broken far edge has gone on straight.

    A nose gets to the very end of the edge only where no hollow corner follows it.
    """
    deep, out = deepest.start, -deepest.tangent_at(0.0)
    wall = max((s.bounds.max_y for s in part.run("back")), default=deep.y) - deep.y
    room = min(EDGE_PAST, EDGE_SHARE * wall) if out.dy > LEVEL else 0.0
    end = deep + out * room
    return Point(back, end.y), end


def bore_goes_on(part: PlacedPart) -> float:
    """How far a through bore is made behind the part, mm: a little, more when its far edge is broken.

    A blade that comes from the front to break that edge needs the room, and so does the end of a tap.
    """
    bore = front_bore(part)
    if not bore or bore[0].start.y <= LEVEL:
        return 0.0
    back = bore[0].start.x
    threads = [
        f.pitch
        for f in part.features
        if isinstance(f, Thread) and f.side == "inside" and f.z_back - back < THREAD_PAST * f.pitch
    ]
    past = BROKEN_PAST if bore[0].start.y > bore[0].end.y + LEVEL else PAST
    return max([past, *(THREAD_PAST * pitch for pitch in threads)])


def front_bore(part: PlacedPart) -> tuple[Segment, ...]:
    """The inside pieces that belong to the bore which opens at the front, from its depth to its mouth."""
    kept: list[Segment] = []
    for segment, role in zip(reversed(part.segments), reversed(part.roles)):
        if role != "inside":
            break
        kept.append(segment)
    return tuple(reversed(kept))


def _grooves(part: PlacedPart, side: str, widest: float = math.inf) -> tuple[tuple[Segment, ...], ...]:
    """The grooves of a side that only a blade can cut, up to a width."""
    grooves = (f for f in part.features if f.kind == "groove" and f.side == side)
    found = (_segments(part, f) for f in grooves if f.z_front - f.z_back <= widest)
    return tuple(run for run in found if _needs_blade(run, swap=side == "face"))


def _needs_blade(run: tuple[Segment, ...], swap: bool) -> bool:
    """Whether both walls are too steep for a turning tool: one that comes from the open side fits no more.

    swap: the run lies in a face, so that its walls stand along z.
    """
    slopes = [_slope(s.tangent_at(t), swap) for s in run for t in (0.0, 1.0)]
    return max(slopes) > OPEN and min(slopes) < -OPEN


def _slope(along: Vector, swap: bool) -> float:
    """Angle between a piece and the surface that the groove lies in, radians, signed."""
    out, on = (along.dx, along.dy) if swap else (along.dy, along.dx)
    return math.atan2(out, abs(on))


def _segments(part: PlacedPart, feature: Feature) -> tuple[Segment, ...]:
    return tuple(part.segments[index] for index in feature.segments)


def _bridged(
    axes: Axes, run: Sequence[Segment], grooves: Sequence[tuple[Segment, ...]]
) -> tuple[Segment, ...]:
    """Grooves of a run closed in the plane where they open upwards."""
    here = {id(s): axes.curve(s) for s in run}
    mapped = tuple(here[id(s)] for s in run)
    known = [tuple(here[id(s)] for s in groove) for groove in grooves if all(id(s) in here for s in groove)]
    result = bridged(mapped, known)
    back = {id(there): s for s, there in zip(run, mapped)}
    return tuple(back.get(id(s)) or axes.curve_zr(s) for s in result)


def _up_to(run: tuple[Segment, ...], z: float) -> tuple[Segment, ...]:
    """The run down to z; a straight piece that passes z is cut there."""
    kept: list[Segment] = []
    for segment in run:
        if segment.start.x <= z + LEVEL and kept:
            break
        if segment.end.x >= z - LEVEL:
            kept.append(segment)
            continue
        if isinstance(segment, Line):
            kept.append(segment.part(0.0, (z - segment.start.x) / (segment.end.x - segment.start.x)))
        break
    return tuple(kept)


def split_place(part: PlacedPart) -> float:
    """z where the last steep fall towards the chuck begins; the part's back end when there is none.

    A back that runs out in a point is turned in the other setup whatever its slope: no neck is left there.
    """
    run = _by_slope(part.run("outside"))
    first = _last_fall(run, 0.0 if is_pointed(part) else STEEP)
    return run[first].start.x if first is not None else -part.length


def is_pointed(part: PlacedPart) -> bool:
    """Whether the outside comes so near to the axis at the back that nothing would hold the part."""
    outside = part.run("outside")
    return bool(outside) and outside[-1].end.y < min(LEAST_NECK, LEAST_SHARE * part.max_radius)


def _tail_bridged(run: tuple[Segment, ...], z: float, tail: float = math.inf) -> tuple[Segment, ...]:
    """The run with all behind its last steep fall closed by a level line to z; of falls no further from z
    than `tail`."""
    run = _by_slope(run)
    first = _last_fall(run, from_z=z + tail)
    if first is None:
        return run
    start = run[first].start
    level = (Line(start, Point(z, start.y)),) if start.x - z > LEVEL else ()
    return (*run[:first], *level)


def _by_slope(run: Sequence[Segment]) -> tuple[Segment, ...]:
    """The run with arcs cut where they are level and where they begin to fall steeply."""
    pieces: list[Segment] = []
    for segment in run:
        if isinstance(segment, Line):
            pieces.append(segment)
            continue
        level = -0.5 * math.pi if segment.clockwise else 0.5 * math.pi
        cuts = (segment.parameter_of_angle(level + more) for more in (0.0, STEEP))
        stops = [0.0, *sorted(t for t in cuts if LEVEL < t < 1.0 - LEVEL), 1.0]
        pieces += [segment.part(a, b) for a, b in pairwise(stops)]
    return tuple(pieces)


def _last_fall(run: tuple[Segment, ...], steep: float = STEEP, from_z: float = math.inf) -> int | None:
    """Index of the first fall steeper than `steep` behind which nothing is as high again, or None.

    from_z: only falls that begin no further in front than this count.
    """
    later = -math.inf
    first: int | None = None
    for index in range(len(run) - 1, -1, -1):
        segment = run[index]
        if segment.start.x <= from_z and _falls(segment, steep) and segment.start.y > later + LEVEL:
            first = index
        later = max(later, segment.bounds.max_y)
    return first


def _falls(segment: Segment, steep: float) -> bool:
    """Whether a piece loses radius towards the chuck faster than at an angle."""
    drop, along = segment.start.y - segment.end.y, segment.start.x - segment.end.x
    return drop > LEVEL and drop > math.tan(steep) * along


def _lines(corners: Sequence[Point]) -> tuple[Segment, ...]:
    return tuple(Line(a, b) for a, b in zip(corners, corners[1:]) if a.distance(b) > LEVEL)
