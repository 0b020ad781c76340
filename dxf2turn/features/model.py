"""Features of a turned part as frozen values. Lengths mm, radii not diameters, angles radians;
fields that people know as diameters end in `_mm` and are diameters."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from dxf2turn.contour.model import Profile
from dxf2turn.findings import Finding
from dxf2turn.geometry.point import Point

LEADS_IN = math.radians(15.0)  # a cone as steep as this to the axis leads a thread in
LEADS_TO = 0.02  # from its crest, mm on the radius


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Limits of one size: nominal and both deviations (upper >= lower), mm, with where they come from.

    what: "diameter" or "length" (or "radius", "chamfer"). source: e.g. "h6, ISO 286-2 table, copied" or
    "ISO 2768-1 m". z_front/z_back and r say where the size is; for a length they are its two planes.
    from_note: text of the note; grade: IT grade where a class gives one.
    """

    what: str
    nominal: float
    upper: float
    lower: float
    z_front: float
    z_back: float
    r: float
    text: str = ""
    grade: int | None = None
    source: str = ""
    handle: str = ""

    @property
    def middle(self) -> float:
        """The size in the middle of the limits."""
        return self.nominal + 0.5 * (self.upper + self.lower)


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """What every feature has.

    id: "F1", "F2", ... from front to back, outside before inside. side: "outside", "inside", "face" (front)
    or "end" (back). z_front >= z_back. segments: indices into the profile; each profile segment belongs to
    exactly one feature, threads and knurls excepted: they lie over the feature they are cut into and list
    its segments again. origin_text: the note it was read from.
    """

    kind: ClassVar[str] = ""
    id: str
    side: str
    z_front: float
    z_back: float
    r_small: float
    r_large: float
    segments: tuple[int, ...] = ()
    note: str = ""
    roughness_ra_um: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Face(Feature):
    kind: ClassVar[str] = "face"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cylinder(Feature):
    kind: ClassVar[str] = "cylinder"
    radius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Taper(Feature):
    """half_angle: to the axis, radians; ratio: diameter change over length (1:x gives 1/x)."""

    kind: ClassVar[str] = "taper"
    half_angle: float
    ratio: float
    standard: str | None = None

    def leads_in(self, crest: float) -> bool:
        """Whether a thread whose crest has this radius begins on this cone: steep, and up to there."""
        ends = (self.r_small, self.r_large)
        return self.half_angle >= LEADS_IN and min(abs(r - crest) for r in ends) <= LEADS_TO


@dataclass(frozen=True, slots=True, kw_only=True)
class Chamfer(Feature):
    """angle: to the axis, radians."""

    kind: ClassVar[str] = "chamfer"
    axial: float
    radial: float
    angle: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fillet(Feature):
    kind: ClassVar[str] = "fillet"
    radius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeRound(Feature):
    kind: ClassVar[str] = "edge_round"
    radius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeArc(Feature):
    kind: ClassVar[str] = "arc"
    radius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Groove(Feature):
    """form: square, vee, round, angled, undercut; purpose: "thread relief", "retaining ring", "o-ring",
    "undercut" or None. floor_radius: of the floor (for a face groove: the middle of the floor; the z of the
    floor is in z_back or z_front). width: between the walls at the mouth, edge breaks left out; depth: from
    the lower mouth edge. opens: direction in which it opens: "out", "in", "front", "back".
    mouth: the mouth edges in the order of the profile, edge breaks included: the straight line between them
    bridges the groove. Beside a shoulder one of them lies in the middle of the shoulder face, which is a
    feature of its own; an undercut into cylinder and face has three points, the middle one where both would
    meet. beside_shoulder: one wall goes on as a shoulder.
    mouth_break: radial height of the larger mouth chamfer or round, 0 for sharp edges."""

    kind: ClassVar[str] = "groove"
    width: float
    depth: float
    floor_radius: float
    form: str
    corner_radius: float = 0.0
    purpose: str | None = None
    standard: str | None = None
    opens: str = "out"
    mouth: tuple[Point, ...] | None = None
    beside_shoulder: bool = False
    mouth_break: float = 0.0
    overhangs: bool = False  # a wall leans over the floor: not to be made by plain turning


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread(Feature):
    """A thread zone. z_front..z_back is the length of full thread.

    minor_diameter_mm: basic root diameter outside (d3), basic minor diameter inside (D1).
    cut_from_mm / cut_to_mm: diameters the threading tool's tip works between for the middle of the class:
    the crest diameter to turn or bore, and the root diameter; of a taper thread at its entry.
    lead = pitch * starts. form_angle: radians. relief: id of the relief groove.
    run_in / run_out: room ahead and behind along z at the height of the root, mm; infinite in the open.
    source: "text", "dimension", "thin line" or "option".
    """

    kind: ClassVar[str] = "thread"
    designation: str
    family: str  # "M", "UN", "G", "R", "NPT", "Tr", "ACME", "Rd", "S"
    major_diameter_mm: float
    minor_diameter_mm: float
    pitch_diameter_mm: float
    pitch: float
    starts: int = 1
    hand: str = "right"
    form_angle: float
    thread_class: str = ""
    taper: float = 0.0  # on diameter
    source: str = "text"
    standard: str | None = None
    cut_from_mm: float = 0.0
    cut_to_mm: float = 0.0
    limits: tuple[tuple[str, float, float], ...] = ()  # (name, min, max), diameters mm
    run_in: float = 0.0
    run_out: float = 0.0
    relief: str | None = None
    start_chamfer: str | None = None
    limits_source: str = ""
    entry: str = "front"  # the end at which the thread starts and the mating part enters: "front" or "back"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole(Feature):
    """A drilled hole on the axis. point_angle: full angle of the drill point, radians; pi = flat."""

    kind: ClassVar[str] = "hole"
    diameter_mm: float
    depth: float
    point_angle: float
    through: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Bore(Feature):
    kind: ClassVar[str] = "bore"
    diameter_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CentreHole(Feature):
    kind: ClassVar[str] = "centre_hole"
    form: str
    size: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Knurl(Feature):
    kind: ClassVar[str] = "knurl"
    form: str
    pitch: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedPart:
    """The recognised part.

    profile: as drawn; target: what the plan cuts (sizes in the middle of their limits; the same object as
    profile where nothing is toleranced; same number and order of segments).
    """

    profile: Profile
    target: Profile
    features: tuple[Feature, ...]
    limits: tuple[Limits, ...] = ()
    material_note: str | None = None
    general_tolerance: str | None = None
    findings: tuple[Finding, ...] = ()

    def of_kind(self, *kinds: str) -> tuple[Feature, ...]:
        """The features of these kinds, in order."""
        return tuple(feature for feature in self.features if feature.kind in kinds)
