"""Grooves outside, inside and in the face, and everything else that is left to a blade."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from dxf2turn.planning.bench import FAR, Bench, Choice, made_step
from dxf2turn.planning.blade_reach import blade_reach
from dxf2turn.planning.cutting import Task, choose, data_of
from dxf2turn.planning.fits import not_measured
from dxf2turn.planning.operations.plunge import Plunges, Zone, plunge
from dxf2turn.planning.rest import features_at, inside_rest, is_corner, opened, outside_rest, places
from dxf2turn.planning.targets import bore_goes_on, front_bore
from dxf2turn.planning.tool_space.axes import FACE, INSIDE, OUTSIDE, Axes
from dxf2turn.planning.tool_space.sweep import areas
from dxf2turn.planning.tools import (
    face_grooving_tools,
    grooving_tools,
    inside_grooving_tools,
    parting_tool,
    parting_tools,
)
from dxf2turn.planning.work import Work
from dxf2turn.shop.cutting import finishing_feed
from dxf2turn.shop.model import Tool
from dxf2turn.units import plain_text

BESIDE = 1.0  # how far beside a place the blade may stand, in blade widths
LEFT = 0.02  # mm2: a blade that leaves less than this more than another is as good
MOST_LEFT = 0.9  # a blade that leaves more than this share of a place is not worth a step
WIDER = 1.5  # a blade up to so many times as wide as a place may still get at it, beside an open side
SLACK = 1.0  # and so much more, mm
ROUND = 0.01  # mm
NECK_DEPTH = 0.5  # a blade that reaches this share of a place's depth is tried
ABOVE = 1.0  # a blade's reach is looked at so far above a place, mm
LOADED = 0.6  # the loaded blade is kept if it has this share of the widest fitting one's width
WORTH_FACING = 0.1  # half the thickness of what is worth a face groove, mm
UNDER = 0.001  # how far below the lowest corner a place is cut, mm
FINE_CORNER = 0.08  # the round of a blade with corners of 0.2 mm is no thicker than this, mm
PLACES = 40  # a setup never needs more blade steps


@dataclass(frozen=True, slots=True)
class Box:
    """A place in the plane of the blade: from lo to hi along u, from floor to top along v."""

    lo: float
    hi: float
    floor: float
    top: float

    @property
    def width(self) -> float:
        return self.hi - self.lo

    @property
    def depth(self) -> float:
        return self.top - self.floor


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of blade work. rest: the stock it is about; tools: blades for a place, best first."""

    axes: Axes
    operation: str
    sides: tuple[str, ...]
    rest: Callable[[Bench], BaseGeometry]
    tools: Callable[[Bench, Box], tuple[Tool, ...]]


@dataclass(frozen=True, slots=True)
class Trial:
    """A blade that may cut a place. rank: 0 for the best; least: what its shape leaves, in steps of LEFT."""

    rank: int
    tool: Tool
    choice: Choice
    zone: Zone
    least: int = 0


def grooves(bench: Bench) -> Bench:
    """Each place that is left outside, from front to back, with the blade that leaves least."""
    return _all_places(bench, OUTSIDE_KIND)


def face_grooves(bench: Bench) -> Bench:
    """Grooves and recesses in the front face, and in shoulders that look to the front."""
    return _all_places(bench, FACE_KIND)


def _face_rest(bench: Bench) -> BaseGeometry:
    """What turning and blades from outside have left, thin layers aside: mostly nothing."""
    return shapely.union_all(places(outside_rest(bench), WORTH_FACING))


def inside_grooves(bench: Bench) -> Bench:
    """Grooves in the bore that opens at the front."""
    return _all_places(bench, INSIDE_KIND)


def _all_places(bench: Bench, kind: Kind) -> Bench:
    for _ in range(PLACES):
        found = [p for p in places(kind.rest(bench)) if not is_corner(bench.clamping.part.segments, p)]
        done = next((b for place in found if (b := _cut(bench, place, kind)) is not None), None)
        if done is None:
            return bench
        bench = done
    return bench


