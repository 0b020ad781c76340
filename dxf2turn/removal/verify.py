"""verify: replay every move of a plan on the stock and judge what comes out.

Written without the planner: it knows a plan only as values, and cuts polygons where the planner offsets
paths. See docs/removal.md for the method and the reasons of the tolerances.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from dxf2turn.features.model import Thread, TurnedPart
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import polygon
from dxf2turn.planning.model import Plan, Setup, ShortThread
from dxf2turn.removal.body import Body, Frame, body_of, depth_in, frame_of, ring_volume, thread_rooms
from dxf2turn.removal.grips import grip_troubles
from dxf2turn.removal.left import Left, left_over, uncut_threads
from dxf2turn.removal.model import Removal, Trouble
from dxf2turn.removal.report import findings_for, nothing_made
from dxf2turn.removal.simulate import Scene, State, run_setup
from dxf2turn.removal.supports import support_region, support_troubles
from dxf2turn.removal.sweep import NOTHING, areas, polygons_of
from dxf2turn.removal.threads import missing_knurls, pitch_troubles
from dxf2turn.removal.tolerances import AREA_NOISE, LEFT, SAGITTA, STOCK, THREAD_SHORT_SHARE

MINOR_KINDS = ("loose ring",)  # worth saying, no reason to refuse the plan


@dataclass(frozen=True, slots=True)
class _Run:
    """One setup's frame and what came of it. piece: the part's material afterwards, part coordinates."""

    setup: Setup
    frame: Frame
    state: State

    @property
    def piece(self) -> BaseGeometry:
        piece = self.state.stock if self.state.piece is None else self.state.piece
        return self.frame.to_part(piece)


def verify(part: TurnedPart, plan: Plan) -> Removal:
    """Judge a plan against the part. Never raises for a bad plan: what is wrong is in the result."""
    body = body_of(part)
    runs = _run_all(part, plan, body)
    piece = _largest_shared(runs[-1].piece, body.target) if runs else NOTHING
    declared = _polygons(plan.unreached) if plan.findings else NOTHING
    left = left_over(piece, body.target, declared)
    troubles = tuple(t for run in runs for t in run.state.troubles) + _uncut(body, runs, _short(part, plan))
    troubles += (*pitch_troubles(part, plan), *missing_knurls(part, plan))
    return _judged(runs, piece, left, troubles)


def _run_all(part: TurnedPart, plan: Plan, body: Body) -> list[_Run]:
    """Every setup in turn, each starting from what the one before left."""
    runs: list[_Run] = []
    rooms = thread_rooms(body.zones)
    for setup in plan.setups:
        frame = frame_of(part, setup.flipped)
        stated = _region(polygon(setup.stock, SAGITTA))
        stock = frame.to_setup(runs[-1].piece) if runs else stated
        scene = Scene(setup, body.placed(frame), _polygons(setup.jaws), support_region(setup))
        expected = stock if runs else shapely.union(stated, scene.body.target)
        trouble = _stock_trouble(setup, stated, expected, frame.to_setup(rooms))
        state = run_setup(scene, stock).noting(*trouble)
        state = state.noting(*_support_troubles(scene, stock, state))
        state = state.noting(*_grip_troubles(scene, (stock, state), part, frame))
        numbered = tuple(replace(t, setup=setup.no) for t in state.troubles)
        runs.append(_Run(setup, frame, replace(state, troubles=numbered)))
    return runs


def _grip_troubles(
    scene: Scene, stocks: tuple[BaseGeometry, State], part: TurnedPart, frame: Frame
) -> Iterable[Trouble]:
    """Whether what holds the work lies on a plain surface, at the start and still at the end."""
    before, after = stocks
    at_start = tuple(grip_troubles(scene, before, part.features, frame, "as the setup starts"))
    yield from at_start
    if not at_start and after.piece is None:
        yield from grip_troubles(scene, after.stock, part.features, frame, "as the setup ends")


def _support_troubles(scene: Scene, stock: BaseGeometry, state: State) -> Iterable[Trouble]:
    """Whether centre or steady have their seat, at the start and still at the end."""
    threads = shapely.union_all([zone.body for zone in scene.body.zones])
    at_start = tuple(support_troubles(scene.setup, stock, threads, "as the setup starts"))
    yield from at_start
    if not at_start and state.piece is None:
        yield from support_troubles(scene.setup, state.stock, threads, "as the setup ends")


def _stock_trouble(
    setup: Setup, stated: BaseGeometry, there: BaseGeometry, rooms: BaseGeometry
) -> tuple[Trouble, ...]:
    """The stock a setup states against what is there, threads left aside. First setup: it holds the part."""
    found = []
    for a, b, what in ((there, stated, "leaves out"), (stated, there, "invents")):
        extra = areas(shapely.difference(shapely.difference(a, shapely.buffer(b, STOCK)), rooms))
        if extra.area > AREA_NOISE:
            depth, at = depth_in(b, extra)
            text = f"the stock that setup {setup.no} states {what} material, {depth:.3f} mm deep"
            found.append(Trouble(kind="stock", setup=setup.no, step=0, move=0, at=at, size=depth, text=text))
    return tuple(found)


def _short(part: TurnedPart, plan: Plan) -> dict[str, BaseGeometry]:
    """Where the plan says that a thread is not full: at one end of it, and no more than a tool needs."""
    threads = {f.id: f for f in part.of_kind("thread") if isinstance(f, Thread)}
    far = 2.0 * part.target.max_radius
    return {
        short.feature: shapely.box(short.z_low - LEFT, 0.0, short.z_high + LEFT, far)
        for short in plan.short_threads
        if plan.findings and short.feature in threads and _is_run_out(short, threads[short.feature])
    }


def _is_run_out(short: ShortThread, thread: Thread) -> bool:
    at_end = short.z_low <= thread.z_back + LEFT or short.z_high >= thread.z_front - LEFT
    return at_end and short.z_high - short.z_low <= THREAD_SHORT_SHARE * thread.pitch + LEFT


def _uncut(body: Body, runs: list[_Run], short: dict[str, BaseGeometry]) -> tuple[Trouble, ...]:
    """Threads that no thread move cut to the root. Reported at the last setup."""
    if not runs:
        return ()
    grooves = shapely.union_all([run.frame.to_part(run.state.grooves) for run in runs])
    last = runs[-1]
    found = []
    for zone, area, at in uncut_threads(body.zones, grooves, short):
        text = f"thread {zone.designation} is not cut to its root: {area:.3f} mm2 of its groove is missing"
        place = last.frame.point_in_setup(at)
        found.append(
            Trouble(kind="thread", setup=last.setup.no, step=0, move=0, at=place, size=area, text=text)
        )
    return tuple(found)


def _judged(
    runs: list[_Run], piece: BaseGeometry, left: tuple[Left, ...], troubles: tuple[Trouble, ...]
) -> Removal:
    gouged = shapely.union_all([run.frame.to_part(g) for run in runs for g in run.state.gouged])
    unexplained = max((one.unexplained for one in left), default=0.0)
    serious = [t for t in troubles if t.kind not in MINOR_KINDS]
    frames = {run.setup.no: run.frame for run in runs}
    return Removal(
        gouge_mm3=ring_volume(gouged),
        max_gouge=max((t.size for t in troubles if t.kind == "gouge"), default=0.0),
        left_mm3=math.fsum(ring_volume(one.region) for one in left),
        max_left=max((one.depth for one in left), default=0.0),
        max_left_unexplained=unexplained,
        rapid_contacts=_count(troubles, "rapid contact"),
        holder_contacts=_count(troubles, "holder contact"),
        jaw_contacts=_count(troubles, "jaw contact") + _count(troubles, "support contact"),
        ok=not piece.is_empty and not serious and unexplained <= LEFT,
        troubles=troubles,
        left_areas=tuple(_ring(p.exterior) for one in left for p in polygons_of(one.region)),
        findings=findings_for(troubles, left, frames, MINOR_KINDS) + (nothing_made(),) * piece.is_empty,
        piece=_rings(piece),
        after=tuple((run.setup.no, no, _rings(stock)) for run in runs for no, stock in run.state.after),
    )


def _count(troubles: Iterable[Trouble], kind: str) -> int:
    return sum(1 for trouble in troubles if trouble.kind == kind)


def _largest_shared(stock: BaseGeometry, target: BaseGeometry) -> BaseGeometry:
    """The piece that holds most of the part."""
    pieces = polygons_of(stock)
    return max(pieces, key=lambda one: shapely.intersection(one, target).area, default=NOTHING)


def _polygons(rings: Iterable[tuple[Point, ...]]) -> BaseGeometry:
    return shapely.union_all([_region(Polygon(ring)) for ring in rings])


def _region(shape: BaseGeometry) -> BaseGeometry:
    return shape if shape.is_valid else areas(shapely.make_valid(shape))


def _rings(stock: BaseGeometry) -> tuple[tuple[tuple[Point, ...], ...], ...]:
    """Polygons for the preview: outer ring, then inner rings."""
    return tuple((_ring(p.exterior), *(_ring(hole) for hole in p.interiors)) for p in polygons_of(stock))


def _ring(ring: shapely.LinearRing) -> tuple[Point, ...]:
    return tuple(Point(float(z), float(r)) for z, r in ring.coords[:-1])
