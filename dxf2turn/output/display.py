"""The display list: what a picture consists of, in page coordinates (pixels, x right, y down).

Pictures are built from these few values and turned into SVG by `svg.py`; arcs stay arcs.
"""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Bounds, Line, Segment

Run = tuple[Segment, ...]


@dataclass(frozen=True, slots=True)
class Path:
    """Connected runs drawn with one style; closed runs may be filled (even-odd)."""

    runs: tuple[Run, ...]
    style: str
    closed: bool = False
    title: str = ""


@dataclass(frozen=True, slots=True)
class Disc:
    """A circle: balloons and dots."""

    centre: Point
    radius: float
    style: str


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text. anchor: "start", "middle" or "end"; angle: degrees, clockwise on the page."""

    at: Point
    text: str
    style: str = "text"
    anchor: str = "start"
    angle: float = 0.0


@dataclass(frozen=True, slots=True)
class Group:
    """Items that belong together; `name` becomes the id, `clip` hides what lies outside the box."""

    items: tuple[Item, ...]
    name: str = ""
    clip: Bounds | None = None
    title: str = ""


Item = Path | Disc | Text | Group


@dataclass(frozen=True, slots=True)
class Picture:
    """A whole picture with its size in pixels, a title and a description for those who can't see it."""

    width: float
    height: float
    items: tuple[Item, ...]
    title: str
    description: str = ""


@dataclass(frozen=True, slots=True)
class View:
    """Maps (z, r) to the page: `scale` pixels for a mm, `origin` = page place of z 0, r 0.

    up is 1 for the half above the axis and -1 for the half below.
    """

    scale: float
    origin: Point
    up: int = 1

    def below(self) -> View:
        """The mirrored view: the half below the axis."""
        return View(self.scale, self.origin, -self.up)

    def point(self, place: Point) -> Point:
        """Page place of (z, r)."""
        return Point(
            self.origin.x + self.scale * place.x,
            self.origin.y - self.up * self.scale * place.y,
        )

    def place(self, point: Point) -> Point:
        """(z, r) of a place on the page."""
        return Point((point.x - self.origin.x) / self.scale, self.up * (self.origin.y - point.y) / self.scale)

    def segment(self, segment: Segment) -> Segment:
        """The segment on the page. `clockwise` stays a statement about x right, y up, see `svg`."""
        start, end = self.point(segment.start), self.point(segment.end)
        if isinstance(segment, Arc):
            turned = segment.clockwise if self.up < 0 else not segment.clockwise
            return Arc(start, end, self.point(segment.centre), turned)
        return Line(start, end)

    def run(self, segments: tuple[Segment, ...]) -> Run:
        """A whole run on the page."""
        return tuple(self.segment(segment) for segment in segments)


def polyline(*points: Point) -> Run:
    """A run of straight lines through page points."""
    return tuple(Line(a, b) for a, b in zip(points, points[1:]))


def box(left: float, top: float, right: float, bottom: float) -> Run:
    """A closed rectangle."""
    corners = (Point(left, top), Point(right, top), Point(right, bottom), Point(left, bottom))
    return polyline(*corners, corners[0])


_NARROW = set("iljtfrI.,:;'|!()[] -/")
_WIDE = set("mwMW@%")


def text_width(text: str, size: float) -> float:
    """Width of a text, pixels: an estimate on the safe side for the shipped font.

    Classes of characters instead of the font's own table: labels only need to keep clear of each other.
    """
    em = sum(0.42 if c in _NARROW else 0.98 if c in _WIDE else 0.68 for c in text)
    return em * size


def spread(wanted: list[float], gap: float, low: float, high: float) -> list[float]:
    """Places near `wanted` (ascending), at least `gap` apart, between `low` and `high`.

    Neighbours that come too close form a block about the mean of their wishes. When there is no room for
    the gap, places are spaced evenly.
    """
    count = len(wanted)
    if count == 0:
        return []
    if (count - 1) * gap >= high - low:
        step = (high - low) / max(1, count - 1)
        return [low + index * step for index in range(count)]
    blocks: list[tuple[float, int]] = []  # (sum of wishes of the block's first place, size)
    for wish in wanted:
        total, size = wish, 1
        while blocks and blocks[-1][0] / blocks[-1][1] + blocks[-1][1] * gap > total / size:
            before, number = blocks.pop()
            total, size = before + total - size * number * gap, number + size
        blocks.append((total, size))
    places = [total / size + index * gap for total, size in blocks for index in range(size)]
    floors = [max(place, low + index * gap) for index, place in enumerate(places)]
    return [min(place, high - (count - 1 - index) * gap) for index, place in enumerate(floors)]
