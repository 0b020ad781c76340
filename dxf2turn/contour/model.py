"""What the contour stage hands on: one closed profile in the machine's plane, and the way back.

From here on x of a Point is Z (mm, 0 on the finished front face, the part at z <= 0) and y is r (mm).
"""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.findings import Finding, Location, Repair
from dxf2turn.geometry.path import path_bounds, revolved_volume
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Bounds, Line, Segment
from dxf2turn.reading.model import Note


@dataclass(frozen=True, slots=True)
class Frame:
    """Where the part sits in the drawing. `contour/frame.py` converts with it.

    origin: drawing coordinates of (z 0, r 0). z_axis: unit direction of +Z in the drawing; r_axis: unit
    direction of +r (either side of the axis). mm_per_unit: mm of the part for one drawing unit.
    """

    origin: Point
    z_axis: tuple[float, float]
    r_axis: tuple[float, float]
    mm_per_unit: float


@dataclass(frozen=True, slots=True)
class Profile:
    """The closed profile.

    segments: counter-clockwise with z to the right and r up: front face upwards, the outside from front
    to back, the back face downwards, the bore or the axis from back to front. The first segment starts
    where the bore or axis run ends (the innermost point of the front). r >= 0 everywhere.
    roles: one of "front", "outside", "back", "inside", "axis" for each segment; a step or shoulder on
    the outside is "outside", an inner face of a stepped bore "inside".
    """

    segments: tuple[Segment, ...]
    roles: tuple[str, ...]

    @property
    def bounds(self) -> Bounds:
        return path_bounds(self.segments)

    @property
    def length(self) -> float:
        box = self.bounds
        return box.max_x - box.min_x

    @property
    def max_radius(self) -> float:
        return self.bounds.max_y

    @property
    def volume(self) -> float:
        return revolved_volume(self.segments)

    @property
    def is_solid(self) -> bool:
        """No bore reaches through: some piece of the profile lies on the axis."""
        return "axis" in self.roles

    def run(self, *roles: str) -> tuple[int, ...]:
        """Indices of the segments with one of `roles`, in order."""
        return tuple(index for index, role in enumerate(self.roles) if role in roles)


@dataclass(frozen=True, slots=True)
class PlacedNote:
    """A note with its place and what it points at in (z, r); r is never negative."""

    note: Note
    at: Point
    tips: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class ThinLine:
    """A line inside the outline, parallel to a crest, as ISO 6410 draws a thread's root (mm, z and r)."""

    segment: Segment
    handle: str
    layer: str


@dataclass(frozen=True, slots=True)
class CrossLine:
    """One of a row of lines across the part at even distances (mm, z and r), as crests and roots of threads
    are often drawn.

    segment: on one side of the axis, from its outer end inwards; straight, or slanted where a thread rises.
    row: number of its row, counted from the front; the lines of a row follow each other from the front.
    """

    segment: Line
    handle: str
    layer: str
    row: int


@dataclass(frozen=True, slots=True)
class Candidate:
    """One thing on the sheet that may be a turned part, for the list that the user chooses from.

    layer: the one that shows it by itself, where parts are drawn into each other on layers of their own.
    """

    number: int
    drawing_bounds: Bounds  # drawing coordinates
    length: float
    max_diameter_mm: float
    note: str = ""
    layer: str | None = None


@dataclass(frozen=True, slots=True)
class Contour:
    """The stage's result.

    view: "half", "full", "half-section" or "section". thin_lines: roots of threads (ISO 6410). cross_lines:
    rows of lines across, in order of their rows. layers: handle and layer of each entity that the profile is
    made of. profile is None when findings stop.
    """

    frame: Frame | None
    profile: Profile | None
    view: str = "half"
    notes: tuple[PlacedNote, ...] = ()
    thin_lines: tuple[ThinLine, ...] = ()
    candidates: tuple[Candidate, ...] = ()
    repairs: tuple[Repair, ...] = ()
    findings: tuple[Finding, ...] = ()
    cross_lines: tuple[CrossLine, ...] = ()
    layers: tuple[tuple[str, str], ...] = ()


def located(frame: Frame | None, z: float, r: float, handles: tuple[str, ...] = ()) -> Location:
    """A Location for a place on the part, with its drawing coordinates when the frame is known."""
    if frame is None:
        return Location(z=z, r=r, handles=handles)
    x = frame.origin.x + (z * frame.z_axis[0] + r * frame.r_axis[0]) / frame.mm_per_unit
    y = frame.origin.y + (z * frame.z_axis[1] + r * frame.r_axis[1]) / frame.mm_per_unit
    return Location(drawing_xy=Point(x, y), z=z, r=r, handles=handles)


__all__ = [
    "Arc",
    "Candidate",
    "Contour",
    "CrossLine",
    "Frame",
    "Line",
    "PlacedNote",
    "Profile",
    "Segment",
    "ThinLine",
    "located",
]
