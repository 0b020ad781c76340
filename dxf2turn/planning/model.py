"""The plan as frozen values, in setup coordinates: z along the spindle (0 on the setup's finished front
face, part at z <= 0), r a radius, mm. Every move is the path of the tool's controlled point."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from dxf2turn.findings import Finding
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Segment
from dxf2turn.shop.model import Machine, Material, Tool


class MoveKind(Enum):
    RAPID = "rapid"
    FEED = "feed"
    ARC = "arc"
    THREAD = "thread"


@dataclass(frozen=True, slots=True)
class Move:
    """One straight or circular travel to (z, r).

    feed: mm/rev for FEED and ARC; lead: mm/rev for THREAD. centre and clockwise only for ARC
    (clockwise seen with z right and r up).
    """

    kind: MoveKind
    z: float
    r: float
    feed: float | None = None
    centre: Point | None = None
    clockwise: bool = False
    lead: float | None = None

    @property
    def end(self) -> Point:
        return Point(self.z, self.r)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spindle:
    """mode: "surface speed" (value m/min, capped at limit_rpm) or "rpm". direction: M03 or M04."""

    mode: str
    value: float
    limit_rpm: float
    direction: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One numbered step with one tool.

    operation: a word of the contract's list. moves: the first states where the step starts (the
    tool-change point); each further one starts where the last ended; the last returns there.
    depth: depth of one pass, mm on the radius; passes: their number. removes: area of the target this step
    is meant to finish is not stored; the removal check measures it.
    tool is None only for "flip" and "measure".
    """

    no: int
    operation: str
    tool: Tool | None
    side: str
    spindle: Spindle | None
    feed: float
    depth: float
    passes: int
    features: tuple[str, ...]
    why: str
    moves: tuple[Move, ...] = ()
    cut_time_s: float = 0.0
    rapid_time_s: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """One clamping.

    flipped: the part is turned end for end, z_setup = -length - z_part. stock: closed outline of the stock
    as this setup starts (counter-clockwise, r >= 0). jaws: polygons no tool may enter (jaws and chuck).
    support: "none", "tailstock" or "steady"; supports: its polygons (centre with nose, body and sleeve; pads
    and frame), which no tool may enter either. grip: what is held, prepare: what is done first, for people.
    """

    no: int
    flipped: bool
    stock: tuple[Segment, ...]
    jaws: tuple[tuple[Point, ...], ...]
    support: str
    tool_change: Point
    steps: tuple[Step, ...]
    grip: str = ""
    grip_length: float = 0.0
    grip_radius: float = 0.0
    supports: tuple[tuple[Point, ...], ...] = ()
    prepare: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """Seconds. bound: least cutting time at the same cutting data, see docs/planning.md."""

    cut_s: float
    rapid_s: float
    tool_change_s: float
    total_s: float
    bound_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """One line of the first-part measuring list. All mm; a diameter when `what` says so."""

    what: str
    nominal: float
    lower: float
    upper: float
    target: float
    step: int
    correct: str  # which tool's X or Z and which way


@dataclass(frozen=True, slots=True)
class ShortThread:
    """Where a thread before a shoulder stays without full depth: id of the feature, z of the part, mm."""

    feature: str
    z_low: float
    z_high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A plan for one part. `unreached` are polygons (z, r of the part) that no tool reached."""

    machine: Machine
    material: Material
    stock_text: str
    setups: tuple[Setup, ...]
    times: Times
    measuring: tuple[Measurement, ...] = ()
    unreached: tuple[tuple[Point, ...], ...] = ()
    short_threads: tuple[ShortThread, ...] = ()
    alternatives: tuple[tuple[str, float], ...] = ()  # (description, total seconds)
    findings: tuple[Finding, ...] = field(default=())
