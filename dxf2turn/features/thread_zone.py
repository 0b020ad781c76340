"""A thread on its surface: length of full thread, room to run in and out, relief and start chamfer."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from dxf2turn.features.model import Chamfer, EdgeRound, Feature, Groove, Taper, Thread
from dxf2turn.features.outline import Outline
from dxf2turn.features.thread_sizes import ThreadSize
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line

SLACK_BELOW = 0.005  # a diameter this share of the depth below the crest limits fits
SLACK_ABOVE = 0.02  # and one this share above the nominal size: 21 for G1/2, which has 20.955
ROUNDING = 0.01  # mm, drawn sizes are rounded
NEAR_BELOW = 0.15  # a diameter this share of the depth beyond the root may still be meant
NEAR_ABOVE = 0.25  # and one this share above the nominal diameter
TAPER_SLACK = 0.15  # a cone whose ratio is within this share of a taper thread's may carry it
RELIEF_SHARE = 0.25  # a relief may stop this share of the depth short of the root


@dataclass(frozen=True, slots=True)
class Surface:
    """A cylinder, bore or cone that can carry a thread. index: profile segment; radius: at its middle."""

    index: int
    radius: float
    z_front: float
    z_back: float
    inside: bool
    line: Line
    ratio: float = 0.0

    def part(self, front: float, back: float) -> Surface:
        """The stretch of this surface between two z."""
        shares = sorted(
            (z - self.line.start.x) / (self.line.end.x - self.line.start.x) for z in (front, back)
        )
        line = self.line.part(max(0.0, shares[0]), min(1.0, shares[1]))
        return replace(self, z_front=front, z_back=back, line=line)

    def distance(self, point: Point) -> float:
        """Distance of a place from the surface (in the half plane)."""
        return self.line.distance(point)

    def overlaps(self, front: float, back: float) -> bool:
        """Whether a z range meets the surface."""
        return min(self.z_front, front) > max(self.z_back, back)

    def covers(self, z1: float, z2: float) -> bool:
        """Whether most of a line from z1 to z2 lies over the surface."""
        shared = min(self.z_front, max(z1, z2)) - max(self.z_back, min(z1, z2))
        return shared > 0.5 * abs(z2 - z1)

    def fits(self, size: ThreadSize) -> tuple[bool, bool]:
        """(the diameter is one this thread is drawn at, it is at least near)."""
        drawn, depth = 2.0 * self.radius, size.depth
        if size.taper:
            on_taper = abs(self.ratio - size.taper) <= TAPER_SLACK * size.taper or self.ratio == 0.0
            near = on_taper and size.minor - depth <= drawn <= size.major + depth
            return near, near
        if self.ratio:
            return False, False
        crest = size.limits[0]
        low, high = min(crest[1], size.crest), max(crest[2], size.crest)
        below, above = max(ROUNDING, SLACK_BELOW * depth), max(ROUNDING, SLACK_ABOVE * depth)
        exact = low - below <= drawn <= high + above
        return exact, size.minor - NEAR_BELOW * depth <= drawn <= size.major + NEAR_ABOVE * depth


@dataclass(frozen=True, slots=True)
class Zone:
    """A size on a surface. front, back: z of the full thread. text: the note it was read from."""

    surface: Surface
    size: ThreadSize
    front: float
    back: float
    source: str
    text: str

    def overlaps(self, other: Zone) -> bool:
        """Whether both zones claim the same stretch of one surface."""
        shared = min(self.front, other.front) - max(self.back, other.back)
        return self.surface.index == other.surface.index and shared > 0.0


def surfaces(outline: Outline, features: tuple[Feature, ...]) -> tuple[Surface, ...]:
    """All surfaces that can carry a thread, in the order of the features."""
    found = []
    for feature in features:
        if feature.kind not in ("cylinder", "bore", "hole", "taper"):
            continue
        for index in feature.segments:
            line = outline.segment(index)
            if not isinstance(line, Line) or (feature.kind != "taper" and not outline.is_axial(index)):
                continue
            ratio = getattr(feature, "ratio", 0.0)
            z_front, z_back = max(line.start.x, line.end.x), min(line.start.x, line.end.x)
            radius = 0.5 * (line.start.y + line.end.y)
            found.append(Surface(index, radius, z_front, z_back, feature.side == "inside", line, ratio))
    return tuple(found)


def thread_of(outline: Outline, features: tuple[Feature, ...], zone: Zone) -> Thread:
    """The feature of a zone."""
    size, surface = zone.size, zone.surface
    ahead, behind = _neighbours(outline, features, zone)
    relief = _relief(size, behind) or _relief(size, ahead)
    whole = zone.front >= surface.z_front, zone.back <= surface.z_back
    run_in = _room(outline, zone, 1, ahead if whole[0] else None) if whole[0] else 0.0
    run_out = _room(outline, zone, -1, behind if whole[1] else None) if whole[1] else 0.0
    entry = _entry(relief is not None and relief is ahead, run_in, run_out)
    chamfer = behind if entry == "back" else ahead
    leads = isinstance(chamfer, Taper) and chamfer.leads_in(surface.radius)
    starts = leads or isinstance(chamfer, Chamfer | EdgeRound)
    radii = (0.5 * size.minor, 0.5 * size.major)
    return Thread(
        id="",
        side="inside" if size.inside else "outside",
        z_front=zone.front,
        z_back=zone.back,
        r_small=min(*radii, surface.radius),
        r_large=max(radii[1], surface.radius) if size.inside else surface.radius,
        segments=(surface.index,),
        note="; ".join(text for text in (zone.text.strip(), *(r.text for r in size.remarks)) if text),
        designation=size.designation,
        family=size.family,
        major_diameter_mm=size.major,
        minor_diameter_mm=size.minor,
        pitch_diameter_mm=size.pitch_diameter,
        pitch=size.pitch,
        starts=size.starts,
        hand=size.hand,
        form_angle=size.form_angle,
        thread_class=size.thread_class,
        taper=size.taper,
        source=zone.source,
        standard=size.standard,
        cut_from_mm=size.cut_from,
        cut_to_mm=size.cut_to,
        limits=size.limits,
        run_in=run_in,
        run_out=run_out,
        relief=relief.id if relief is not None else None,
        start_chamfer=chamfer.id if chamfer is not None and starts else None,
        limits_source=size.source,
        entry=entry,
    )


def _entry(relief_ahead: bool, run_in: float, run_out: float) -> str:
    """A thread starts away from its relief, else where there is room; at the front if ends are alike."""
    return "back" if relief_ahead or (math.isinf(run_out) and not math.isinf(run_in)) else "front"


def _neighbours(
    outline: Outline, features: tuple[Feature, ...], zone: Zone
) -> tuple[Feature | None, Feature | None]:
    """The features that touch the zone's surface ahead of it (towards +z) and behind it."""
    owner = {index: f for f in features if f.kind not in ("thread", "knurl") for index in f.segments}
    before, after = outline.before(zone.surface.index), outline.after(zone.surface.index)
    ends = [owner.get(index) if index is not None else None for index in (before, after)]
    return (ends[1], ends[0]) if zone.surface.inside else (ends[0], ends[1])


