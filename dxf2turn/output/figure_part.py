"""The part as a technical drawing: both halves, axis, edges across, thread roots; the lower half cut where
there is something inside (ISO 128-3 half section, cut half below the axis, ISO 6410-1 threads)."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.contour.model import Profile
from dxf2turn.features.model import Feature, Knurl, Thread, TurnedPart
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.output.display import Item, Path, View, polyline
from dxf2turn.units import plain_text

AXIS_OVERHANG = 16.0  # pixels of the axis beyond the part
SMOOTH = 0.9998  # cosine of the angle up to which two pieces run on smoothly: no edge is drawn
LEVEL = 1e-6  # pieces whose ends differ by less are upright (a flat face), mm


def part_items(part: TurnedPart, view: View) -> tuple[Item, ...]:
    """The drawing of the part as drawn (not the target)."""
    profile, below = part.profile, view.below()
    cut = needs_section(profile)
    upper = silhouette(profile) if cut else profile.segments
    lower_style = "section" if cut else "part"
    return (
        Path((view.run(upper),), "part", closed=True),
        Path((below.run(profile.segments),), lower_style, closed=True),
        *_edges(profile, view, cut),
        *_threads(part, view, cut),
        Path(tuple(_visible(upper, view)), "outline"),
        Path(tuple(_visible(profile.segments, below)), "outline"),
        axis(profile, view),
    )


def needs_section(profile: Profile) -> bool:
    """Whether something lies inside that a view from outside does not show."""
    hollow = "inside" in profile.roles
    ends = (s for s, role in zip(profile.segments, profile.roles) if role in ("front", "back"))
    return hollow or any(not _upright(segment) for segment in ends if not _grows_outward(segment, profile))


def _grows_outward(segment: Segment, profile: Profile) -> bool:
    """A pointed or domed end that a view from outside shows as it is: it meets the axis at the very end."""
    box = profile.bounds
    tip = min((segment.start, segment.end), key=lambda point: point.y)
    return abs(tip.x - box.max_x) < LEVEL or abs(tip.x - box.min_x) < LEVEL


def silhouette(profile: Profile) -> tuple[Segment, ...]:
    """What is seen from outside, above the axis: the outside run closed by straight ends and the axis."""
    run = [profile.segments[index] for index in profile.run("outside")]
    if not run:
        return profile.segments
    box = path_bounds(run)
    start, end = run[0].start, run[-1].end
    corners: tuple[Point, ...] = (end, Point(end.x, 0.0), Point(start.x, 0.0), start)
    whole = path_bounds(profile.segments)
    if whole.max_x - box.max_x > LEVEL or box.min_x - whole.min_x > LEVEL:
        corners = (end, Point(whole.min_x, end.y), Point(whole.min_x, 0.0))
        corners += (Point(whole.max_x, 0.0), Point(whole.max_x, start.y), start)
    closing = (Line(a, b) for a, b in zip(corners, corners[1:]) if a != b)
    return (*run, *closing)


def axis(profile: Profile, view: View) -> Path:
    """The axis, a narrow long-dash dot line a little longer than the part."""
    box = profile.bounds
    left = view.point(Point(box.min_x, 0.0)) + Vector(-AXIS_OVERHANG, 0.0)
    right = view.point(Point(box.max_x, 0.0)) + Vector(AXIS_OVERHANG, 0.0)
    return Path((polyline(left, right),), "axis", title="axis")


def _visible(segments: tuple[Segment, ...], view: View) -> Iterator[tuple[Segment, ...]]:
    """Runs of the outline without the pieces on the axis."""
    run: list[Segment] = []
    for segment in segments:
        if max(abs(segment.start.y), abs(segment.end.y)) < LEVEL:
            if run:
                yield view.run(tuple(run))
            run = []
        else:
            run.append(segment)
    if run:
        yield view.run(tuple(run))


def _edges(profile: Profile, view: View, cut: bool) -> Iterator[Item]:
    """Edges across: outside corners down to the axis (through when nothing is cut), bore corners below it."""
    below = view.below()
    for corner in _corners(profile, "outside"):
        axis_point = Point(corner.x, 0.0)
        far = view.point(axis_point) if cut else below.point(corner)
        yield Path((polyline(view.point(corner), far),), "edge")
    for corner in _corners(profile, "inside", "front", "back") if cut else ():
        yield Path((polyline(below.point(corner), below.point(Point(corner.x, 0.0))),), "edge")


def _corners(profile: Profile, *roles: str) -> Iterator[Point]:
    """Sharp corners where at least one of the two pieces has one of `roles`, off the axis.

    For a bore only corners whose way to the axis is free are edges to be seen: the piece must not lie
    over material, which is so for every corner of a bore that a section shows.
    """
    segments, count = profile.segments, len(profile.segments)
    for index, segment in enumerate(segments):
        after = (index + 1) % count
        if profile.roles[index] not in roles and profile.roles[after] not in roles:
            continue
        if roles[0] == "outside" and "axis" in (profile.roles[index], profile.roles[after]):
            continue
        corner = segment.end
        smooth = segment.tangent_at(1.0).dot(segments[after].tangent_at(0.0)) > SMOOTH
        if corner.y > LEVEL and not smooth:
            yield corner


def _threads(part: TurnedPart, view: View, cut: bool) -> Iterator[Item]:
    """Thread roots as narrow lines, in each half where they are seen, and knurls as crossed lines."""
    for feature in part.features:
        if isinstance(feature, Thread):
            halves = (view, view.below()) if feature.side == "outside" else (view.below(),)
            title = feature.designation
            for half in halves:
                runs = tuple((half.segment(line),) for line in root_lines(part.profile, feature))
                yield Path(runs, "thin", title=title)
        elif isinstance(feature, Knurl):
            yield from _knurl(part.profile, feature, view)


def root_lines(profile: Profile, thread: Thread) -> Iterator[Line]:
    """The thread's root beside each crest piece (outside: below it; inside: above it)."""
    depth = 0.5 * (thread.major_diameter_mm - thread.minor_diameter_mm)
    shift = Vector(0.0, -depth if thread.side == "outside" else depth)
    for index in thread.segments:
        line = _within(profile.segments[index], thread)
        if line is not None:
            yield line.moved(shift)


def _within(segment: Segment, feature: Feature) -> Line | None:
    """The part of a straight, lengthwise piece that lies in the feature's z range."""
    if not isinstance(segment, Line) or _upright(segment):
        return None
    z0, z1 = segment.start.x, segment.end.x
    shares = sorted((z - z0) / (z1 - z0) for z in (feature.z_front, feature.z_back))
    t0, t1 = max(0.0, shares[0]), min(1.0, shares[1])
    return segment.part(t0, t1) if t1 > t0 else None


def _knurl(profile: Profile, knurl: Knurl, view: View) -> Iterator[Item]:
    """A few crossed lines on the view half."""
    for index in knurl.segments:
        line = _within(profile.segments[index], knurl)
        if line is None:
            continue
        a, b = view.point(line.start), view.point(line.end)
        height, pitch = 14.0, 8.0
        count = int(abs(b.x - a.x) / pitch)
        left = min(a.x, b.x)
        for number in range(count):
            x = left + number * pitch
            cross = (
                polyline(Point(x, a.y), Point(x + pitch, a.y + height)),
                polyline(Point(x + pitch, a.y), Point(x, a.y + height)),
            )
            yield Path(cross, "thin", title=f"knurl, pitch {plain_text(knurl.pitch, 2)} mm")


def _upright(segment: Segment) -> bool:
    return isinstance(segment, Line) and abs(segment.start.x - segment.end.x) < LEVEL
