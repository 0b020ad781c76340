"""Plain surfaces: one profile segment each. Faces, cylinders, bores, tapers, chamfers, arcs."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from dxf2turn.features.model import (
    Bore,
    Chamfer,
    Cylinder,
    EdgeRound,
    Face,
    Feature,
    Fillet,
    FreeArc,
    Taper,
)
from dxf2turn.features.outline import Outline, spread
from dxf2turn.geometry.segment import Arc, Line, Segment

RECESS = "wall of a recess, faces the axis"


def find_plain(outline: Outline, free: frozenset[int]) -> Iterator[Feature]:
    """One feature for each unclaimed segment, in the order of the walk; a cylinder drawn in pieces is one."""
    for index in outline.indices:
        if index not in free:
            continue
        feature = plain_feature(outline, index)
        if feature.kind not in ("cylinder", "bore"):
            yield feature
            continue
        pieces = outline.whole_cylinder(index)
        if index == pieces[0]:
            z_front, z_back, r_small, r_large = spread(outline, pieces)
            yield replace(
                feature, segments=pieces, z_front=z_front, z_back=z_back, r_small=r_small, r_large=r_large
            )


def plain_feature(outline: Outline, index: int) -> Feature:
    """What a single segment is, by its direction, its size and its neighbours."""
    segment = outline.segment(index)
    common = _common(outline, index)
    if isinstance(segment, Arc):
        return _arc(outline, index, segment, common)
    if outline.is_axial(index):
        radius = 0.5 * (segment.start.y + segment.end.y)
        inside, hollow = common["side"] == "inside", outline.faces_axis(index)
        if inside and hollow:
            return Bore(**common, diameter_mm=2.0 * radius)
        own = {"side": "inside" if inside else "outside", "note": RECESS if hollow else ""}
        return Cylinder(**{**common, **own}, radius=radius)
    if outline.is_radial(index):
        return Face(**common)
    axial, radial = abs(segment.end.x - segment.start.x), abs(segment.end.y - segment.start.y)
    angle = math.atan2(radial, axial)
    if is_chamfer(outline, index):
        return Chamfer(**common, axial=axial, radial=radial, angle=angle)
    return Taper(**common, half_angle=angle, ratio=2.0 * radial / axial)


def is_chamfer(outline: Outline, index: int) -> bool:
    """A short oblique line that breaks a corner: both its corners are convex (or, in a floor, both concave),
    one neighbour lies along or square to the axis, neither leg is large for the diameter, and it is not long
    beside its neighbours."""
    rules, line = outline.rules, outline.segment(index)
    before, after = outline.before(index), outline.after(index)
    if before is None or after is None or not isinstance(line, Line):
        return False
    if not any(outline.is_axial(i) or outline.is_radial(i) for i in (before, after)):
        return False
    into, out = outline.turn_into(index), outline.turn_out(index)
    if into * out <= 0.0 or min(abs(into), abs(out)) < rules.corner or abs(into + out) < rules.corner_turn:
        return False
    axial, radial = abs(line.end.x - line.start.x), abs(line.end.y - line.start.y)
    if not rules.chamfer_least <= math.atan2(radial, axial) <= math.pi / 2 - rules.chamfer_least:
        return False
    diameter = 2.0 * max(line.start.y, line.end.y)
    longest = max(outline.segment(before).length, outline.segment(after).length)
    small = max(axial, radial) <= rules.chamfer_share * diameter
    return small and line.length <= rules.chamfer_neighbour * longest and not _goes_on(outline, index, line)


def _goes_on(outline: Outline, index: int, line: Line) -> bool:
    """Whether a cone that is slighter than an edge break goes on behind a groove."""
    if math.atan2(abs(line.end.y - line.start.y), abs(line.end.x - line.start.x)) > outline.rules.cone_most:
        return False
    return any(goes_on_at(outline, index, line, step) is not None for step in (outline.after, outline.before))


def goes_on_at(outline: Outline, index: int, line: Line, step: Callable[[int], int | None]) -> int | None:
    """The piece within reach of a groove that lies on a line prolonged. step: towards the next piece."""
    other: int | None = index
    for _ in range(outline.rules.groove_pieces):
        other = step(other) if other is not None else None
        if other is None or outline.role(other) != outline.role(index):
            return None
        if _is_prolonged(outline, line, outline.segment(other)):
            return other
    return None


def _is_prolonged(outline: Outline, line: Line, piece: Segment) -> bool:
    """Whether a piece is a line on another one prolonged."""
    if not isinstance(piece, Line):
        return False
    along, way = line.tangent_at(0.5), piece.tangent_at(0.5)
    off = abs((piece.point_at(0.5) - line.point_at(0.5)).cross(along))
    one_way = along.dot(way) > 0.0 and abs(along.cross(way)) <= outline.rules.same_way
    return one_way and off <= outline.tolerances.gap


def is_rounding(outline: Outline, index: int) -> bool:
    """An arc that joins its two neighbours smoothly and is neither a half circle nor large for the part."""
    rules, arc = outline.rules, outline.segment(index)
    if outline.before(index) is None or outline.after(index) is None or not isinstance(arc, Arc):
        return False
    smooth = max(abs(outline.turn_into(index)), abs(outline.turn_out(index))) <= rules.tangent
    diameter = 2.0 * arc.bounds.max_y
    return smooth and abs(arc.sweep) <= rules.round_sweep and arc.radius <= rules.round_share * diameter


def _arc(outline: Outline, index: int, arc: Arc, common: dict[str, Any]) -> Feature:
    if not is_rounding(outline, index):
        return FreeArc(**common, radius=arc.radius)
    if arc.clockwise:
        return Fillet(**common, radius=arc.radius)
    return EdgeRound(**common, radius=arc.radius)


def _common(outline: Outline, index: int) -> dict[str, Any]:
    z_front, z_back, r_small, r_large = spread(outline, (index,))
    side = outline.side(index)
    if not outline.is_radial(index) and side in ("face", "end"):
        side = "outside"
    return {
        "id": "",
        "side": side,
        "z_front": z_front,
        "z_back": z_back,
        "r_small": r_small,
        "r_large": r_large,
        "segments": (index,),
    }
