"""Symbols that stand on an outline: datum triangles, and boxes that dimension lines close with it.

Their lines touch the outline and bound faces with it, on one side of the axis only. The outline runs on
underneath a symbol as if it were not there; extension and dimension lines are drawn in a style that the other
side's outline does not have.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from dxf2turn.cleaning.model import Piece
from dxf2turn.contour.half import Half, without_edges
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.segment import Bounds, Line
from dxf2turn.options import Tolerances

Style = tuple[str, str, int]

_TRIANGLE = 2  # free sides of a triangle that stands on the outline


def style_of(piece: Piece) -> Style:
    """Layer, linetype and colour of a piece."""
    return piece.origin.layer, piece.origin.linetype, piece.origin.colour


def without_symbols(half: Half, other: Half, tolerances: Tolerances) -> Half:
    """A half without the pieces that bound symbols only; they are kept as details. other: the other half."""
    others = [(group, _box(other, group)) for group in other.groups()]
    gone: set[int] = set()
    for group in half.groups():
        box = _box(half, group)
        partner = max(others, key=lambda entry: _common(box, entry[1]), default=None)
        beside = partner is not None and _common(box, partner[1]) > 0.0
        kept = _bare(half, group, (other, partner[0]) if partner is not None and beside else None, tolerances)
        for face in group - kept:
            sides = half.map.faces[face]
            gone.update(s // 2 for s in sides if half.map.face_of[s ^ 1] not in kept)
    return without_edges(half, gone) if gone else half


def _box(half: Half, group: Iterable[int]) -> Bounds:
    return path_bounds([segment for face in group for segment in half.path(face)])


def _common(a: Bounds, b: Bounds) -> float:
    """Length along the axis that two boxes have in common."""
    return min(a.max_x, b.max_x) - max(a.min_x, b.min_x)


def _bare(
    half: Half, group: frozenset[int], other: tuple[Half, frozenset[int]] | None, tolerances: Tolerances
) -> frozenset[int]:
    """The faces of a group without those of symbols. other: the faces of the same part on the other side."""
    mirrored = [] if other is None else [path_bounds(other[0].path(face)) for face in other[1]]
    own = [path_bounds(half.path(face)) for face in group]
    styles = None if other is None else _styles_of_twins(*other, own, tolerances.gap)
    left = group
    while True:
        found = {
            face
            for face in left
            if not _is_on_axis(half, face)
            and not _has_twin(path_bounds(half.path(face)), mirrored, tolerances.gap)
            and _is_symbol(half, face, left, styles, tolerances)
        }
        if not found or found == left:
            return left
        left = left - found


def _is_symbol(
    half: Half, face: int, group: Collection[int], styles: set[Style] | None, tolerances: Tolerances
) -> bool:
    free = [s for s in half.map.faces[face] if half.map.face_of[s ^ 1] not in group]
    inner = [s for s in half.map.faces[face] if half.map.face_of[s ^ 1] in group]
    if not free or not inner:
        return False
    if styles is not None and all(_style(half, s) not in styles for s in free):
        return True
    pointed = len(free) == _TRIANGLE and all(_is_slanted(half, s, tolerances) for s in free)
    return (pointed or styles is not None) and _runs_on_beneath(half, face, inner, group)


def _runs_on_beneath(half: Half, face: int, inner: Iterable[int], group: Collection[int]) -> bool:
    """Whether what a face stands on is one entity that goes on as outline beyond both ends of the face."""
    handles = {half.map.side(s).origin for s in inner}
    if len(handles) != 1:
        return False
    ends = {end for s in inner for end in (half.map.side(s).start, half.map.side(s).end)}
    going_on = [
        half.map.side(s)
        for f in group
        if f != face
        for s in half.map.faces[f]
        if half.map.face_of[s ^ 1] is None and half.map.side(s).origin in handles
    ]
    return len({end for segment in going_on for end in (segment.start, segment.end)} & ends) >= _TRIANGLE


def _is_slanted(half: Half, side: int, tolerances: Tolerances) -> bool:
    segment = half.map.side(side)
    return isinstance(segment, Line) and min(map(abs, segment.tangent_at(0.0))) > tolerances.same_angle


def _is_on_axis(half: Half, face: int) -> bool:
    return any(half.on_axis(side) for side in half.map.faces[face])


def _has_twin(box: Bounds, others: Iterable[Bounds], gap: float) -> bool:
    return any(max(abs(a - b) for a, b in zip(box, other)) <= 2.0 * gap for other in others)


def _styles_of_twins(half: Half, group: Collection[int], others: Sequence[Bounds], gap: float) -> set[Style]:
    """The styles in which the outline is drawn of faces that have a twin on the other side; of all faces when
    none has."""
    twins = [face for face in group if _has_twin(path_bounds(half.path(face)), others, gap)]
    return _border_styles(half, twins) or _border_styles(half, group)


def _border_styles(half: Half, group: Collection[int]) -> set[Style]:
    """The styles in which the outline of some faces is drawn."""
    sides = (s for face in group for s in half.map.faces[face] if half.map.face_of[s ^ 1] is None)
    return {style for s in sides if (style := _style(half, s)) is not None}


def _style(half: Half, side: int) -> Style | None:
    piece = half.sources[side // 2]
    return None if piece is None else style_of(piece)
