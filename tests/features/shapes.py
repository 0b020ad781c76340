"""Small profiles for the feature tests, from corner points. z along the axis, d a diameter."""

from __future__ import annotations

import math
from dataclasses import dataclass

from dxf2turn.contour.model import Contour, PlacedNote, Profile, ThinLine
from dxf2turn.features.model import TurnedPart
from dxf2turn.features.recognise import recognise
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line, Segment, arc_through
from dxf2turn.options import DrawingOptions
from dxf2turn.reading.model import Dimension, DimensionKind, Note, NoteKind, Origin


@dataclass(frozen=True)
class C:
    """A corner: z, diameter, and how it is broken. bulge: of the side that starts here."""

    z: float
    d: float
    chamfer: float = 0.0
    radius: float = 0.0
    bulge: float = 0.0


def profile(outer: list[C], inner: list[C] | None = None) -> Profile:
    """Profile from the outside corners, front to back (from the axis or the bore at the front to the axis or
    the bore at the back), and the inside corners, back to front."""
    points = _broken(outer + (inner or []))
    count = len(outer)
    segments: list[Segment] = []
    roles: list[str] = []
    for (a, owner, bulge), (b, _, _) in zip(points, points[1:] + points[:1]):
        if a == b:
            continue
        segment = arc_through(a, b, bulge)
        segments.append(segment)
        roles.append(_role(segment, owner, count, segments))
    return Profile(tuple(segments), _faces(segments, roles))


def _role(segment: Segment, owner: int, count: int, _: list[Segment]) -> str:
    if isinstance(segment, Line) and segment.start.y == 0.0 and segment.end.y == 0.0:
        return "axis"
    return "outside" if owner < count - 1 else "inside"


def _faces(segments: list[Segment], roles: list[str]) -> tuple[str, ...]:
    """The plane faces at both ends become front and back."""
    back = min(min(s.start.x, s.end.x) for s in segments)
    out = list(roles)
    for index, (segment, role) in enumerate(zip(segments, roles)):
        flat = isinstance(segment, Line) and segment.start.x == segment.end.x
        if flat and role == "outside" and segment.start.x == 0.0 and segment.end.y > segment.start.y:
            out[index] = "front"
        if flat and role == "outside" and segment.start.x == back and segment.end.y < segment.start.y:
            out[index] = "back"
    return tuple(out)


def _broken(corners: list[C]) -> list[tuple[Point, int, float]]:
    """(vertex, corner number, bulge of the side that starts there)."""
    out: list[tuple[Point, int, float]] = []
    for number, corner in enumerate(corners):
        here = Point(corner.z, corner.d / 2.0)
        if not corner.chamfer and not corner.radius:
            out.append((here, number, corner.bulge))
            continue
        before, after = corners[number - 1], corners[(number + 1) % len(corners)]
        u = (Point(before.z, before.d / 2.0) - here).unit()
        v = (Point(after.z, after.d / 2.0) - here).unit()
        assert u is not None and v is not None
        reach, bulge = corner.chamfer, 0.0
        if corner.radius:
            angle = math.acos(max(-1.0, min(1.0, u.dot(v))))
            reach = corner.radius / math.tan(angle / 2.0)
            bulge = math.tan(math.copysign(math.pi - angle, -u.cross(v)) / 4.0)
        out.append((here + u * reach, number if number else len(corners) - 1, bulge))
        out.append((here + v * reach, number, corner.bulge))
    if corners[0].chamfer or corners[0].radius:  # the break of the innermost front corner ends the bore
        out.append(out.pop(0))
    return out


def contour(
    outer: list[C],
    inner: list[C] | None = None,
    notes: tuple[PlacedNote, ...] = (),
    thin_lines: tuple[ThinLine, ...] = (),
) -> Contour:
    """A contour without a frame around `profile`."""
    return Contour(None, profile(outer, inner), notes=notes, thin_lines=thin_lines)


def note(
    text: str,
    at: tuple[float, float],
    tips: tuple[tuple[float, float], ...] = (),
    height: float = 2.5,
) -> PlacedNote:
    """A text at (z, r), with leader tips where it points at something."""
    kind = NoteKind.LEADER if tips else NoteKind.TEXT
    own = Note(kind, text, Point(*at), Origin("2A", "TEXT", "NOTES"), height=height)
    return PlacedNote(own, Point(*at), tuple(Point(*tip) for tip in tips))


def dimension(
    text: str,
    first: tuple[float, float],
    last: tuple[float, float],
    shown: float | None = None,
    kind: DimensionKind = DimensionKind.LINEAR,
) -> PlacedNote:
    """A dimension between two places in (z, r), r signed. Horizontal or vertical, as the places lie.

    shown: the number a drafter wrote; None = the text is the measurement.
    """
    ends = (Point(*first), Point(*last))
    upright = abs(ends[0].x - ends[1].x) < abs(ends[0].y - ends[1].y)
    measured = abs(ends[0].y - ends[1].y) if upright else abs(ends[0].x - ends[1].x)
    direction = math.pi / 2 if upright else 0.0
    size = Dimension(kind, ends, measured, direction, shown)
    middle = ends[0].towards(ends[1], 0.5)
    own = Note(NoteKind.DIMENSION, text, middle, Origin("3B", "DIMENSION", "NOTES"), ends, 2.5, size)
    return PlacedNote(own, Point(middle.x, abs(middle.y)), tuple(Point(e.x, abs(e.y)) for e in ends))


def recognised(
    outer: list[C],
    inner: list[C] | None = None,
    *notes: PlacedNote,
    thin: tuple[ThinLine, ...] = (),
    threads: tuple[str, ...] = (),
) -> TurnedPart:
    """The recognised part of a small profile."""
    return recognise(contour(outer, inner, notes, thin), DrawingOptions(threads=threads))
