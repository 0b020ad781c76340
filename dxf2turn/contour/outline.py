"""From faces to an outline: the border of their union."""

from __future__ import annotations

from collections.abc import Collection

from dxf2turn.contour.half import Half
from dxf2turn.geometry.path import signed_area
from dxf2turn.geometry.planar_map import planar_map
from dxf2turn.geometry.segment import Segment


def union_border(half: Half, faces: Collection[int]) -> list[tuple[Segment, ...]]:
    """The counter-clockwise loops around the union of some faces of a half, largest first."""
    wanted = set(faces)
    edges = [
        half.map.side(side)
        for side, face in enumerate(half.map.face_of)
        if face in wanted and half.map.face_of[side ^ 1] not in wanted
    ]
    border = planar_map(edges)
    # Border edges run with the union to their left: a face all of whose sides run along is the union.
    loops = [border.path(loop) for loop in border.faces if all(side % 2 == 0 for side in loop)]
    return sorted(loops, key=signed_area, reverse=True)
