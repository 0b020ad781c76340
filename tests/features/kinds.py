"""Generated parts: each feature kind alone and in pairs, with the features that must be found.

Every element is drawn in a local plane: `along` the surface, `up` out of the material. A path lays it on the
outside (front to back), in the bore, or on the front face, and writes down what it is.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

from dxf2turn.contour.model import Contour, Profile
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Segment, arc_through

Expected = tuple[str, str, str]  # kind, side, form of a groove ("" for others)


@dataclass
class Path:
    """A run of the profile in local coordinates, and the features it must give. Test code only."""

    side: str
    level: float  # height of the base surface: a radius, for a face its z
    points: list[tuple[float, float, float]] = field(default_factory=list)  # along, up, bulge to the next
    expected: list[tuple[Expected, float, float]] = field(default_factory=list)  # with along from, to
    at: float = 0.0

    def line(self, kind: str, along: float, up: float, side: str | None = None) -> None:
        """A straight piece to (at + along, up), a feature of this kind."""
        self.piece(along, up, 0.0)
        self._note((kind, side or self.side, ""), self.at - along)

    def piece(self, along: float, up: float, bulge: float) -> None:
        """A piece that belongs to a larger feature. bulge: positive turns left (convex)."""
        last = self.points[-1]
        self.points[-1] = (last[0], last[1], bulge)
        self.at += along
        self.points.append((self.at, up, 0.0))

    def arc(self, kind: str, along: float, up: float, bulge: float) -> None:
        """An arc that is a feature of its own."""
        self.piece(along, up, bulge)
        self._note((kind, self.side, ""), self.at - along)

    def groove(self, form: str, start: float) -> None:
        """Everything since `start` is one groove."""
        self._note(("groove", self.side, form), start)

    def _note(self, what: Expected, start: float) -> None:
        if self.expected and what == ("cylinder", self.side, "") == self.expected[-1][0]:
            what, start, _ = self.expected.pop()
            del self.points[-2]
        self.expected.append((what, start, self.at))

    @property
    def height(self) -> float:
        """Height of the last point."""
        return self.points[-1][1]


Element = Callable[[Path], None]
QUARTER = math.tan(math.pi / 8)  # bulge of a quarter circle


def land(length: float) -> Element:
    """A stretch of the base surface."""
    return lambda path: path.line("cylinder", length, path.height)


def square(
    width: float, depth: float, fillet: float = 0.0, chamfer: float = 0.0, rounded: float = 0.0
) -> Element:
    """Square groove with sharp, filleted, chamfered or rounded corners."""

    def draw(path: Path) -> None:
        start, top = path.at, path.height
        breaks = chamfer or rounded
        bulge = QUARTER if rounded else 0.0
        if breaks:
            path.piece(breaks, top - breaks, bulge)
        path.piece(0.0, top - depth + fillet, 0.0)
        if fillet:
            path.piece(fillet, top - depth, -QUARTER)
        path.piece(width - 2 * fillet, top - depth, 0.0)
        if fillet:
            path.piece(fillet, top - depth + fillet, -QUARTER)
        path.piece(0.0, top - breaks, 0.0)
        if breaks:
            path.piece(breaks, top, bulge)
        path.groove("square", start)

    return draw


def vee(width: float, angle_deg: float, flat: float = 0.0) -> Element:
    """Vee groove of an included angle, pointed or with a flat."""

    def draw(path: Path) -> None:
        start, top = path.at, path.height
        half = 0.5 * (width - flat)
        depth = half / math.tan(math.radians(angle_deg / 2))
        path.piece(half, top - depth, 0.0)
        if flat:
            path.piece(flat, top - depth, 0.0)
        path.piece(half, top, 0.0)
        path.groove("vee", start)

    return draw


def full_round(radius: float, depth: float) -> Element:
    """Full-radius groove with straight upper walls (depth above the radius), or a segment of a circle."""

    def draw(path: Path) -> None:
        start, top = path.at, path.height
        if depth > radius:
            path.piece(0.0, top - depth + radius, 0.0)
            path.piece(2 * radius, top - depth + radius, -1.0)
            path.piece(0.0, top, 0.0)
        else:
            half = math.sqrt(radius**2 - (radius - depth) ** 2)
            path.piece(2 * half, top, -math.tan(math.asin(half / radius) / 2))
        path.groove("round", start)

    return draw


def angled(width: float, depth: float, lean_deg: float) -> Element:
    """Flat floor, one upright and one leaning wall."""

    def draw(path: Path) -> None:
        start, top = path.at, path.height
        lean = depth * math.tan(math.radians(lean_deg))
        path.piece(0.0, top - depth, 0.0)
        path.piece(width - lean, top - depth, 0.0)
        path.piece(lean, top, 0.0)
        path.groove("angled", start)

    return draw


def shoulder(rise: float, fillet: float = 0.0, chamfer: float = 0.0, rounded: float = 0.0) -> Element:
    """A step up, with a fillet in the corner and a chamfer or a round on the edge."""

    def draw(path: Path) -> None:
        low = path.height
        if fillet:
            path.arc("fillet", fillet, low + fillet, -QUARTER)
        path.line("face", 0.0, low + rise - chamfer - rounded)
        if chamfer:
            path.line("chamfer", chamfer, low + rise)
        if rounded:
            path.arc("edge_round", rounded, low + rise, QUARTER)

    return draw


def step_down(drop: float, fillet: float = 0.0, chamfer: float = 0.0) -> Element:
    """A step down."""

    def draw(path: Path) -> None:
        high = path.height
        if chamfer:
            path.line("chamfer", chamfer, high - chamfer)
        path.line("face", 0.0, high - drop + fillet)
        if fillet:
            path.arc("fillet", fillet, high - drop, -QUARTER)

    return draw


def cone(length: float, rise: float) -> Element:
    """A taper."""
    return lambda path: path.line("taper", length, path.height + rise)


def relief(width: float, depth: float, radius: float, rise: float) -> Element:
    """Thread relief: 30 degree run-out, floor, radius, shoulder."""

    def draw(path: Path) -> None:
        start, top = path.at, path.height
        slope = depth / math.tan(math.radians(30.0))
        path.piece(slope, top - depth, 0.0)
        path.piece(width - slope - radius, top - depth, 0.0)
        path.piece(radius, top - depth + radius, -QUARTER)
        path.groove("angled", start)
        path.line("face", 0.0, top + rise)

    return draw


def undercut_e(radius: float, depth: float, width: float, rise: float) -> Element:
    """Form E: 15 degree run-out, floor, radius up to the shoulder."""

    def draw(path: Path) -> None:
        start, top = path.at, path.height
        slope = depth / math.tan(math.radians(15.0))
        path.piece(slope, top - depth, 0.0)
        path.piece(width - slope - radius, top - depth, 0.0)
        path.piece(radius, top - depth + radius, -QUARTER)
        path.groove("undercut", start)
        path.line("face", 0.0, top + rise)

    return draw


def undercut_f(radius: float, depth: float, width: float, behind: float, rise: float) -> Element:
    """Form F: as E, and 8 degrees out of the face."""

    def draw(path: Path) -> None:
        start, top = path.at, path.height
        slope, lean = depth / math.tan(math.radians(15.0)), math.radians(8.0)
        arc = math.pi / 2 + lean
        path.piece(slope, top - depth, 0.0)
        path.piece(width + behind - slope - radius, top - depth, 0.0)
        end = radius * math.cos(lean), radius * (1 + math.sin(lean))
        path.piece(end[0], top - depth + end[1], -math.tan(arc / 4))
        back = behind - (radius - end[0])
        path.piece(-back, top - depth + end[1] + back / math.tan(lean), 0.0)
        path.groove("undercut", start)
        path.line("face", 0.0, top + rise)

    return draw


def neck(width: float, depth: float) -> Element:
    """A long low stretch between two faces: no groove."""

    def draw(path: Path) -> None:
        top = path.height
        path.line("face", 0.0, top - depth)
        path.line("cylinder", width, top - depth)
        path.line("face", 0.0, top)

    return draw


ELEMENTS: dict[str, Element] = {
    "square": square(3.0, 2.0),
    "narrow square": square(1.3, 0.55),
    "filleted square": square(4.0, 2.5, fillet=0.4),
    "chamfered square": square(3.6, 2.0, fillet=0.3, chamfer=0.3),
    "rounded square": square(4.8, 2.7, fillet=0.3, rounded=0.2),
    "vee": vee(4.0, 60.0),
    "blunt vee": vee(6.0, 40.0, flat=1.5),
    "full round": full_round(1.5, 2.5),
    "half round": full_round(2.0, 2.0),
    "segment": full_round(3.0, 1.2),
    "angled": angled(5.0, 2.0, 30.0),
    "shoulder": shoulder(3.0),
    "filleted shoulder": shoulder(3.0, fillet=0.8, chamfer=0.5),
    "rounded shoulder": shoulder(3.0, rounded=1.0),
    "step down": step_down(2.5, fillet=0.6, chamfer=0.5),
    "taper": cone(12.0, 2.0),
    "relief": relief(5.2, 1.15, 0.8, 3.0),
    "undercut E": undercut_e(0.6, 0.3, 2.5, 3.0),
    "undercut F": undercut_f(0.6, 0.3, 2.5, 0.2, 4.0),
    "neck": neck(25.0, 1.5),
}
FACE_ELEMENTS = ("square", "filleted square", "chamfered square", "vee", "half round", "angled")
# What is a shoulder outside leads inwards in a bore, where the kinds are the same.
BORE_KINDS = {"cylinder": "bore"}


def outside_part(*elements: Element) -> tuple[Contour, list[Expected]]:
    """A solid part with the elements on its outside, lands between them."""
    path = Path("outside", 20.0)
    path.points.append((0.0, 20.0, 0.0))
    _lay(path, elements)
    points = [(0.0, 0.0, 0.0), *((-a, u, b) for a, u, b in path.points), (-path.at, 0.0, 0.0)]
    roles = ["front", *(["outside"] * (len(path.points) - 1)), "back", "axis"]
    expected = [("face", "face", ""), *(what for what, _, _ in path.expected), ("face", "end", "")]
    return _contour(points, roles), expected


def bore_part(*elements: Element) -> tuple[Contour, list[Expected]]:
    """A sleeve with the elements in its bore."""
    path = Path("inside", 0.0)
    path.points.append((0.0, 0.0, 0.0))
    _lay(path, elements)
    run = [(-a, 40.0 - u, b) for a, u, b in path.points]
    back = [(z, r, run[i - 1][2] if i else 0.0) for i, (z, r, _) in reversed(list(enumerate(run)))]
    outer = [(0.0, 55.0, 0.0), (-path.at, 55.0, 0.0)]
    points = [back[-1], *outer, *back[:-1]]
    roles = ["front", "outside", "back", *(["inside"] * (len(back) - 1))]
    inside = [((BORE_KINDS.get(k, k), s, f)) for (k, s, f), _, _ in path.expected]
    ends = [("face", "face", ""), ("cylinder", "outside", ""), ("face", "end", "")]
    return _contour(points, roles), ends + inside


def face_part(*elements: Element) -> tuple[Contour, list[Expected]]:
    """A disc with the elements in its front face, from the middle outwards."""
    path = Path("face", 0.0)
    path.points.append((0.0, 0.0, 0.0))
    expected: list[Expected] = []
    path.piece(15.0, 0.0, 0.0)
    for element in elements:
        element(path)
        path.piece(6.0, 0.0, 0.0)
    faces = [("face", "face", "")] * (len(elements) + 1)
    expected = [*faces, *(w for w, _, _ in path.expected), ("cylinder", "outside", ""), ("face", "end", "")]
    points = [*((u, a, b) for a, u, b in path.points), (-20.0, path.at, 0.0), (-20.0, 0.0, 0.0)]
    roles = [*(["front"] * (len(path.points) - 1)), "outside", "back", "axis"]
    return _contour(points, roles), expected


def _lay(path: Path, elements: tuple[Element, ...]) -> None:
    path.line("cylinder", 10.0, path.height)
    for element in elements:
        element(path)
        path.line("cylinder", 8.0, path.height)


def _contour(points: list[tuple[float, float, float]], roles: list[str]) -> Contour:
    segments: list[Segment] = []
    for (z, r, bulge), (z2, r2, _) in zip(points, points[1:] + points[:1]):
        segments.append(arc_through(Point(z, r), Point(z2, r2), bulge))
    return Contour(None, Profile(tuple(segments), tuple(roles)))
