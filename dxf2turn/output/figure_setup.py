"""One setup as a picture: stock, part, jaws, and where the tools travel. The half above the axis only."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.features.model import TurnedPart
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Bounds, Line, Segment
from dxf2turn.output.display import Disc, Group, Item, Path, Text, View, polyline
from dxf2turn.output.polygons import within
from dxf2turn.output.styles import step_index
from dxf2turn.output.travel import cutting, travels
from dxf2turn.planning.model import MoveKind, Plan, Setup, Step

RIGHT_ROOM = 0.07  # of the window's width, kept free on the right for run-in
TOP_ROOM = 1.45  # window height over the stock's radius
BEHIND = 0.25  # how much is shown behind the front of the jaws, over what stands out of them
CENTRE_BODY = 6.0  # mm of a live centre's body in the window
UNDER_AXIS = 6.0  # mm of the window below the axis, for tools that go past the middle
LABEL_SHIFT = Vector(5.0, -5.0)  # from the start of a step's first cut to its number, pixels
LABEL_SIZE = (30.0, 14.0)  # room that a step's number takes, pixels
AXIS_ROOM = 22.0  # pixels of the frame below the axis
PAST_FRAME = 4.0  # pixels outside the frame where jaws are cut off: more than a line is wide


def window(part: TurnedPart, setup: Setup) -> Bounds:
    """What of the (z, r) plane a setup's picture shows: stock and jaws, not the tool-change point."""
    box = path_bounds(setup.stock)
    jaws = [point for jaw in setup.jaws for point in jaw if point.x < box.max_x]
    low = min([box.min_x, *(point.x for point in jaws)])
    gripped = max((point.x for point in jaws), default=low)
    # A bar and the chuck reach far behind the jaws' front; a little of them says enough.
    enough = min(gripped - BEHIND * (box.max_x - gripped), -part.target.length)
    low = max(low, enough - BEHIND * box.max_y)
    right = box.max_x + RIGHT_ROOM * (box.max_x - low) + 2.0
    if setup.support == "tailstock":  # Point and nose, and where the body begins.
        right = max(right, max(point.x for point in setup.supports[1]) + CENTRE_BODY)
    return Bounds(low, 0.0, right, TOP_ROOM * box.max_y + 2.0)


def setup_view(part: TurnedPart, setup: Setup, room: Bounds) -> tuple[View, Bounds]:
    """The view of a setup's window that fits into `room` (page), and the frame that it fills."""
    shown = window(part, setup)
    width = room.max_x - room.min_x
    scale = min(width / (shown.max_x - shown.min_x), (room.max_y - room.min_y) / (shown.max_y + UNDER_AXIS))
    free = width - scale * (shown.max_x - shown.min_x)
    origin = Point(room.min_x + free / 2 - scale * shown.min_x, room.min_y + scale * shown.max_y)
    return View(scale, origin), Bounds(room.min_x, room.min_y, room.max_x, origin.y + AXIS_ROOM)


def base_items(part: TurnedPart, setup: Setup, view: View, frame: Bounds) -> tuple[Item, ...]:
    """Part, jaws and axis: what all steps of a setup have in common, as far as the frame (page) shows it."""
    target = in_setup(part.target.segments, setup, part.target.length)
    bodies = (*((jaw, "jaw") for jaw in setup.jaws), *((body, setup.support) for body in setup.supports))
    return (
        Path((view.run(target),), "part", closed=True),
        *(item for body, title in bodies for item in _held(body, title, view, frame)),
        Path((view.run(target),), "outline", closed=True),
    )


def _held(body: tuple[Point, ...], title: str, view: View, frame: Bounds) -> Iterator[Item]:
    """A jaw or support. What lies far outside the frame is cut off: hatching it takes long, unseen."""
    low = view.place(Point(frame.min_x - PAST_FRAME, frame.max_y + PAST_FRAME))
    high = view.place(Point(frame.max_x + PAST_FRAME, frame.min_y - PAST_FRAME))
    shown = within(body, low, high)
    if shown:
        yield Path((view.run(_ring(shown)),), "jaw", closed=True, title=title)