def _cut(bench: Bench, place: Polygon, kind: Kind) -> Bench | None:
    """The place cut by the best blade; None when no blade takes anything worthwhile off it."""
    work = bench.work(bench.clamping.part.segments)
    box = _box(place, kind.axes)
    best: tuple[tuple[int, int], Trial, Plunges] | None = None
    for trial in _by_shape(_trials(bench, place, kind), bench, work, place):
        order = -1 if trial.tool == bench.loaded else trial.rank
        if best is not None and best[0] <= (trial.least, order):
            continue  # Its shape alone leaves more than another blade does.
        result = plunge(work, trial.tool, trial.zone)
        if not result.moves:
            continue
        score = (_left(bench, result.stock, place), order)
        if best is None or score < best[0]:
            best = (score, trial, result)
        if score[0] == 0:
            break  # The blades that follow are narrower: they would take longer.
    if best is None or _is_worthless(best[0][0], place):
        return None
    _, trial, result = best
    tool, choice = trial.tool, trial.choice
    why = f"{_reason(box, tool)}; {choice.why}"
    ids = features_at(bench.clamping.part, place, kind.sides)
    step = made_step(
        kind.operation,
        tool,
        replace(choice, depth=box.depth, why=why),
        result.moves,
        side=kind.sides[0],
        passes=result.plunges + result.runs,
        features=ids,
    )
    return bench.with_step(step).with_finding(*not_measured(bench, kind.sides[0], ids))


def _trials(bench: Bench, place: Polygon, kind: Kind) -> Iterator[Trial]:
    """The blades for a place, best first."""
    box = _box(place, kind.axes)
    for rank, tool in enumerate(kind.tools(bench, box)):
        choice = choose(bench.cell, tool, Task(operation=kind.operation, radius=place.bounds[3]))
        if choice.turns:
            yield Trial(rank, tool, choice, _zone(bench, box, tool, choice, kind))


def _by_shape(trials: Iterable[Trial], bench: Bench, work: Work, place: Polygon) -> Iterator[Trial]:
    """Blades whose shape leaves least first, so that few of them need all their moves planned.

    Those that may leave nothing come as they are found: the first that does ends the search.
    """
    depth = max(place.bounds[2] - place.bounds[0], place.bounds[3] - place.bounds[1]) + ABOVE
    later = []
    for trial in trials:
        beyond = shapely.difference(place, blade_reach(work, trial.tool, trial.zone, depth))
        judged = replace(trial, least=_left(bench, beyond, place))
        if judged.least == 0:
            yield judged
        elif not _is_worthless(judged.least, place):
            later.append(judged)
    yield from sorted(later, key=lambda trial: (trial.least, trial.rank))


def _is_worthless(left: int, place: Polygon) -> bool:
    """Whether a blade that leaves so many steps of LEFT is of no use in a place."""
    return left * LEFT > MOST_LEFT * place.area


def _left(bench: Bench, stock: BaseGeometry, place: Polygon) -> int:
    """Area of a place that stays, in steps of LEFT; the round of a fine blade in a sharp corner is none."""
    profile = bench.clamping.part.segments
    pieces = places(opened(areas(shapely.intersection(stock, place))), 0.0)
    return round(sum(p.area for p in pieces if not is_corner(profile, p, FINE_CORNER)) / LEFT)


def _box(place: Polygon, axes: Axes) -> Box:
    low, bottom, high, top = place.bounds
    a, b = axes.uv((low, bottom)), axes.uv((high, top))
    return Box(min(a.x, b.x), max(a.x, b.x), min(a.y, b.y), max(a.y, b.y))


def _outside_blades(bench: Bench, box: Box) -> tuple[Tool, ...]:
    """Blades that are not too wide and reach deep enough; the loaded one first, then from wide to narrow.

    At the back edge of a part that is parted off the blade may be wider than the place: behind it is waste.
    If the place is small the parting blade comes first, it needs no tool change.
    """
    width = WIDER * box.width + SLACK
    clamping, shop = bench.clamping, bench.cell.shop
    tools = list(grooving_tools(shop))
    if clamping.parting is not None and box.lo < clamping.parting + ROUND:
        width = max(width, clamping.over)
        parting = parting_tool(shop, _parting_depth(bench, clamping.parting) + bench.cell.clearance)
        if parting is not None and box.width <= 2.0 * (parting.width or 0.0):
            tools = [parting, *tools]
    if all((tool.reach or 0.0) < box.depth for tool in tools):
        tools += reversed(parting_tools(shop, box.depth))  # They reach deepest.
    return _loaded_first(bench, _within(tools, width, box.depth))


def _parting_depth(bench: Bench, parting: float) -> float:
    """How deep is parted off once the back edge is broken: from the rim of the back face inwards, mm."""
    part = bench.clamping.part
    behind = shapely.intersection(bench.stock, shapely.box(parting - 2.0 * ROUND, 0.0, parting - ROUND, FAR))
    if behind.is_empty:
        return 0.0
    rims = [p.y for s in part.segments for p in (s.start, s.end) if p.x < parting + ROUND]
    return min([behind.bounds[3], *([max(rims)] if rims else [])]) - float(behind.bounds[1])


