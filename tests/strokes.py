"""How a designer may draw a profile: views as strokes in (z, r), placed in a drawing, made dirty.

A stroke is what one entity shows. `Place` says where the part's z axis lies in the drawing.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from dxf2turn.contour.model import Profile
from dxf2turn.geometry.path import reversed_path
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Line, Segment

TANGENT = 1e-6  # cosine distance below which two pieces run on without an edge


@dataclass(frozen=True, slots=True)
class Stroke:
    """Joined segments of one entity. linetype: None = the layer's."""

    segments: tuple[Segment, ...]
    layer: str = "PART"
    linetype: str | None = None
    closed: bool = False


@dataclass(frozen=True, slots=True)
class View:
    """One view of a part: strokes, and the closed outlines of its hatches."""

    strokes: tuple[Stroke, ...]
    hatches: tuple[tuple[Segment, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Place:
    """Where the part lies: +z runs along (c, s); +r to its left, or to its right when `mirrored`."""

    c: float = 1.0
    s: float = 0.0
    mirrored: bool = False
    x: float = 0.0
    y: float = 0.0
    scale: float = 1.0

    def point(self, p: Point) -> Point:
        r = -p.y if self.mirrored else p.y
        return Point(
            self.x + self.scale * (p.x * self.c - r * self.s),
            self.y + self.scale * (p.x * self.s + r * self.c),
        )

    def segment(self, segment: Segment) -> Segment:
        start, end = self.point(segment.start), self.point(segment.end)
        if isinstance(segment, Line):
            return Line(start, end)
        return Arc(start, end, self.point(segment.centre), segment.clockwise != self.mirrored)

    def view(self, view: View) -> View:
        return View(
            tuple(replace(s, segments=tuple(map(self.segment, s.segments))) for s in view.strokes),
            tuple(tuple(map(self.segment, hatch)) for hatch in view.hatches),
        )


BELOW = Place(mirrored=True)  # the other half


def centre_line(profile: Profile, over: float = 4.0) -> Stroke:
    """The axis as a centre line, `over` longer than the part at both ends."""
    return Stroke((Line(Point(over, 0.0), Point(-profile.length - over, 0.0)),), "AXIS")


def drawn(profile: Profile, *roles: str) -> tuple[Segment, ...]:
    """The pieces of the profile with one of `roles` (none given: all but those on the axis)."""
    keep = roles or ("front", "outside", "back", "inside")
    return tuple(s for s, role in zip(profile.segments, profile.roles) if role in keep)


def loose(segments: Iterable[Segment], layer: str = "PART") -> tuple[Stroke, ...]:
    return tuple(Stroke((segment,), layer) for segment in segments)


def other_half(strokes: Iterable[Stroke]) -> tuple[Stroke, ...]:
    return BELOW.view(View(tuple(strokes))).strokes


def half_lines(profile: Profile) -> View:
    """Half profile in single lines and arcs, nothing drawn on the axis."""
    return View(loose(drawn(profile)))


def half_polyline(profile: Profile) -> View:
    """Half profile as one closed polyline, the side on the axis included."""
    return View((Stroke(profile.segments, closed=True),))


def open_polyline(profile: Profile) -> View:
    """Half profile of a solid part as one polyline that is open along the axis."""
    return View((Stroke(drawn(profile)),))


def corners(profile: Profile, inside: bool) -> list[Point]:
    """Points of the outside (or the inside) at which a side view shows an edge across."""
    found = []
    pieces = list(zip(profile.segments, profile.roles))
    for (a, role_a), (b, role_b) in zip(pieces, pieces[1:] + pieces[:1]):
        at_hole = "inside" in (role_a, role_b)
        sharp = 1.0 - a.tangent_at(1.0).dot(b.tangent_at(0.0)) > TANGENT
        if sharp and at_hole == inside and b.start.y > 0.0:
            found.append(b.start)
    return found


def across(points: Iterable[Point], layer: str = "PART") -> list[Stroke]:
    """Edges from half to half; of several at one place the longest, as one line."""
    longest: dict[float, float] = {}
    for p in points:
        longest[p.x] = max(p.y, longest.get(p.x, 0.0))
    return [Stroke((Line(Point(z, r), Point(z, -r)),), layer) for z, r in longest.items()]


def full_view(profile: Profile) -> View:
    """Seen from outside: both halves, faces drawn across in one line, a hole as hidden lines."""
    edges = across(corners(profile, inside=False))
    places = {stroke.segments[0].start.x: stroke.segments[0].start.y for stroke in edges}
    upper = [
        segment
        for segment in drawn(profile, "front", "outside", "back")
        if not (segment.start.x == segment.end.x and places.get(segment.start.x, 0.0) >= segment.bounds.max_y)
    ]
    hidden = loose(drawn(profile, "inside"), "HIDDEN")
    strokes = (*loose(upper), *hidden)
    hidden_edges = across(corners(profile, inside=True), "HIDDEN")
    return View((*strokes, *other_half(strokes), *edges, *hidden_edges))


def full_view_plain(profile: Profile) -> View:
    """Both halves in single pieces, edges drawn across besides them (they lie on each other at faces)."""
    upper = loose(drawn(profile, "front", "outside", "back"))
    hidden = loose(drawn(profile, "inside"), "HIDDEN")
    mouths = mouths_of(profile)
    edges = across([*corners(profile, inside=False), *mouths])
    return View((*upper, *hidden, *other_half((*upper, *hidden)), *edges))


def mouths_of(profile: Profile) -> list[Point]:
    """Corners of the hole that lie on an end face."""
    ends = (0.0, -profile.length)
    return [p for p in corners(profile, inside=True) if min(abs(p.x - z) for z in ends) < TANGENT]


def half_section(profile: Profile) -> View:
    """Upper half cut open and hatched, lower half seen from outside."""
    upper = loose(drawn(profile))
    seen = [
        Stroke((Line(Point(p.x, 0.0), Point(p.x, -p.y)),)) for p in corners(profile, inside=False) if p.y > 0
    ]
    behind = [Stroke((Line(p, Point(p.x, 0.0)),)) for p in corners(profile, inside=True)]
    mouths = mouths_of(profile)
    seen += [Stroke((Line(Point(p.x, 0.0), Point(p.x, -p.y)),)) for p in mouths]
    lower = other_half(loose(drawn(profile, "front", "outside", "back")))
    return View((*upper, *lower, *seen, *behind), (profile.segments,))


def section(profile: Profile) -> View:
    """Cut open along the axis: both halves hatched, the edges of the hole across."""
    upper = loose(drawn(profile))
    behind = across(corners(profile, inside=True))
    lower = tuple(map(BELOW.segment, profile.segments))
    return View((*upper, *other_half(upper), *behind), (profile.segments, lower))


def both_in_one(profile: Profile) -> View:
    """A solid part's two halves in one closed polyline."""
    upper = drawn(profile)
    lower = reversed_path(tuple(map(BELOW.segment, upper)))
    return View((Stroke((*upper, *lower), closed=True),))


def shuffled(view: View, rng: random.Random) -> View:
    """The same strokes in any order and direction."""
    strokes = [
        replace(s, segments=reversed_path(s.segments)) if rng.random() < 0.5 else s for s in view.strokes
    ]
    rng.shuffle(strokes)
    return replace(view, strokes=tuple(strokes))


def split(view: View, rng: random.Random, share: float = 0.4) -> View:
    """Some single pieces cut in two anywhere."""
    out: list[Stroke] = []
    for stroke in view.strokes:
        if len(stroke.segments) == 1 and rng.random() < share:
            t = rng.uniform(0.2, 0.8)
            piece = stroke.segments[0]
            first = piece.part(0.0, t)
            second = replace(piece.part(t, 1.0), start=first.end)
            out.extend((replace(stroke, segments=(first,)), replace(stroke, segments=(second,))))
        else:
            out.append(stroke)
    return replace(view, strokes=tuple(out))


def dirty(view: View, rng: random.Random, size: float = 0.003) -> View:
    """Gaps and overshoots up to `size`, doubles, near-doubles, stubs, pieces without length."""
    out: list[Stroke] = []
    for stroke in view.strokes:
        if len(stroke.segments) > 1 or not isinstance(stroke.segments[0], Line):
            out.append(stroke)
            continue
        line = stroke.segments[0]
        out.append(replace(stroke, segments=(_stretched(line, rng, size),)))
        if rng.random() < 0.2:
            out.append(replace(stroke, segments=(line.reversed(),)))
        if rng.random() < 0.2:
            out.append(replace(stroke, segments=(line.moved(Vector(0.0001, 0.0001)),)))
        if rng.random() < 0.1:
            out.append(replace(stroke, segments=(Line(line.start, line.start + Vector(0.00003, 0.0)),)))
    return replace(view, strokes=tuple(out))


def _stretched(line: Line, rng: random.Random, size: float) -> Line:
    along = (line.end - line.start).unit() or Vector(0.0, 0.0)
    return Line(line.start + along * rng.uniform(-size, size), line.end + along * rng.uniform(-size, size))


def sized(strokes: Sequence[Stroke]) -> tuple[float, float, float, float]:
    """Least and largest x and y of strokes."""
    boxes = [segment.bounds for stroke in strokes for segment in stroke.segments]
    return (
        min(b.min_x for b in boxes),
        min(b.min_y for b in boxes),
        max(b.max_x for b in boxes),
        max(b.max_y for b in boxes),
    )
