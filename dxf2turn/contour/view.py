"""What can be seen of parts along an axis: for each part its two sides, as far as they are drawn."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from dxf2turn.cleaning.model import Piece
from dxf2turn.contour.frame import Axis
from dxf2turn.contour.half import Half, half_of, seen_from
from dxf2turn.contour.hatching import Hatching
from dxf2turn.contour.hexagon import Hexagon, find_hexagon, without_curves
from dxf2turn.contour.marks import marks_among, without
from dxf2turn.contour.material import Material, material_of
from dxf2turn.contour.roots import without_thread_roots
from dxf2turn.contour.symbols import without_symbols
from dxf2turn.geometry.path import path_bounds, signed_area
from dxf2turn.geometry.region import lies_inside
from dxf2turn.geometry.segment import Bounds
from dxf2turn.options import Tolerances

_SAGITTA = 0.01  # mm, for "does this lie inside that" only
_SAME_PART = 0.5  # share of the shorter side's length that both sides of one part have in common
_SMALL = 0.3  # of the largest view's area


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a part: the faces there that hang together and which of them are material."""

    half: Half
    group: frozenset[int]
    material: Material
    area: float
    bounds: Bounds  # in (z, r)


@dataclass(frozen=True, slots=True)
class View:
    """A part seen along an axis; a side may be None. kind: what the axis is known by, see `sheet`.
    hexagon: see there, in z of the axis."""

    axis: Axis
    above: Side | None
    below: Side | None
    pieces: tuple[Piece, ...]
    kind: str = ""
    hexagon: Hexagon | None = None

    @property
    def sides(self) -> tuple[Side, ...]:
        return tuple(side for side in (self.above, self.below) if side is not None)

    @property
    def area(self) -> float:
        return max(side.area for side in self.sides)

    @property
    def z_range(self) -> tuple[float, float]:
        return min(s.bounds.min_x for s in self.sides), max(s.bounds.max_x for s in self.sides)

    @property
    def largest_r(self) -> float:
        return max(side.bounds.max_y for side in self.sides)


def views_along(
    axis: Axis, pieces: Sequence[Piece], hatching: Hatching, tolerances: Tolerances
) -> list[View]:
    """The parts that `pieces` show along an axis, the largest first. hatching: seen from the axis."""
    hexagon = find_hexagon(pieces, axis, tolerances)
    seen = seen_from(axis, pieces if hexagon is None else without_curves(pieces, axis, hexagon))
    drawn, marks = without(seen, marks_among(seen, tolerances))
    halves = [half_of(drawn, above, tolerances, marks) for above in (True, False)]
    halves = [without_symbols(own, other, tolerances) for own, other in (halves, halves[::-1])]
    above = _sides(halves[0], hatching, tolerances)
    below = _sides(halves[1], hatching.mirrored(), tolerances)
    views = []
    for side in above:
        partner = max(below, key=lambda other: _common(side, other), default=None)
        if partner is not None and _common(side, partner) >= _SAME_PART:
            below.remove(partner)
        else:
            partner = None
        views.append(View(axis, side, partner, tuple(pieces)))
    views.extend(View(axis, None, side, tuple(pieces)) for side in below)
    views.sort(key=lambda view: -view.area)
    views = [_with_hexagon(view, hexagon) for view in views]
    return [view for view in views if not _is_beside(view, views[0])]


def _with_hexagon(view: View, hexagon: Hexagon | None) -> View:
    """The view with the hexagon, when it lies within its length."""
    low, high = view.z_range
    if hexagon is None or hexagon.z_from < low - hexagon.radius or hexagon.z_to > high + hexagon.radius:
        return view
    return replace(view, hexagon=hexagon)


def _is_beside(view: View, largest: View) -> bool:
    """Whether a view is a box or a symbol beside a part: small, on one side and apart from the axis."""
    apart = len(view.sides) == 1 and view.sides[0].bounds.min_y > 0.0
    return apart and view.area < _SMALL * largest.area


def _sides(drawn_half: Half, hatching: Hatching, tolerances: Tolerances) -> list[Side]:
    """The groups of faces of a half as sides, without those that lie inside another one."""
    half = drawn_half if hatching else without_thread_roots(drawn_half)
    sides = [_side(half, group, hatching, tolerances) for group in half.groups()]
    sides.sort(key=lambda side: -side.area)
    return [side for i, side in enumerate(sides) if not any(_inside(side, other) for other in sides[:i])]


def _side(half: Half, group: frozenset[int], hatching: Hatching, tolerances: Tolerances) -> Side:
    paths = [half.path(face) for face in group]
    everything = [segment for path in paths for segment in path]
    area = math.fsum(signed_area(path) for path in paths)
    material = material_of(half, group, hatching.near(everything), tolerances)
    return Side(half, group, material, area, path_bounds(everything))


def _inside(side: Side, other: Side) -> bool:
    """Whether a side is detail inside another one, such as a keyway in the middle of a view."""
    a, b = side.bounds, other.bounds
    if a.min_x < b.min_x or a.max_x > b.max_x or a.min_y < b.min_y or a.max_y > b.max_y:
        return False
    faces = (other.half.path(face) for face in other.group)
    return lies_inside(side.half.path(min(side.group)), faces, _SAGITTA)


def _common(a: Side, b: Side) -> float:
    """Length that two sides have in common along the axis, as a share of the shorter one's."""
    low, high = max(a.bounds.min_x, b.bounds.min_x), min(a.bounds.max_x, b.bounds.max_x)
    shorter = min(a.bounds.max_x - a.bounds.min_x, b.bounds.max_x - b.bounds.min_x)
    return (high - low) / shorter if shorter > 0.0 else 0.0
