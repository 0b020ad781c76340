"""Grooves: pockets that are narrow for their depth and for the part; the others are necks.

`rules.Proportion` says how narrow. The wall of a shoulder above the mouth stays a face of its own.
"""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.features.form import Form, form_of
from dxf2turn.features.model import Groove
from dxf2turn.features.outline import Outline, spread
from dxf2turn.features.pocket import Pocket, concave_chains, pocket_of
from dxf2turn.features.rules import Proportion
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Line


def find_grooves(outline: Outline) -> Iterator[Groove]:
    """All grooves of a profile, in the order of the walk."""
    for chain in concave_chains(outline):
        pocket = pocket_of(outline, chain)
        if pocket is not None and is_groove(outline, pocket):
            yield groove_of(outline, pocket)


def is_groove(outline: Outline, pocket: Pocket) -> bool:
    """The proportions: narrow for its depth and for the diameter."""
    width = (pocket.end - pocket.start).dot(pocket.up.left)
    diameter = 2.0 * max(pocket.start.y, pocket.end.y)
    form = form_of(outline, pocket.core, pocket.up, pocket.shoulder, pocket.depth)
    if not form.is_pocket:
        return False
    limit = _proportion(outline, pocket, form)
    return width <= limit.width_per_depth * pocket.depth and width <= limit.width_per_diameter * diameter


def _proportion(outline: Outline, pocket: Pocket, form: Form) -> Proportion:
    rules = outline.rules
    if pocket.opens in ("front", "back"):
        return rules.face_groove
    inside = pocket.opens == "in"
    if form.form == "undercut":
        return rules.inside_undercut if inside else rules.undercut
    if inside:
        return rules.inside_shoulder_groove if pocket.shoulder else rules.inside_groove
    return rules.shoulder_groove if pocket.shoulder else rules.outside_groove


def groove_of(outline: Outline, pocket: Pocket) -> Groove:
    """The feature of a pocket."""
    form = form_of(outline, pocket.core, pocket.up, pocket.shoulder, pocket.depth)
    z_front, z_back, r_small, r_large = spread(outline, pocket.owned)
    ends = (pocket.start.x, pocket.end.x)
    return Groove(
        id="",
        side=_side(outline, pocket),
        z_front=max(z_front, *ends),
        z_back=min(z_back, *ends),
        r_small=r_small,
        r_large=r_large,
        segments=pocket.owned,
        width=_width(outline, pocket),
        depth=pocket.depth,
        floor_radius=_floor_radius(pocket, r_small, r_large),
        form=form.form,
        corner_radius=form.corner_radius,
        purpose="undercut" if form.form == "undercut" else None,
        opens=pocket.opens,
        mouth=(pocket.start, *([pocket.corner] if pocket.corner is not None else []), pocket.end),
        beside_shoulder=bool(pocket.shoulder),
        mouth_break=pocket.break_height,
        overhangs=form.overhangs and pocket.corner is None,
    )


def _side(outline: Outline, pocket: Pocket) -> str:
    sides = [outline.side(index) for index in pocket.core]
    if pocket.opens == "front" and outline.side(outline.before(pocket.owned[0]) or 0) == "face":
        return "face"
    if pocket.opens == "back" and outline.side(outline.before(pocket.owned[0]) or 0) == "end":
        return "end"
    return "inside" if "inside" in sides else "outside"


def _floor_radius(pocket: Pocket, r_small: float, r_large: float) -> float:
    if pocket.opens == "out":
        return r_small
    return r_large if pocket.opens == "in" else 0.5 * (r_small + r_large)


def _width(outline: Outline, pocket: Pocket) -> float:
    """Distance of the walls where they, prolonged, meet the mouth: edge breaks do not widen a groove."""
    along = pocket.up.left
    first, last = outline.segment(pocket.core[0]), outline.segment(pocket.core[-1])
    start, end = pocket.start, pocket.end
    if pocket.owned[0] != pocket.core[0] and isinstance(first, Line):
        start = _prolonged(first, start, pocket.up)
    if pocket.owned[-1] != pocket.core[-1] and isinstance(last, Line):
        end = _prolonged(last, end, pocket.up)
    return (end - start).dot(along)


def _prolonged(wall: Line, at: Point, up: Vector) -> Point:
    """Where a wall, prolonged, reaches the height of `at`."""
    rise = (wall.end - wall.start).dot(up)
    return wall.point_at((at - wall.start).dot(up) / rise) if rise else at
