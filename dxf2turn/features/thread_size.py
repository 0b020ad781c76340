"""The sizes of one thread as values: basic sizes, limits of a class, and what is cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from dxf2turn import tables
from dxf2turn.features.designation import Designation

ASSUMED = "thread-assumed"
NOT_STANDARD = "thread-not-standard"
NO_LIMITS = "thread-no-limits"
OTHER_CLASS = "thread-class"


class Remark(NamedTuple):
    """Something to say about a size: the code of the finding without its stage, and the text."""

    code: str
    text: str


@dataclass(frozen=True, slots=True)
class ThreadLimits:
    """Limits of one thread in one class, diameters in mm, and the basic sizes they start from.

    crest: what is turned or bored before threading: d outside, D1 inside. pitch: d2 or D2. root: basic root
    (d3 outside, D inside). Each limit is (least, largest). source: tables and formulas, with their standing.
    """

    thread_class: str
    crest: tuple[float, float]
    pitch: tuple[float, float]
    basic_pitch: float
    basic_root: float
    source: str
    root: tuple[float, float] | None = None

    @property
    def crest_middle(self) -> float:
        """Crest diameter in the middle of its limits."""
        return 0.5 * sum(self.crest)

    @property
    def root_to_cut(self) -> float:
        """Root diameter that puts the pitch diameter in the middle of its limits.

        A tool of the basic form cuts the basic root when the pitch diameter is basic; both move together.
        """
        return self.basic_root + 0.5 * sum(self.pitch) - self.basic_pitch


@dataclass(frozen=True, slots=True)
class Basics:
    """Basic sizes, mm and radians. minor: basic root outside (d3), basic crest inside (D1)."""

    major: float
    pitch_diameter: float
    minor: float
    pitch: float
    angle: float
    standard: str
    taper: float = 0.0


@dataclass(frozen=True, slots=True)
class ThreadSize:
    """A thread ready to be placed. Diameters mm; angles radians. remarks: what was assumed or is odd.

    cut_from, cut_to: crest diameter to turn (or bore) and root diameter to cut to, in the middle of the
    class. limits: (name, least, largest), the crest first. taper: on the diameter; then all sizes are those
    of the gauge plane, and cut_from and cut_to those at the end where the mating part enters.
    """

    designation: str
    family: str
    inside: bool
    major: float
    pitch_diameter: float
    minor: float
    pitch: float
    starts: int
    hand: str
    form_angle: float
    thread_class: str
    standard: str
    cut_from: float
    cut_to: float
    limits: tuple[tuple[str, float, float], ...]
    source: str
    taper: float = 0.0
    remarks: tuple[Remark, ...] = ()

    @property
    def crest(self) -> float:
        """Basic diameter before threading: the major outside, the minor inside."""
        return self.minor if self.inside else self.major

    @property
    def depth(self) -> float:
        """Basic depth, on the diameter."""
        return self.major - self.minor


def class_asked(designation: Designation, inside: bool, remarks: list[Remark]) -> str:
    """The class asked for, or the usual one with a remark that it was assumed."""
    if designation.thread_class and designation.inside in (None, inside):
        return designation.thread_class
    usual = usual_class(designation, inside)
    remarks.append(Remark(ASSUMED, f"no tolerance class given, {usual} assumed"))
    return usual


def usual_class(designation: Designation, inside: bool) -> str:
    """The class of a thread that gives none (thread_classes.csv); "" for a family without classes."""
    side, major = "inside" if inside else "outside", designation.major or 1.0
    for row in tables.rows("thread_classes"):
        upto = row.optional_number("to_mm")
        in_range = row.number("over_mm") < major and (upto is None or major <= upto)
        if in_range and (row["family"], row["side"]) == (designation.family, side):
            return row["class"]
    return ""


def sized(
    designation: Designation,
    inside: bool,
    basics: Basics,
    limits: ThreadLimits,
    remarks: tuple[Remark, ...],
) -> ThreadSize:
    """Basic sizes and limits put together."""
    names = ("D1", "D2", "D") if inside else ("d", "d2", "d3")
    named = [(names[0], *limits.crest), (names[1], *limits.pitch)]
    if limits.root is not None:
        named.append((names[2], *limits.root))
    return ThreadSize(
        designation=designation.text,
        family=designation.family,
        inside=inside,
        major=basics.major,
        pitch_diameter=basics.pitch_diameter,
        minor=basics.minor,
        pitch=basics.pitch,
        starts=designation.starts,
        hand=designation.hand,
        form_angle=basics.angle,
        thread_class=limits.thread_class,
        standard=basics.standard,
        cut_from=limits.crest_middle,
        cut_to=limits.root_to_cut,
        limits=tuple(named),
        source=limits.source,
        taper=basics.taper,
        remarks=remarks,
    )
