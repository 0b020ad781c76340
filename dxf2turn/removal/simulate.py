"""One setup, move by move: cut the stock, and name every gouge and every contact."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import reduce

import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import less, shared
from dxf2turn.planning.model import MoveKind, Setup, Step
from dxf2turn.removal.body import Body, Guard, depth_in
from dxf2turn.removal.holder import uncut_contact
from dxf2turn.removal.model import Trouble
from dxf2turn.removal.moves import Travel, is_finite, path_troubles, still, travels, trouble_in
from dxf2turn.removal.sweep import (
    NOTHING,
    Corners,
    Shape,
    areas,
    grown,
    mirrored,
    polygons_of,
    shape_of,
    swept,
    swept_box,
)
from dxf2turn.removal.tolerances import AREA_NOISE, CHIP, NOSE_SAGITTA, PLACE, TOUCH
from dxf2turn.shop.model import Tool


@dataclass(frozen=True, slots=True)
class Scene:
    """What does not change during one setup, in its coordinates."""

    setup: Setup
    body: Body
    jaws: BaseGeometry
    supports: BaseGeometry = NOTHING


@dataclass(frozen=True, slots=True)
class State:
    """What the moves so far have led to.

    stock: the material in the machine; threads stand in it with their crests. grooves: what thread moves
    took out of it inside the part. gouged: what was cut out of the part against the rules. piece: the part
    once it was parted off. after: the stock at the end of each step.
    """

    stock: BaseGeometry
    grooves: BaseGeometry = NOTHING
    gouged: tuple[BaseGeometry, ...] = ()
    troubles: tuple[Trouble, ...] = ()
    piece: BaseGeometry | None = None
    after: tuple[tuple[int, BaseGeometry], ...] = ()

    def noting(self, *troubles: Trouble | None) -> State:
        """The same state with more troubles."""
        return replace(self, troubles=self.troubles + tuple(t for t in troubles if t is not None))


@dataclass(frozen=True, slots=True)
class Cutter:
    """A tool as swept shapes. The thin ones are shrunk by the touch tolerance."""

    cutting: Shape
    cutting_thin: Shape
    holder_thin: Shape | None


def run_setup(scene: Scene, stock: BaseGeometry) -> State:
    """The state after all steps of a setup that starts with `stock`."""
    return reduce(lambda state, step: _run_step(scene, state, step), scene.setup.steps, State(stock))


def _run_step(scene: Scene, state: State, step: Step) -> State:
    if step.tool is not None and step.moves:
        state = state.noting(*path_troubles(step, scene.setup.tool_change))
        cutter = _cutter(step.tool)
        if cutter is None:
            text = f"uses {step.tool.id}, which has no cutting outline: what it does can't be checked"
            state = state.noting(trouble_in("path", still(step, 0), scene.setup.tool_change, 0.0, text))
        elif is_finite(step):
            state = reduce(lambda s, travel: _advance(scene, s, cutter, travel), travels(step), state)
    state = _let_go(scene, state, step)
    return replace(state, after=(*state.after, (step.no, state.stock)))


def _cutter(tool: Tool) -> Cutter | None:
    """None for a tool without a cutting part in the plane.

    The true cutting part, not its coarser outline in the plan document: that is the other replay's business.
    """
    edge = grown(tool.core, tool.nose_radius, NOSE_SAGITTA)
    cutting, thin = shape_of([edge]), shape_of([edge], TOUCH)
    if cutting is None or thin is None:
        return None
    return Cutter(cutting, thin, shape_of(tool.holder, TOUCH))


def _advance(scene: Scene, state: State, cutter: Cutter, travel: Travel) -> State:
    if travel.kind is MoveKind.RAPID:
        return state.noting(
            _rapid_contact(state, cutter, travel),
            _holder_contact(state, cutter, travel, state.stock),
            _jaw_contact(scene, cutter, travel),
        )
    before = state.stock
    state = _cut(scene, state, cutter, travel)
    return state.noting(
        _holder_contact(state, cutter, travel, before),
        _jaw_contact(scene, cutter, travel),
    )


def _cut(scene: Scene, state: State, cutter: Cutter, travel: Travel) -> State:
    """Take the swept region out of the stock; what it takes of the part is a gouge or a thread."""
    if not _boxes_meet(swept_box(cutter.cutting, travel.path), state.stock.bounds):
        return state
    body, taken = scene.body, swept(cutter.cutting, travel.path)
    if travel.step.operation == "knurl":
        return _gouge(state, body.knurling, taken, travel)  # a wheel presses, it takes nothing away
    if travel.kind is MoveKind.THREAD:
        state = _gouge(state, body.threading, taken, travel)
        inside = shared(taken, body.target)
        state = replace(state, grooves=areas(shapely.union(state.grooves, inside)))
        return replace(state, stock=areas(less(state.stock, less(taken, body.target))))
    state = _gouge(state, body.plain, taken, travel)
    return replace(state, stock=areas(less(state.stock, taken)))


def _gouge(state: State, guard: Guard, taken: BaseGeometry, travel: Travel) -> State:
    if state.piece is not None or not guard.core.intersects(taken):
        return state
    deep = areas(shared(guard.core, taken))
    if deep.area <= AREA_NOISE:
        return state
    loss = tuple(p for p in polygons_of(shapely.intersection(guard.region, taken)) if p.intersects(deep))
    depth, at = depth_in(guard.surface, deep)
    trouble = trouble_in("gouge", travel, at, depth, f"cuts {depth:.3f} mm into the part")
    return replace(state, gouged=(*state.gouged, *loss)).noting(trouble)


def _rapid_contact(state: State, cutter: Cutter, travel: Travel) -> Trouble | None:
    """A rapid through material. A threading tool may leave through the groove it has cut."""
    hit = _met(cutter.cutting_thin, travel.path, state.stock)
    if hit is not None and any(move.kind is MoveKind.THREAD for move in travel.step.moves):
        hit = areas(less(hit, state.grooves))
    if hit is None or hit.area <= AREA_NOISE:
        return None
    depth, at = depth_in(_surface(state.stock), hit)
    return trouble_in("rapid contact", travel, at, depth, f"is a rapid {depth:.3f} mm deep through the stock")


def _holder_contact(state: State, cutter: Cutter, travel: Travel, before: BaseGeometry) -> Trouble | None:
    """The holder in the stock as it is when the holder comes there."""
    if cutter.holder_thin is None:
        return None
    hit = _met(cutter.holder_thin, travel.path, before)
    if hit is None:
        return None
    if travel.kind is not MoveKind.RAPID and travel.step.operation != "knurl":
        hit = uncut_contact(cutter.holder_thin, cutter.cutting, travel.path, before)
        if hit.area <= AREA_NOISE:
            return None
    depth, at = depth_in(_surface(before), hit)
    return trouble_in("holder contact", travel, at, depth, f"brings the holder {depth:.3f} mm into the stock")


def _jaw_contact(scene: Scene, cutter: Cutter, travel: Travel) -> Trouble | None:
    """Whatever holds the work must not be touched by any move."""
    bodies = ((scene.jaws, "jaws or the chuck", "jaw contact"), (scene.supports, "", "support contact"))
    for region, name, kind in bodies:
        for shape, what in ((cutter.cutting_thin, "tool"), (cutter.holder_thin, "holder")):
            hit = None if shape is None else _met(shape, travel.path, region)
            if hit is not None:
                depth, at = depth_in(region.boundary, hit)
                text = f"brings the {what} {depth:.3f} mm into the {name or scene.setup.support}"
                return trouble_in(kind, travel, at, depth, text)
    return None


def _met(shape: Shape, path: Corners, other: BaseGeometry) -> BaseGeometry | None:
    """The overlap of a swept shape and a region, None when they don't overlap."""
    if other.is_empty or not _boxes_meet(swept_box(shape, path), other.bounds):
        return None
    region = swept(shape, path)
    if not shapely.intersects(region, other):
        return None
    overlap = areas(shared(region, other))
    return overlap if overlap.area > AREA_NOISE else None


