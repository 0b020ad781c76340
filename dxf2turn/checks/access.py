"""How a tool gets to a place inside the part: through which end, how narrow, how far."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from dxf2turn.checks.model import Case
from dxf2turn.features.model import Feature


@dataclass(frozen=True, slots=True)
class Access:
    """One way in. entrance_mm: smallest diameter on the way; distance: from the end to the far side."""

    end: str  # "front" or "back"
    entrance_mm: float
    distance: float


@dataclass(frozen=True, slots=True)
class Ways:
    """The ways to every inside segment of a part, worked out once.

    front, back: segment -> smallest radius between it and that end; a closed end has no entry.
    """

    front: Mapping[int, float]
    back: Mapping[int, float]
    z_front: float
    z_back: float

    @property
    def length(self) -> float:
        """Length of the part, mm."""
        return self.z_front - self.z_back

    def to(self, feature: Feature) -> tuple[Access, ...]:
        """The ends through which an inside feature can be reached."""
        found = []
        inner = [index for index in feature.segments if index in self.front or index in self.back]
        through_front = [self.front[index] for index in inner if index in self.front]
        through_back = [self.back[index] for index in inner if index in self.back]
        # Of several segments the one next to the end decides: the way to it is part of the others' ways.
        if through_front:
            found.append(Access("front", 2.0 * max(through_front), self.z_front - feature.z_back))
        if through_back:
            found.append(Access("back", 2.0 * max(through_back), feature.z_front - self.z_back))
        return tuple(found)


def ways_in(case: Case) -> Ways:
    """The ways to the inside of a part. Linear in the number of segments."""
    profile = case.part.profile
    front: dict[int, float] = {}
    back: dict[int, float] = {}
    for run in inside_runs(profile.roles):
        if profile.roles[run[0] - 1] != "axis":
            narrowest = math.inf
            for index in run:
                back[index] = min(narrowest, profile.segments[index].start.y)
                narrowest = min(narrowest, profile.segments[index].bounds.min_y)
        if profile.roles[(run[-1] + 1) % len(profile.roles)] != "axis":
            narrowest = math.inf
            for index in reversed(run):
                front[index] = min(narrowest, profile.segments[index].end.y)
                narrowest = min(narrowest, profile.segments[index].bounds.min_y)
    return Ways(front, back, profile.bounds.max_x, profile.bounds.min_x)


def inside_runs(roles: tuple[str, ...]) -> Iterator[tuple[int, ...]]:
    """Connected inside segments, each run from back to front."""
    start = next((i for i, role in enumerate(roles) if role != "inside"), 0)
    run: list[int] = []
    for offset in range(len(roles)):
        index = (start + offset) % len(roles)
        if roles[index] == "inside":
            run.append(index)
        elif run:
            yield tuple(run)
            run = []
    if run:
        yield tuple(run)
