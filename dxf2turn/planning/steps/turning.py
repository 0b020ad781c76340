"""Facing, roughing and finishing of the outside."""

from __future__ import annotations

import math

import shapely

from dxf2turn.planning.bench import FAR, Bench, Choice, made_step
from dxf2turn.planning.cutting import Task, choose, data_of
from dxf2turn.planning.fits import cut_nearly, fits_here, measuring_step, semi_finished
from dxf2turn.planning.holding.stiffness import bends_while_finishing, work_give
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.operations.face import face_moves
from dxf2turn.planning.operations.finish import finish_moves
from dxf2turn.planning.operations.rough import rough_face_moves, rough_moves
from dxf2turn.planning.reach import TINY, by_reach
from dxf2turn.planning.rest import features_at, is_corner, opened, outside_rest, places
from dxf2turn.planning.roughness import finest
from dxf2turn.planning.targets import outside_target
from dxf2turn.planning.tool_space.sweep import after
from dxf2turn.planning.tools import finishing_tools, roughing_tools, slim_tools
from dxf2turn.planning.work import Work
from dxf2turn.shop.model import Tool

ALL_HANDS = ("right", "left", "neutral")
WORTH_ROUGHING = 0.5  # a circle of this radius fits into what is worth a roughing step of its own, mm
LEVEL = 1e-6  # pieces whose ends lie closer than this along z stand upright, mm
WORTH_FINISHING = 0.01  # stock thicker than twice this over a surface is finished, mm


def face(bench: Bench) -> Bench:
    """The front face to z = 0, with the roughing tool; much stock is taken off in roughing cuts before."""
    return faced(bench, 0.0)


def faced(bench: Bench, z: float) -> Bench:
    """The front faced to a plane."""
    thick = _in_front(bench, z)
    if thick > bench.cell.practice.turning.thick_face_mm:
        task = Task(operation="face", radius=bench.stock.bounds[3])
        bench = _faced(bench, task, z + bench.cell.practice.turning.leave_face_mm)
    asked = finest(bench.clamping.part.features, ("face",), bench.cell.practice.turning.usual_ra_um)
    thick = _in_front(bench, z)
    task = Task(operation="face", radius=bench.stock.bounds[3], depth=thick, ra_um=asked)
    return _faced(bench, task, z) if thick > 0.0 else bench


def _in_front(bench: Bench, z: float) -> float:
    """How far the stock stands out in front of a plane, mm."""
    front = shapely.intersection(bench.stock, shapely.box(z + 0.001, 0.0, FAR, FAR))
    return 0.0 if front.is_empty else float(front.bounds[2]) - z


def _faced(bench: Bench, task: Task, z: float) -> Bench:
    tool = next(iter(roughing_tools(bench.cell.shop)))
    choice = choose(bench.cell, tool, task)
    work = bench.work(outside_target(bench.clamping))
    moves = face_moves(work, tool, data_of(choice), z)
    ids = tuple(f.id for f in bench.clamping.part.features if f.side == "face" and f.kind == "face")
    return _done(bench, "face", tool, choice, moves, side="face", features=ids)


def rough(bench: Bench) -> Bench:
    """The outside down to the finishing allowance, with one tool after the other while it pays.

    What stands in front of a high shoulder is taken across the axis where that is quicker.
    """
    for tool in roughing_tools(bench.cell.shop):
        lengthwise = _rough_with(bench, tool)
        ways = [lengthwise]
        if lengthwise is not bench:
            shoulder = _shoulder(bench, lengthwise.steps[-1].depth)
            across = bench if shoulder is None else _rough_with(bench, tool, shoulder)
            ways += [_rough_with(across, tool)] if across is not bench else []
        bench = min(ways, key=lambda way: way.busy_s)
    return bench


def _shoulder(bench: Bench, depth: float) -> float | None:
    """z of the rising shoulder in front of which passes across are most likely to save travel, or None.

    Passes along a zone of length l and height h travel ceil(h / depth) l and once along its wall; passes
    across travel ceil(l / depth) h and once along its floor.
    """
    right, high = bench.stock.bounds[2], bench.stock.bounds[3]
    saved: list[tuple[float, float]] = []
    top = 0.0
    for segment in outside_target(bench.clamping):
        (z, low), (end, r) = segment.start, segment.end
        length, height = right - z, high - max(low, top)
        here = z > bench.clamping.turned_to and length > WORTH_ROUGHING
        if here and abs(end - z) < LEVEL and r - low > depth:
            along = math.ceil(height / depth) * length + height
            saved.append((along - math.ceil(length / depth) * height - length, z))
        top = max(top, segment.bounds.max_y)
    gain, place = max(saved, default=(0.0, 0.0))
    return place if gain > 0.0 else None


def _rough_with(bench: Bench, tool: Tool, shoulder: float | None = None) -> Bench:
    """Roughed with one tool: lengthwise, or across the axis in front of a shoulder at z."""
    clamping = bench.clamping
    work = bench.work(outside_target(clamping))
    rest, leave = _beside(work, bench), _allowance(bench)
    todo = places(rest, WORTH_ROUGHING + leave[0])
    if not todo:
        return bench
    radius = max(place.bounds[3] for place in todo)
    choice = choose(bench.cell, tool, rough_task(bench, radius))
    if shoulder is None:
        moves = rough_moves(work, tool, data_of(choice), leave, "outside", (clamping.turned_to, FAR))
    else:
        moves = rough_face_moves(work, tool, data_of(choice), leave, "outside", (shoulder, FAR))
    if not moves:
        return bench
    left = places(_beside(after(work, moves, tool), bench), WORTH_ROUGHING + leave[0])
    gained = sum(p.area for p in todo) - sum(p.area for p in left)
    if gained < WORTH_ROUGHING:
        return bench
    cut = shapely.difference(work.stock, after(work, moves, tool).stock)
    ids = features_at(clamping.part, shapely.buffer(cut, leave[0] + 0.05), ("outside",))
    side = "outside" if shoulder is None else "face"
    return _done(bench, "rough turn", tool, choice, moves, side=side, features=ids)