def _face_blades(bench: Bench, box: Box) -> tuple[Tool, ...]:
    """Blades whose first plunge, at the outer diameter of the groove, lies in their range."""
    found = (t for t in face_grooving_tools(bench.cell.shop) if _starts_at(t, 2.0 * box.hi))
    return _loaded_first(bench, _within(found, WIDER * box.width, box.depth))


def _starts_at(tool: Tool, diameter: float) -> bool:
    low, high = tool.first_groove_mm or (0.0, 0.0)
    return low - ROUND <= diameter <= high + ROUND


def _inside_blades(bench: Bench, box: Box) -> tuple[Tool, ...]:
    """Bars that enter the bore in front of the place and reach along it."""
    bore = 2.0 * _way_in(bench, box)
    room = bench.cell.practice.travel.inside_clearance_mm
    found = (
        t
        for t in inside_grooving_tools(bench.cell.shop)
        if (t.least_bore_mm or 0.0) <= bore - room and (t.overhang or 0.0) >= -box.lo
    )
    width = WIDER * box.width + SLACK
    if box.lo < -bench.clamping.part.length + ROUND:
        width = max(width, bore_goes_on(bench.clamping.part) - SLACK)  # Behind the far edge is waste.
    return _loaded_first(bench, _within(found, width, box.depth))


def _way_in(bench: Bench, box: Box) -> float:
    """Radius of the hole that a bar has to pass to a place: of the bore in front of it.

    A place in the mouth has none in front of it; its top is the radius of the bore then.
    """
    before = shapely.intersection(bench.stock, shapely.box(box.hi + ROUND, 0.0, FAR, FAR))
    return float(before.bounds[1]) if not before.is_empty else -box.top


def _within(tools, width: float, depth: float) -> list[Tool]:  # noqa: ANN001
    return [t for t in tools if (t.width or 0.0) <= width and (t.reach or 0.0) >= NECK_DEPTH * depth]


def _loaded_first(bench: Bench, tools: list[Tool]) -> tuple[Tool, ...]:
    if not tools:
        return ()
    enough = LOADED * (tools[0].width or 0.0)
    return tuple(sorted(tools, key=lambda t: t != bench.loaded or (t.width or 0.0) < enough))


def _reason(box: Box, tool: Tool) -> str:
    return (
        f"blade {plain_text(tool.width or 0.0)} mm: the widest that leaves least in a place "
        f"{plain_text(box.width)} mm wide and {plain_text(box.depth)} mm deep"
    )


def _zone(bench: Bench, box: Box, tool: Tool, choice: Choice, kind: Kind) -> Zone:
    """Where a blade may go to cut a place: so far beside it as its width asks for, never to the jaws."""
    clamping = bench.clamping
    width = tool.width or 0.0
    practice = bench.cell.practice
    finish = finishing_feed(data_of(choice), tool, practice.turning.usual_ra_um, practice.cutting)
    base = box.floor - tool.nose_radius - UNDER  # The round corner has to pass the lowest edge.
    lowest = -1e4
    if kind.axes == OUTSIDE:
        lowest = clamping.turned_to
        if clamping.parting is not None:
            base = max(base, min(practice.parting.neck_of(clamping.part.max_radius), box.top))
    elif kind.axes == INSIDE:
        lowest = max(clamping.lowest_inside, _floor(bench))
    elif kind.axes == FACE:
        lowest = -tool.nose_radius  # To the axis: past it the blade would cut the other side again.
    return Zone(
        axes=kind.axes,
        lo=max(box.lo - BESIDE * width, lowest),
        hi=box.hi + BESIDE * width,
        base=base,
        practice=practice.grooving,
        feed=choice.feed,
        finish_feed=round(min(choice.feed, finish), 4),
        clearance=bench.cell.clearance if kind.axes != INSIDE else practice.travel.inside_clearance_mm,
        sideways=choice.depth,
        wanted=(box.lo, box.hi),
    )


def _floor(bench: Bench) -> float:
    """z of the floor of a blind bore; a blade that runs along it must not round the corner at the axis."""
    bore = front_bore(bench.clamping.part)
    blind = bool(bore) and bore[0].start.y <= UNDER
    return min(s.bounds.min_x for s in bore) - 0.5 * UNDER if blind else -math.inf


OUTSIDE_KIND = Kind(OUTSIDE, "groove", ("outside",), outside_rest, _outside_blades)
FACE_KIND = Kind(FACE, "face groove", ("face",), _face_rest, _face_blades)
INSIDE_KIND = Kind(INSIDE, "inside groove", ("inside",), inside_rest, _inside_blades)
