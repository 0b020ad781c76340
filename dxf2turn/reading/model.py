"""What reading hands on: a Drawing in the drawing's own coordinates and unit, nothing interpreted yet."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from dxf2turn.findings import Finding, Repair
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Segment


@dataclass(frozen=True, slots=True)
class Origin:
    """The entity a piece or a note comes from.

    handle: hexadecimal handle, or "line N" (line number in the text; "byte N" in a binary file) where the
    file gives none.
    linetype: resolved (BYLAYER and BYBLOCK looked up), upper case; colour: resolved index, 256 = unknown.
    block: names of the blocks the entity was inserted through, outermost first.
    """

    handle: str
    kind: str  # DXF type, e.g. "LINE"
    layer: str
    linetype: str = "CONTINUOUS"
    colour: int = 256
    lineweight: int = -1  # 1/100 mm, negative = default
    block: tuple[str, ...] = ()


class Role(Enum):
    """What a curve is for, as far as its type, linetype and layer tell."""

    OUTLINE = "outline"
    CENTRE = "centre line"  # a centre linetype, by entity or by layer
    HIDDEN = "hidden line"  # dashed, dotted
    PHANTOM = "phantom line"
    HATCH = "hatch"  # boundary of a hatch
    OTHER = "other"  # title block, frame, construction, dimension lines


@dataclass(frozen=True, slots=True)
class Curve:
    """The geometry of one entity: one or more joined segments, x and y in drawing units.

    Each segment's own `origin` is (handle,). `fitted` is the largest distance of fitted arcs from the
    drawn spline or ellipse, drawing units; 0 for exact geometry.
    """

    segments: tuple[Segment, ...]
    origin: Origin
    role: Role = Role.OUTLINE
    closed: bool = False
    fitted: float = 0.0


class NoteKind(Enum):
    TEXT = "text"
    LEADER = "leader"
    DIMENSION = "dimension"
    ATTRIBUTE = "attribute"
    TOLERANCE = "tolerance"  # feature control frame


class DimensionKind(Enum):
    LINEAR = "linear"
    DIAMETER = "diameter"
    RADIUS = "radius"
    ANGULAR = "angular"
    ORDINATE = "ordinate"


@dataclass(frozen=True, slots=True)
class Dimension:
    """What a dimension measures.

    points: linear/ordinate: the two measured points; diameter: the two ends; radius: centre and point;
    angular: the four points of its two legs. direction: radians, of a linear dimension's measured
    direction. measured: length in drawing units (geometry, before any scale factor), or degrees.
    shown: the number that the drafter wrote, None when the text is the measurement itself.
    upper, lower: tolerance as signed deviations in the text's unit, None when not given.
    factor: the style's linear scale factor (DIMLFAC).
    """

    kind: DimensionKind
    points: tuple[Point, ...]
    measured: float
    direction: float = 0.0
    shown: float | None = None
    upper: float | None = None
    lower: float | None = None
    factor: float = 1.0


@dataclass(frozen=True, slots=True)
class Note:
    """A text with a place.

    text: plain, formatting codes stripped, one diameter sign "\u2300", stacked tolerances as
    "+0.1/-0.2". at: insertion point; tips: what it points at (leader tips, dimension points).
    For a dimension without own text, `text` is the measurement as the style would show it
    (prefix such as "\u2300" or "R" included).
    """

    kind: NoteKind
    text: str
    at: Point
    origin: Origin
    tips: tuple[Point, ...] = ()
    height: float = 0.0
    dimension: Dimension | None = None


@dataclass(frozen=True, slots=True)
class SetAside:
    """Entities that are not used, by kind and reason: nothing is lost unnamed."""

    kind: str
    reason: str
    count: int
    handles: tuple[str, ...] = ()  # the first few
    layer: str | None = None


@dataclass(frozen=True, slots=True)
class Census:
    """Number of entities in the file (vertices and attributes included): total = used + aside."""

    total: int = 0
    used: int = 0
    aside: int = 0


@dataclass(frozen=True, slots=True)
class SecondReading:
    """What a general DXF library made of the same file.

    way: "read" as it is, "mended" by the library's recovery, "" not at all; reason: why not.
    compared: number of curves that were held against it.
    """

    way: str = ""
    compared: int = 0
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Header:
    """What the file says about itself. None = not said.

    insunits: $INSUNITS code; measurement: $MEASUREMENT (0 inch, 1 metric).
    """

    dxf_version: str
    insunits: int | None = None
    measurement: int | None = None
    dimlfac: float = 1.0
    ltscale: float = 1.0


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing as read. Invariants: all coordinates finite and within limits; no arc of radius 0;
    no zero-length segment; every entity of the file is in curves, notes or set_aside."""

    file: str  # name for people, no folder
    sha256: str
    data: bytes = field(repr=False)
    header: Header = field(default_factory=lambda: Header("unknown"))
    curves: tuple[Curve, ...] = ()
    notes: tuple[Note, ...] = ()
    set_aside: tuple[SetAside, ...] = ()
    census: Census = field(default_factory=Census)
    repairs: tuple[Repair, ...] = ()
    findings: tuple[Finding, ...] = ()
    second: SecondReading = field(default_factory=SecondReading)
