"""The part as one setup sees it: turned end for end when the setup is flipped."""

from __future__ import annotations

from dataclasses import dataclass, replace

from dxf2turn.features.model import Feature, Groove, Thread, TurnedPart
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, Segment

OTHER_END = {"front": "back", "back": "front", "face": "end", "end": "face"}


@dataclass(frozen=True, slots=True)
class PlacedPart:
    """A part in setup coordinates: z 0 on this setup's finished front face, the part at z <= 0.

    segments: the closed counter-clockwise target, roles as in `Profile`, both as this setup sees them
    ("front" is the face that looks away from the chuck). features: with z and side as seen here; their
    `segments` count in this order. length: mm.
    """

    segments: tuple[Segment, ...]
    roles: tuple[str, ...]
    features: tuple[Feature, ...]
    length: float
    flipped: bool

    def run(self, role: str) -> tuple[Segment, ...]:
        """The segments with a role, in order."""
        return tuple(s for s, r in zip(self.segments, self.roles) if r == role)

    @property
    def max_radius(self) -> float:
        return path_bounds(self.segments).max_y

    @property
    def is_solid(self) -> bool:
        return "axis" in self.roles

    def z_here(self, z_part: float) -> float:
        """z of the part in this setup's coordinates; the mapping is its own inverse."""
        return -self.length - z_part if self.flipped else z_part


def placed(part: TurnedPart, flipped: bool) -> PlacedPart:
    """The target of the part as a setup sees it."""
    profile = part.target
    length = profile.length
    if not flipped:
        return PlacedPart(profile.segments, profile.roles, part.features, length, False)
    segments = tuple(_turned(s, length) for s in reversed(profile.segments))
    roles = tuple(OTHER_END.get(role, role) for role in reversed(profile.roles))
    shift = _first_front(roles)
    count = len(segments)
    features = tuple(_feature_turned(f, length, count, shift) for f in part.features)
    return PlacedPart(
        segments[shift:] + segments[:shift], roles[shift:] + roles[:shift], features, length, True
    )


def _first_front(roles: tuple[str, ...]) -> int:
    """Index of the segment where the front starts, 0 when there is none."""
    for index, role in enumerate(roles):
        if role in ("front", "outside") and roles[index - 1] not in ("front", "outside"):
            return index
    return 0


def _turned(segment: Segment, length: float) -> Segment:
    """Mirrored at the middle of the part and reversed, so that the run stays counter-clockwise."""
    start, end = _mirror(segment.end, length), _mirror(segment.start, length)
    if isinstance(segment, Line):
        return Line(start, end, segment.origin)
    # Mirroring and reversing both change the turning direction: together they keep it.
    return Arc(start, end, _mirror(segment.centre, length), segment.clockwise, segment.origin)


def _mirror(point: Point, length: float) -> Point:
    return Point(-length - point.x, point.y)


def _feature_turned(feature: Feature, length: float, count: int, shift: int) -> Feature:
    indices = tuple(sorted((count - 1 - index - shift) % count for index in feature.segments))
    turned = replace(
        feature,
        side=OTHER_END.get(feature.side, feature.side),
        z_front=-length - feature.z_back,
        z_back=-length - feature.z_front,
        segments=indices,
    )
    if isinstance(turned, Thread):
        return replace(turned, run_in=turned.run_out, run_out=turned.run_in)
    if isinstance(turned, Groove):
        mouth = tuple(_mirror(p, length) for p in reversed(turned.mouth)) if turned.mouth else None
        return replace(turned, opens=OTHER_END.get(turned.opens, turned.opens), mouth=mouth)
    return turned
