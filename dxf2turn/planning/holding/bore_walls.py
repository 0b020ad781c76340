"""The plain walls of bores: where something that opens outward may hold a part."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from dxf2turn.features.model import Feature
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.planning.holding.grips import NOT_GRIPPED, TURN_OVER
from dxf2turn.planning.placed import PlacedPart

LEVEL = 1e-6  # two heights closer than this are level, mm
PLAIN_KINDS = ("cylinder", "bore", "hole")


@dataclass(frozen=True, slots=True)
class Wall:
    """A plain cylinder inside, from z lo to hi; feature: that it belongs to."""

    feature: Feature
    radius: float
    lo: float
    hi: float


def plain_walls(part: PlacedPart) -> Iterator[Wall]:
    """The level walls that face the axis and are no floor of a groove."""
    pieces = list(_level_pieces(part))
    for feature in part.features:
        if feature.kind not in PLAIN_KINDS or feature.side != "inside":
            continue
        own = [s for index, s in pieces if index in feature.segments]
        if own:
            ends = [s.start.x for s in own] + [s.end.x for s in own]
            yield Wall(feature, own[0].start.y, min(ends), max(ends))


def _level_pieces(part: PlacedPart) -> Iterator[tuple[int, Segment]]:
    """The pieces inside that lie along the axis with the material above them, with their index."""
    for index, (segment, role) in enumerate(zip(part.segments, part.roles)):
        level = isinstance(segment, Line) and abs(segment.start.y - segment.end.y) < LEVEL
        if role == "inside" and level and segment.end.x > segment.start.x:
            yield index, segment


def is_spoilt_inside(part: PlacedPart, lo: float, hi: float) -> bool:
    """Whether a thread, a knurl or a groove lies between two places of the bore."""
    return any(
        f.kind in NOT_GRIPPED
        and f.side == "inside"
        and f.z_front > lo + TURN_OVER
        and f.z_back < hi - TURN_OVER
        for f in part.features
    )
