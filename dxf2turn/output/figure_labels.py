"""What is written on the part: balloons with feature ids, diameters, running Z dimensions, finding marks.

Outside features are above the part, inside ones below it; Z is dimensioned from the front face
(running dimensions, ISO 129-1).
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from dxf2turn.features.model import Bore, Cylinder, Feature, Groove, Thread, TurnedPart
from dxf2turn.findings import Finding
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Bounds, Segment
from dxf2turn.output.display import Disc, Group, Item, Path, Text, View, box, polyline, spread, text_width
from dxf2turn.output.figure_part import needs_section
from dxf2turn.output.wording import Wording, one_line

BALLOON = 15.0  # radius
BALLOON_GAP = 34.0
MOST_BALLOONS = 44  # in a row; beyond it plain features go without
PLAIN = ("cylinder", "face", "taper", "arc", "fillet", "edge_round", "chamfer")
DIMENSION_GAP = 17.0
TEXT_SIZE = 13.5
MOST_FINDINGS = 24  # that a picture shows, the worst ones; the setup sheet has all
FLAG = 20.0  # size of a finding's flag
CLEAR_OF_OUTLINE = 4.0  # pixels between the outline and a dimension's line
SAME_PLACE = 5e-4  # two dimensions closer than this are one, mm


def balloons(
    part: TurnedPart, view: View, row: float, inside: bool, span: tuple[float, float]
) -> Iterator[Item]:
    """A row of balloons at page height `row`, each with a leader to its feature.

    inside: the features drawn below the axis instead of all others. span: left and right limit.
    """
    half = view.below() if inside else view
    chosen = in_half(part, inside)
    if len(chosen) > MOST_BALLOONS:
        chosen = [f for f in chosen if f.kind not in PLAIN][:MOST_BALLOONS]
    placed = sorted(((half.point(anchor(part, f)), f) for f in chosen), key=lambda item: item[0].x)
    xs = spread([place.x for place, _ in placed], BALLOON_GAP, *span)
    for x, (place, feature) in zip(xs, placed):
        edge = Point(x, row + (BALLOON if row < place.y else -BALLOON))
        yield Path((polyline(edge, place),), "leader")
        yield Disc(place, 2.4, "dot")
        yield Disc(Point(x, row), BALLOON, "balloon")
        yield Text(Point(x, row + 4.5), feature.id, "balloon-text", "middle")


def in_half(part: TurnedPart, inside: bool) -> list[Feature]:
    """The features seen in the cut half only (on the bore, or a recess in an end face), or all others."""
    cut = needs_section(part.profile)

    def below(feature: Feature) -> bool:
        recess = feature.side in ("face", "end") and feature.kind != "face" and cut
        return feature.side == "inside" or recess

    return [feature for feature in part.features if below(feature) is inside]


def anchor(part: TurnedPart, feature: Feature) -> Point:
    """The place on the contour that a leader points at: the middle of the feature's middle piece; of a groove
    the middle of its longest one."""
    if feature.segments:
        pieces = [part.profile.segments[index] for index in feature.segments]
        piece = (
            max(pieces, key=lambda s: s.length) if isinstance(feature, Groove) else pieces[len(pieces) // 2]
        )
        if len(pieces) == 1 and isinstance(feature, Thread):
            z = 0.25 * feature.z_front + 0.75 * feature.z_back
            return Point(z, piece.point_at(0.75).y)
        return piece.point_at(0.5)
    return Point(0.5 * (feature.z_front + feature.z_back), feature.r_large)


def diameters(part: TurnedPart, view: View, w: Wording) -> Iterator[Item]:
    """Diameters (threads: designations) on the body, where there is room for them."""
    threaded = {i: f for f in part.features if isinstance(f, Thread) for i in f.segments}
    for feature in part.features:
        if isinstance(feature, Cylinder | Bore) and feature.segments:
            thread = threaded.get(feature.segments[0])
            r = feature.r_large
            words = one_line(thread.designation) if isinstance(thread, Thread) else w.diameter(r)
            yield from _on_body(feature, view.below() if feature.side == "inside" else view, words)


def _on_body(feature: Feature, view: View, words: str) -> Iterator[Item]:
    """The words between axis and surface, upright when lying does not fit; nothing when neither does."""
    width, height = text_width(words, TEXT_SIZE), TEXT_SIZE * 1.5
    left, right = view.point(Point(feature.z_back, 0.0)), view.point(Point(feature.z_front, 0.0))
    surface = view.point(Point(feature.z_front, feature.r_small))
    middle = Point(0.5 * (left.x + right.x), 0.5 * (left.y + surface.y))
    room_x, room_y = abs(right.x - left.x), abs(surface.y - left.y)
    if room_x >= width and room_y >= height:
        yield Text(middle + Vector(0.0, 5.0), words, "small", "middle")
    elif room_x >= height and room_y >= width:
        yield Text(middle + Vector(5.0, 0.0), words, "small", "middle", -90.0)


def running_z(
    corners: tuple[Point, ...], view: View, edge: float, span: tuple[float, float], w: Wording
) -> Iterator[Item]:
    """Running dimensions along Z below the part: a narrow line from each corner down past `edge` (page y)."""
    if len(corners) * DIMENSION_GAP > span[1] - span[0]:
        corners = tuple(_apart(corners, DIMENSION_GAP / view.scale))
    ends = [view.below().point(corner) + Vector(0.0, CLEAR_OF_OUTLINE) for corner in corners]
    places = spread([end.x for end in ends], DIMENSION_GAP, *span)
    for corner, start, place in zip(corners, ends, places):
        knee, end = edge + 10.0, edge + 26.0
        line = polyline(start, Point(start.x, knee), Point(place, end), Point(place, end + 6.0))
        yield Path((line,), "dimension")
        yield Text(Point(place + 4.5, end + 10.0), w.short(corner.x), "small", "end", -90.0)


def _apart(corners: tuple[Point, ...], least: float) -> Iterator[Point]:
    """As many of the corners as have room for a dimension (z ascending, `least` in mm)."""
    last = -math.inf
    for corner in corners:
        if corner.x - last >= least:
            last = corner.x
            yield corner


def stations(segments: tuple[Segment, ...]) -> tuple[Point, ...]:
    """All corners by ascending z; of those with the same z the outermost."""
    kept: list[Point] = []
    for corner in sorted(point for segment in segments for point in (segment.start, segment.end)):
        if kept and corner.x - kept[-1].x <= SAME_PLACE:
            kept[-1] = max(kept[-1], corner, key=lambda point: point.y)
        else:
            kept.append(corner)
    return tuple(kept)


def marks(part: TurnedPart, findings: tuple[Finding, ...], view: View) -> Iterator[Item]:
    """Numbered flags at the findings that have a place; the numbers are those of the list (worst first)."""
    cut = needs_section(part.profile)
    yield from flags(findings, tuple(_place(part, finding, view, cut) for finding in findings))


def _place(part: TurnedPart, finding: Finding, view: View, cut: bool) -> Point | None:
    """Page place of a finding; in a part that is cut, in the half where the nearest piece is seen."""
    if finding.where.z is None:
        return None
    at = Point(finding.where.z, finding.where.r or 0.0)
    if not cut:
        return view.point(at)
    profile = part.profile
    nearest = min(range(len(profile.segments)), key=lambda index: profile.segments[index].distance(at))
    return (view if profile.roles[nearest] == "outside" else view.below()).point(at)


def flags(findings: tuple[Finding, ...], places: tuple[Point | None, ...]) -> Iterator[Item]:
    """A numbered flag above each page place; flags that would cover another stand beside it."""
    taken: list[Point] = []
    for number, (finding, place) in enumerate(zip(findings, places), start=1):
        if place is None:
            continue
        flag = place + Vector(0.0, -26.0)
        while any(flag.distance(other) < FLAG for other in taken):
            flag = flag + Vector(FLAG + 1.0, 0.0)
        taken.append(flag)
        yield Path((polyline(place, flag),), "leader")
        yield mark(flag, number, finding)


def mark(at: Point, number: int, finding: Finding) -> Item:
    """The numbered flag of a finding: a square, its colour by severity."""
    shape = box(at.x - 9.5, at.y - 9.5, at.x + 9.5, at.y + 9.5)
    look = Path((shape,), f"{finding.severity.word}-mark", closed=True)
    words = Text(at + Vector(0.0, 4.8), str(number), "mark-text", "middle")
    return Group((look, words), title=f"{finding.severity.word}: {one_line(finding.text)}")


def bounds_on_page(view: View, bounds: Bounds) -> Bounds:
    """Box of both halves on the page."""
    left, right = view.point(Point(bounds.min_x, 0.0)).x, view.point(Point(bounds.max_x, 0.0)).x
    top, bottom = view.point(Point(0.0, bounds.max_y)).y, view.below().point(Point(0.0, bounds.max_y)).y
    return Bounds(left, top, right, bottom)