def stock_items(setup: Setup, view: View) -> tuple[Item, ...]:
    """The stock's outline as the setup starts, and the axis through it."""
    box = path_bounds(setup.stock)
    left, right = view.point(Point(box.min_x, 0.0)), view.point(Point(box.max_x, 0.0))
    return (
        Path((view.run(setup.stock),), "stock", closed=True, title="stock"),
        Path((polyline(left + Vector(-14, 0), right + Vector(14, 0)),), "axis", title="axis"),
        *_datum(view),
    )


def _datum(view: View) -> Iterator[Item]:
    """The zero point of the program: Z 0 on the finished face, X 0 on the axis."""
    zero = view.point(Point(0.0, 0.0))
    yield Disc(zero, 4.0, "datum")
    yield Text(zero + Vector(7.0, 15.0), "X 0 Z 0", "tiny")


def travel_items(steps: tuple[Step, ...], view: View) -> Iterator[Item]:
    """The paths of the steps, one group each: feed continuous, rapid dashed, number where cutting starts."""
    taken: list[Point] = []
    for number, step in enumerate(steps):
        label = _free_label(step, view, taken)
        items = tuple(step_items(step, view, number, label))
        if items:
            yield Group(items, title=f"step {step.no}: {step.operation}")


def _free_label(step: Step, view: View, taken: list[Point]) -> Point | None:
    """A place for a step's number beside its first cut, clear of the numbers in `taken`; added to them."""
    cuts = cutting(step)
    if not cuts:
        return None
    place = view.point(cuts[0].start) + LABEL_SHIFT
    while any(
        abs(place.x - other.x) < LABEL_SIZE[0] and abs(place.y - other.y) < LABEL_SIZE[1] for other in taken
    ):
        place = place + Vector(0.0, -LABEL_SIZE[1])
    taken.append(place)
    return place


def step_items(step: Step, view: View, number: int, label: Point | None = None) -> Iterator[Item]:
    """The path of one step; `label` is the place of its number, None = beside its first cut."""
    colour = step_index(number)
    moves = tuple(travels(step))
    rapids = tuple((view.segment(s),) for m, s in moves if m.kind is MoveKind.RAPID)
    cuts = tuple((view.segment(s),) for m, s in moves if m.kind is not MoveKind.RAPID)
    if rapids:
        yield Path(rapids, f"rapid-{colour}")
    if cuts:
        yield Path(cuts, f"feed-{colour}")
        start = cuts[0][0].start
        yield Disc(start, 3.0, f"feed-{colour}")
        yield Text(label or start + LABEL_SHIFT, str(step.no), f"step-text-{colour}")


def unreached_items(plan: Plan, setup: Setup, length: float, view: View) -> Iterator[Item]:
    """Areas that no tool reached."""
    for ring in plan.unreached:
        path = in_setup(_ring(ring), setup, length)
        yield Path((view.run(path),), "unreached", closed=True, title="no tool reaches this")


def in_setup(segments: tuple[Segment, ...], setup: Setup, length: float) -> tuple[Segment, ...]:
    """Segments of the part in the setup's coordinates: turned end for end where the setup says so."""
    return tuple(_turned(s, length) for s in segments) if setup.flipped else segments


def _turned(segment: Segment, length: float) -> Segment:
    """z becomes -length - z; a mirror image, so arcs turn the other way."""
    start, end = (Point(-length - p.x, p.y) for p in (segment.start, segment.end))
    if isinstance(segment, Arc):
        centre = Point(-length - segment.centre.x, segment.centre.y)
        return Arc(start, end, centre, not segment.clockwise)
    return Line(start, end)


def _ring(points: tuple[Point, ...]) -> tuple[Segment, ...]:
    closed = (*points, points[0])
    return tuple(Line(a, b) for a, b in zip(closed, closed[1:]) if a != b)