def rough_task(bench: Bench, radius: float) -> Task:
    """What roughing of this setup has to hold: power and the bending of what stands out."""
    return Task(operation="rough turn", radius=radius, give=work_give(bench))


def _beside(work: Work, bench: Bench) -> shapely.geometry.base.BaseGeometry:
    """Stock beside the turning target that this setup turns away."""
    here = shapely.box(bench.clamping.turned_to, 0.0, FAR, FAR)
    return opened(shapely.intersection(shapely.difference(work.stock, work.part), here))


def finish(bench: Bench) -> Bench:
    """The outside to size: the tool that reaches most, then others for what it leaves."""
    for hands in (("right",), ALL_HANDS, ALL_HANDS):
        done = _finish_once(bench, hands)
        if done is None:
            return bench
        bench = done
    return bench


def _finish_once(bench: Bench, hands: tuple[str, ...]) -> Bench | None:
    clamping = bench.clamping
    work = bench.work(outside_target(clamping))
    found = (p for p in places(_beside(work, bench), WORTH_FINISHING) if not is_corner(work.target, p))
    todo = [p for p in found if shapely.distance(p, bench.body.boundary) < WORTH_FINISHING]
    region = shapely.union_all(todo)
    if region.area < TINY:
        return None
    for tool, left in by_reach(work, finishing_tools(bench.cell.shop, clamping.part, hands), region):
        if region.area - left < TINY:
            return None
        choice = choose(bench.cell, tool, finish_task(bench))
        moves = finish_moves(work, tool, data_of(choice), "outside", (clamping.turned_to, FAR))
        cut = shapely.difference(work.stock, after(work, moves, tool).stock) if moves else shapely.Polygon()
        if cut.area > TINY:
            bench = _measured_before(bench, work, tool, choice)
            gives = bends_while_finishing(bench, tool, choice)
            if gives is not None and all(f.code != gives.code for f in bench.findings):
                bench = bench.with_finding(gives)
            ids = features_at(clamping.part, cut, ("outside", "face"))
            return _done(bench, "finish turn", tool, choice, moves, features=ids)
    return None


def finish_rest(bench: Bench) -> Bench:
    """What blades have left in grooves, where a slim insert gets further: the bottom of a vee, say."""
    clamping = bench.clamping
    work = bench.work(clamping.part.segments)
    todo = [p for p in places(outside_rest(bench), WORTH_FINISHING) if not is_corner(work.target, p)]
    region = shapely.union_all(todo)
    if region.area < TINY:
        return bench
    low = max(clamping.outside_to, -clamping.part.length)
    for tool, left in by_reach(work, slim_tools(bench.cell.shop), region):
        if region.area - left < TINY:
            return bench
        choice = choose(bench.cell, tool, finish_task(bench))
        moves = finish_moves(work, tool, data_of(choice), "outside", (low, FAR))
        cut = shapely.difference(work.stock, after(work, moves, tool).stock) if moves else shapely.Polygon()
        if cut.area > TINY:
            ids = features_at(clamping.part, cut, ("outside",))
            return _done(bench, "finish turn", tool, choice, moves, features=ids)
    return bench


def _measured_before(bench: Bench, work: Work, tool: Tool, choice: Choice) -> Bench:
    """The fine fits cut nearly to size, and the stop in which they are measured."""
    data, left = data_of(choice), bench.cell.practice.turning.leave_measuring_mm
    fits, moves = cut_nearly(
        fits_here(bench, "outside"),
        left,
        lambda fit: finish_moves(work, tool, data, "outside", (fit.low, fit.high), left),
    )
    if not moves:
        return bench
    step = made_step("finish turn", tool, choice, moves, passes=len(fits))
    return bench.with_step(semi_finished(step, fits, left)).with_stop(measuring_step(fits, left))


def finish_task(bench: Bench) -> Task:
    """Finishing takes the allowance at the feed that the finest roughness asks for."""
    part = bench.clamping.part
    asked = finest(part.features, ("outside",), bench.cell.practice.turning.usual_ra_um)
    return Task(operation="finish turn", radius=part.max_radius, depth=_allowance(bench)[0], ra_um=asked)


def _allowance(bench: Bench) -> tuple[float, float]:
    """What roughing leaves for finishing: on the radius and along the axis, mm."""
    practice = bench.cell.practice.turning
    return practice.leave_radius_mm, practice.leave_along_mm


def _done(bench: Bench, operation: str, tool: Tool, choice: Choice, moves: tuple[Move, ...], **more) -> Bench:
    if not moves:
        return bench
    passes = max(
        1, sum(a.kind is MoveKind.RAPID and b.kind is not MoveKind.RAPID for a, b in zip(moves, moves[1:]))
    )
    return bench.with_step(made_step(operation, tool, choice, moves, passes=passes, **more))
