"""Less feed where a cut turns out fuller than its data were chosen for: at a wall, down a slope, over a rest.

The torque of a stretch of a move follows from what it takes off: kc times the volume of one turn over 2 pi
(S89, at the mean radius; kc after Kienzle). Only steps that come near to the spindle's torque are looked at.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from dxf2turn.planning.model import Move, Spindle, Step
from dxf2turn.planning.times import spindle_rpm
from dxf2turn.planning.tool_space.sweep import CUTTING, Corners, areas, cutting_shapes, folded, hulls, track
from dxf2turn.shop.forces import WATT_PER_KW, cutting_force, cutting_torque, specific_force, torque_at
from dxf2turn.shop.model import Machine, Material, Tool
from dxf2turn.units import plain_text

LEG = 1.0  # stretch over which the chip is averaged, some turns of the spindle, mm
FULLEST = 3.0  # depth that a turning tool may meet in places, mm
SLOPE = 1.25  # a blade that goes down a slope cuts its width and up to 0.75 of it sideways: the hypotenuse
HAIR = 1e-4  # taking off less than this along a millimetre is no cut, mm2
SAFE = 0.999  # of the torque that is there, so that rounding is no overload
BLADES = ("grooving", "parting", "inside grooving", "face grooving")


def edge_angle(tool: Tool) -> float:
    """Cutting edge angle of a tool, radians, at most square to the feed."""
    kappa = tool.cutting_edge_angle or 0.5 * math.pi
    return min(kappa, math.pi - kappa)


def eased(step: Step, stock: BaseGeometry, machine: Machine, material: Material) -> Step:
    """The step with less feed in the moves that would ask for more torque than there is; `why` says so."""
    tool, spindle = step.tool, step.spindle
    if tool is None or spindle is None or not _is_near(step, tool, spindle, machine, material):
        return step
    moves, least = [step.moves[0]], math.inf
    for before, move in zip(step.moves, step.moves[1:]):
        if move.kind in CUTTING and move.feed is not None:
            share, stock = _share(before, move, stock, (tool, spindle, machine, material))
            if share > SAFE:  # The torque grows with f^(1 - mc).
                least = round(move.feed * (SAFE / share) ** (1.0 / (1.0 - material.mc)) - 5e-5, 4)
                move = replace(move, feed=least)
        moves.append(move)
    if math.isinf(least):
        return step
    why = f"{step.why}; feed {plain_text(least)} mm where the cut is fuller: what the spindle turns"
    return replace(step, moves=tuple(moves), why=why)


def _is_near(step: Step, tool: Tool, spindle: Spindle, machine: Machine, material: Material) -> bool:
    """Whether the fullest cut that the step's tool may meet is more than the spindle turns."""
    feeds = [move.feed for move in step.moves if move.feed is not None]
    if tool.kind not in (*BLADES, "turning", "boring") or not feeds:
        return False
    radius = max(abs(move.r) for move in step.moves if move.feed is not None) + step.depth
    wide = SLOPE * (tool.width or 0.0) if tool.kind in BLADES else max(FULLEST, step.depth)
    force = cutting_force(material, wide, max(feeds), edge_angle(tool))
    return cutting_torque(force, 2.0 * radius) > SAFE * torque_at(machine, spindle_rpm(spindle, radius))


def _share(
    before: Move, move: Move, stock: BaseGeometry, by: tuple[Tool, Spindle, Machine, Material]
) -> tuple[float, BaseGeometry]:
    """Greatest torque of a move as a share of what there is, and the stock that it leaves."""
    tool, spindle, machine, material = by
    feed, shapes = move.feed or 0.0, cutting_shapes(tool)
    way = track(before, move)
    swept = folded(shapely.union_all(hulls(way, shapes)))
    rest = areas(shapely.intersection(swept, stock))
    if rest.area < HAIR:
        return 0.0, stock
    worst = 0.0
    for leg in _legs(way):
        length = float(np.hypot(*(leg[1] - leg[0])))
        taken = areas(shapely.intersection(folded(shapely.union_all(hulls(leg, shapes))), rest))
        if taken.area < HAIR * length:
            continue
        rest = areas(shapely.difference(rest, taken))
        force = specific_force(material, feed * math.sin(edge_angle(tool))) * feed * taken.area / length
        there = min(torque_at(machine, spindle_rpm(spindle, float(r))) for _, r in leg)
        worst = max(worst, force * taken.centroid.y / WATT_PER_KW / there)
    return worst, areas(shapely.difference(stock, swept))


def _legs(way: Corners) -> Iterator[Corners]:
    """A way in straight stretches of about LEG."""
    line = shapely.linestrings(way)
    count = max(1, math.ceil(line.length / LEG))
    places = np.linspace(0.0, line.length, count + 1)
    stops = shapely.get_coordinates(shapely.line_interpolate_point(line, places))
    return (stops[i : i + 2] for i in range(count))
