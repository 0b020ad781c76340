"""What is still to be cut: the stock beside the part, sorted into places."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from dxf2turn.features.model import Feature
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import flatten_segment, polygon
from dxf2turn.geometry.segment import Arc, Segment
from dxf2turn.planning.bench import FAR, Bench
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.planning.targets import front_bore
from dxf2turn.planning.tool_space.sweep import areas
from dxf2turn.planning.work import SAGITTA

AXIS = 0.2  # what is nearer than this to the axis stands in a drill's way, mm
STARTED = 1.0  # a hole deeper than this starts a drill, mm
NOISE = 0.004  # a layer thinner than twice this is none, mm
OVERLAYS = ("thread", "knurl", "centre_hole")  # they lie over other features
WORTH = 0.02  # a place is worth a cut of its own when a circle of this radius fits into it, mm
CORNER = 0.2  # the round of a nose in a sharp corner is no thicker than this, mm (radius 0.4: 0.14)
NEAR_CORNER = 0.6  # and lies about the corner, its middle no further than this from it, mm
ROUND_CORNER = 1.2  # and all of it no further than this, mm
SHARP = 0.1  # sine of the least turn of a corner
FINEST = 0.1  # no tool has a smaller nose, mm


def solid_body(part: PlacedPart) -> BaseGeometry:
    """The part with its bores filled up."""
    body = polygon(part.segments, SAGITTA)
    return shapely.union(body, bore_region(part)) if front_bore(part) or part.run("inside") else body


def bore_region(part: PlacedPart) -> BaseGeometry:
    """Everything inside the outline that is no part: all bores, from either end."""
    inside = [s for s, role in zip(part.segments, part.roles) if role == "inside"]
    if not inside:
        return Polygon()
    body = polygon(part.segments, SAGITTA)
    low = min(s.bounds.min_x for s in part.segments)
    high = max(s.bounds.max_x for s in part.segments)
    # The bore is what a vertical ray from the axis meets before the part.
    chords = (pair for s in inside for pair in pairwise(flatten_segment(s, SAGITTA)))
    pieces = [_under(a, b) for a, b in chords]
    region = shapely.union_all([p for p in pieces if p.area > 0.0])
    region = shapely.intersection(region, shapely.box(low, 0.0, high, FAR))
    return shapely.difference(region, body)


def _under(a: Point, b: Point) -> BaseGeometry:
    """The region between a straight piece and the axis."""
    return Polygon([(a.x, 0.0), (a.x, a.y), (b.x, b.y), (b.x, 0.0)])


def outside_rest(bench: Bench) -> BaseGeometry:
    """Stock outside the part that this setup has to remove."""
    clamping = bench.clamping
    low = max(clamping.outside_to, -clamping.part.length)
    here = shapely.box(low, 0.0, FAR if clamping.stub is None else 0.0, FAR)
    return opened(shapely.intersection(shapely.difference(bench.stock, solid_body(clamping.part)), here))


def inside_rest(bench: Bench) -> BaseGeometry:
    """Stock in the bores of the part."""
    return opened(shapely.intersection(bench.stock, bore_region(bench.clamping.part)))


def is_started(bench: Bench) -> bool:
    """Whether a blind hole is in the front already: the tailstock's centre hole starts a drill as well."""
    core = shapely.intersection(bench.stock, shapely.box(-FAR, 0.0, FAR, AXIS))
    return not core.is_empty and bench.stock.bounds[2] - float(core.bounds[2]) > STARTED


def opened(region: BaseGeometry) -> BaseGeometry:
    """A region without layers and hairs thinner than twice `NOISE`."""
    region = areas(region)
    core = shapely.buffer(region, -NOISE, join_style="mitre")
    return areas(shapely.intersection(shapely.buffer(core, 1.5 * NOISE, join_style="mitre"), region))


def places(region: BaseGeometry, least: float = WORTH) -> tuple[Polygon, ...]:
    """The pieces of a region that hold a circle of the radius `least`, from front to back."""
    pieces = [p for p in getattr(region, "geoms", [region]) if isinstance(p, Polygon) and p.area > 0.0]
    big = [p for p in pieces if not shapely.buffer(p, -least).is_empty]
    return tuple(sorted(big, key=lambda p: -p.bounds[2]))


def thickness(area: Polygon) -> float:
    """Diameter of the largest circle in an area, mm."""
    return 2.0 * float(shapely.maximum_inscribed_circle(area).length)


def is_corner(profile: Sequence[Segment], area: Polygon, thickest: float = CORNER) -> bool:
    """Whether an area is the round that a fine nose leaves in a sharp corner of a closed profile."""
    here = area.representative_point()
    corners = (shapely.Point(corner) for corner in sharp_corners(profile))
    near = (corner for corner in corners if here.distance(corner) < NEAR_CORNER)
    if not any(shapely.hausdorff_distance(area, corner) < ROUND_CORNER for corner in near):
        return False
    return thickness(area) <= thickest


def sharp_corners(profile: Sequence[Segment]) -> tuple[Point, ...]:
    """The hollow corners into which no round nose gets: sharp, or with a fillet finer than any nose."""
    found: list[Point] = []
    for one, two in zip(profile, (*profile[1:], profile[0])):
        turn = one.tangent_at(1.0).cross(two.tangent_at(0.0))
        fine = any(isinstance(s, Arc) and s.clockwise and s.radius < FINEST for s in (one, two))
        if turn < -SHARP or fine:
            found.append(one.end)
    return tuple(found)


def features_at(part: PlacedPart, place: BaseGeometry, sides: Iterable[str]) -> tuple[str, ...]:
    """Ids of the features of these sides whose own pieces border a place; threads and knurls are none."""
    near = shapely.buffer(place, 0.02)
    return tuple(
        f.id
        for f in part.features
        if f.side in set(sides) and f.kind not in OVERLAYS and _borders(part, f, near)
    )


def _borders(part: PlacedPart, feature: Feature, near: BaseGeometry) -> bool:
    lines = [shapely.LineString(flatten_segment(part.segments[i], SAGITTA)) for i in feature.segments]
    return any(shapely.intersection(line, near).length > 0.05 for line in lines)