def _boxes_meet(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _surface(stock: BaseGeometry) -> BaseGeometry:
    """The edge of a turned body: the axis is none of it."""
    return shapely.union(stock, mirrored(stock)).boundary


def _let_go(scene: Scene, state: State, step: Step) -> State:
    """What is no longer connected falls off at the end of a step; parting off takes the part away."""
    pieces = polygons_of(state.stock)
    if len(pieces) <= 1:
        return state
    if state.piece is not None:
        return state
    part = max(pieces, key=lambda piece: shapely.intersection(piece, scene.body.target).area)
    others = [piece for piece in pieces if piece is not part]
    if step.operation == "part off":
        state = state.noting(_parted_in_support(scene, step))
        return replace(state, piece=part, stock=areas(shapely.union_all(others)))
    held = [piece for piece in others if scene.jaws.distance(piece) <= PLACE]
    for piece in others:
        state = state.noting(_loose(scene, step, piece, piece in held))
    return replace(state, stock=areas(shapely.union_all([part, *held])))


def _parted_in_support(scene: Scene, step: Step) -> Trouble | None:
    """Parting off between the jaws and a support: the piece jams and is thrown."""
    if scene.supports.is_empty:
        return None
    last = still(step, len(step.moves) - 1)
    text = f"parts the work off while the {scene.setup.support} is in"
    return trouble_in("support", last, step.moves[-1].end, 0.0, text)


def _loose(scene: Scene, step: Step, piece: BaseGeometry, held: bool) -> Trouble | None:
    """A piece that came loose: waste, or the part itself when one of the pieces is in the jaws."""
    at = Point(*map(float, piece.representative_point().coords[0]))
    last = still(step, len(step.moves) - 1)
    if held or shapely.intersection(piece, scene.body.plain.core).area > AREA_NOISE:
        return trouble_in("cut loose", last, at, piece.area, "cuts the part apart, or off from what is held")
    if piece.buffer(-0.5 * CHIP).is_empty:
        return None
    return trouble_in(
        "loose ring", last, at, piece.area, f"leaves a loose ring of {piece.area:.2f} mm2 section"
    )
