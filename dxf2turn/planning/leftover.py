"""What no tool cut, as areas of the part and as findings."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import shapely
from shapely import Polygon

from dxf2turn.contour.model import Frame, located
from dxf2turn.features.model import Feature, Thread, TurnedPart
from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import polygon
from dxf2turn.geometry.segment import Segment
from dxf2turn.planning.bench import FAR, Bench
from dxf2turn.planning.rest import NEAR_CORNER, SHARP, is_corner, opened, thickness
from dxf2turn.planning.wanted import tool_wanted
from dxf2turn.planning.work import SAGITTA
from dxf2turn.units import plain_text

LIMIT = 0.01  # material left thicker than this is told, mm
UNDER_THREAD = 0.1  # a hole for a thread may be smaller by so many pitches: half of what 6H allows
MOST_LEFT = 1.0  # a plan that leaves more than this undone is none, mm
TIP = 0.05  # length of a tip that is thinner than what counts as left-over, mm
NEARLY = 0.9  # share of the limit from which on it is told: others measure with a little rounding
LITTLE, LITTLE_THICK = 0.02, 0.1  # mm2 and mm: less than both is no step of its own (judgement)
LARGEST_NOSE = 0.85  # no finishing tool has a rounder nose, mm


def left_areas(bench: Bench) -> tuple[Polygon, ...]:
    """Pieces of stock that stay on the part after the last setup, setup coordinates."""
    clamping = bench.clamping
    stock = bench.stock
    if clamping.parting is not None:
        stock = shapely.intersection(stock, shapely.box(clamping.parting, 0.0, FAR, FAR))
    rest = opened(shapely.difference(stock, bench.body))
    return tuple(p for p in getattr(rest, "geoms", [rest]) if isinstance(p, Polygon) and p.area > 0.0)


def with_tips(areas: Iterable[Polygon]) -> tuple[Polygon, ...]:
    """Areas with the sharp tips that `opened` takes off them."""
    grown = shapely.buffer(shapely.union_all(list(areas)), TIP, join_style="mitre")
    return tuple(p for p in getattr(grown, "geoms", [grown]) if not p.is_empty)


def leftover_findings(
    areas: Iterable[tuple[Point, ...]], part: TurnedPart, frame: Frame | None
) -> Iterator[Finding]:
    """A finding for each area that is thicker than the limit, or stands out further.

    The round of a nose in a corner drawn sharp, and the crests that a tap drill leaves, are notes; anything
    else is to be looked at.
    """
    body = polygon(part.target.segments, SAGITTA)
    for corners in areas:
        area = Polygon(corners)
        if max(thickness(area), _stands_out(area, body)) <= NEARLY * LIMIT:
            continue
        thread = thread_over(part.features, area)
        nose = nose_left(part.target.segments, area)
        if thread is not None:
            yield _crest_left(area, thread, frame)
        elif nose is not None:
            yield _round_kept(area, nose, frame)
        else:
            yield _not_reached(area, part, frame)


def _stands_out(area: Polygon, body: Polygon) -> float:
    """Greatest distance of an area's corners from the part, mm."""
    corners = shapely.points(shapely.get_coordinates(area))
    return float(shapely.distance(corners, body).max(initial=0.0))


def thread_over(features: Iterable[Feature], area: Polygon) -> Thread | None:
    """The inside thread whose crests an area belongs to, thin enough for its limits; None for other areas."""
    for thread in features:
        if isinstance(thread, Thread) and thread.side == "inside":
            z, r = area.representative_point().coords[0]
            here = thread.z_back <= z <= thread.z_front and r <= thread.r_large
            if here and thickness(area) <= 0.5 * UNDER_THREAD * thread.pitch:
                return thread
    return None


def nose_left(profile: Sequence[Segment], area: Polygon) -> float | None:
    """The radius of the nose that leaves an area in a sharp corner, mm; None when no nose does.

    A circle between the corner and a nose of radius R has the radius r = R (1 - s) / (1 + s), where s is the
    sine of half the corner's angle.
    """
    nearest, half = NEAR_CORNER, 0.0
    for one, two in zip(profile, (*profile[1:], profile[0])):
        along, on = one.tangent_at(1.0), two.tangent_at(0.0)
        if along.cross(on) < -SHARP and area.distance(shapely.Point(one.end)) < nearest:
            nearest = area.distance(shapely.Point(one.end))
            half = math.cos(0.5 * math.acos(max(-1.0, min(1.0, along.dot(on)))))
    if 0.0 < half < 1.0:
        nose = 0.5 * thickness(area) * (1.0 + half) / (1.0 - half)
        if nose <= LARGEST_NOSE:
            return nose
    return 0.0 if is_corner(profile, area) else None


def _crest_left(area: Polygon, thread: Thread, frame: Frame | None) -> Finding:
    place, thick = area.representative_point(), thickness(area)
    return Finding(
        code="planning/thread-crest",
        severity=Severity.NOTE,
        text=(
            f"the drill leaves the crests of {thread.designation} {plain_text(thick)} mm from the middle of "
            f"their limits"
        ),
        hint="nothing has to be done: the minor diameter stays within its class",
        where=located(frame, place.x, place.y),
        measured=thick,
        limit=0.5 * UNDER_THREAD * thread.pitch,
    )


def _round_kept(area: Polygon, nose: float, frame: Frame | None) -> Finding:
    place, thick = area.representative_point(), thickness(area)
    kept = f"a radius of about {plain_text(nose, 1)} mm" if nose > 0.0 else "the round of the tool's nose"
    return Finding(
        code="planning/nose-round",
        severity=Severity.NOTE,
        text=(
            f"the inside corner drawn sharp at z {plain_text(place.x)}, diameter {plain_text(2.0 * place.y)} "
            f"mm keeps {kept}: {plain_text(thick)} mm thick"
        ),
        hint="accept the radius that the tool leaves, or give the corner a relief",
        where=located(frame, place.x, place.y),
        measured=thick,
        limit=LIMIT,
    )


def _not_reached(area: Polygon, part: TurnedPart, frame: Frame | None) -> Finding:
    """Something to be looked at; too much of it is no part as drawn, very little is no step of its own."""
    place, thick = area.representative_point(), thickness(area)
    at = f"at z {plain_text(place.x)}, diameter {plain_text(2.0 * place.y)} mm; {plain_text(thick)} mm thick"
    little = area.area < LITTLE and thick < LITTLE_THICK
    if little:
        text = f"{plain_text(area.area)} mm2 stay {at}: too little for a step of its own"
    else:
        text = f"no tool of the crib reaches {plain_text(area.area)} mm2 {at}"
    return Finding(
        code="planning/left-over",
        severity=Severity.NOTE if little else Severity.FIX if thick <= MOST_LEFT else Severity.STOP,
        text=text,
        hint="break the edge by hand, or accept it" if little else tool_wanted(part, area),
        where=located(frame, place.x, place.y),
        measured=thick,
        limit=LIMIT,
    )
