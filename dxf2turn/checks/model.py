"""What a rule sees and what it says."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum

from dxf2turn.contour.model import Contour, located
from dxf2turn.features.model import Feature, Groove, TurnedPart
from dxf2turn.findings import Finding, Location
from dxf2turn.geometry.segment import Segment
from dxf2turn.shop.model import Material, Shop


@dataclass(frozen=True, slots=True)
class Case:
    """One part before one shop."""

    part: TurnedPart
    contour: Contour
    shop: Shop

    @property
    def segments(self) -> tuple[Segment, ...]:
        """The segments of the profile as drawn."""
        return self.part.profile.segments

    @property
    def material(self) -> Material | None:
        """The material that the drawing names, else the shop's default."""
        noted = self.shop.material(self.part.material_note) if self.part.material_note else None
        return noted or self.shop.material()

    def place(self, z: float, r: float, segments: tuple[int, ...] = ()) -> Location:
        """A place on the part with the entities that the segments come from."""
        origins = (handle for index in segments for handle in self.segments[index].origin)
        return located(self.contour.frame, z, r, tuple(dict.fromkeys(origins)))

    def place_of(self, feature: Feature) -> Location:
        """The middle of a feature, on its surface."""
        r = feature.r_large if feature.side != "inside" else feature.r_small
        return self.place(0.5 * (feature.z_front + feature.z_back), r, feature.segments)


@dataclass(frozen=True, slots=True)
class Check:
    """One rule.

    id: stable, `checks/short-name` is the code of its findings. why: the reason, one or two sentences.
    rules: ids of the rows of check_limits.csv behind it. applies: None when the rule applies, else why not.
    """

    id: str
    why: str
    rules: tuple[str, ...]
    applies: Callable[[Case], str | None]
    run: Callable[[Case], Iterator[Finding]]

    @property
    def code(self) -> str:
        return f"checks/{self.id}"


class Outcome(Enum):
    """How a rule ended."""

    PASS = "pass"
    SKIP = "skip"
    FINDINGS = "findings"
    CRASH = "crash"


@dataclass(frozen=True, slots=True)
class CheckResult:
    """A rule's outcome. reason: why it was skipped."""

    check: str
    outcome: Outcome
    findings: tuple[Finding, ...] = ()
    reason: str = ""


def always(_: Case) -> None:
    """For rules that look at every part."""
    return None


def needs(*kinds: str, side: str | None = None) -> Callable[[Case], str | None]:
    """For rules about some kinds of features: says what is not there."""

    def applies(case: Case) -> str | None:
        there = any(side in (None, feature.side) for feature in case.part.of_kind(*kinds))
        if there:
            return None
        words = " or ".join(kind.replace("_", " ") for kind in kinds)
        return f"the part has no {words}{'' if side is None else f' on the {side}'}"

    return applies


def grooves_that_open(*ways: str) -> Callable[[Case], str | None]:
    """For rules about grooves that open "out", "in", "front" or "back"."""

    def applies(case: Case) -> str | None:
        grooves = (g for g in case.part.of_kind("groove") if isinstance(g, Groove))
        words = {"out": "outside", "in": "in a bore", "front": "in a face", "back": "in a face"}
        return None if any(g.opens in ways for g in grooves) else f"the part has no groove {words[ways[0]]}"

    return applies