def _relief(size: ThreadSize, feature: Feature | None) -> Groove | None:
    """The neighbour when it is a groove down to the thread's root."""
    if not isinstance(feature, Groove):
        return None
    floor, short = 2.0 * feature.floor_radius, RELIEF_SHARE * size.depth
    deep = floor >= size.major - short if size.inside else floor <= size.minor + short
    return feature if deep else None


def _room(outline: Outline, zone: Zone, way: int, neighbour: Feature | None) -> float:
    """Free length for the tool beyond the thread, at the height of its root; infinite in the open.

    way: +1 ahead, -1 behind. The start chamfer and the near side of a relief are not in the way.
    """
    end = zone.front if way > 0 else zone.back
    if isinstance(neighbour, Groove) and neighbour.mouth is not None:
        return max(way * (point.x - end) for point in neighbour.mouth)
    root = 0.5 * zone.size.cut_to
    for index in _outwards(outline, zone, way):
        if _in_the_way(outline, index, zone, root):
            box = outline.segment(index).bounds
            return max(0.0, way * ((box.min_x if way > 0 else box.max_x) - end))
    return math.inf


def _outwards(outline: Outline, zone: Zone, way: int) -> Iterator[int]:
    """The segments from the zone's end onwards, on its own side of the part."""
    inside = zone.size.inside
    step = outline.before if (way > 0) != inside else outline.after
    index = step(zone.surface.index)
    while index is not None and (outline.role(index) == "inside") == inside:
        if index == zone.surface.index:
            return
        yield index
        index = step(index)


def _in_the_way(outline: Outline, index: int, zone: Zone, root: float) -> bool:
    """Whether a segment stands higher than the root and does not fall away from the thread's crest."""
    box = outline.segment(index).bounds
    gap = outline.tolerances.gap
    if zone.size.inside:
        high, crest, low = -box.min_y, -zone.surface.radius, -box.max_y
        root = -root
    else:
        high, crest, low = box.max_y, zone.surface.radius, box.min_y
    falls = high <= crest + gap and high - low > gap
    return high > root + gap and not falls
