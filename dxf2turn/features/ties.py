"""Which vertices of a profile move together: what makes a cylinder a cylinder and a chamfer a chamfer."""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.features.outline import Outline
from dxf2turn.features.plain import is_chamfer, is_rounding

AXIS = -1  # the group that stands for the axis itself


@dataclass(frozen=True, slots=True)
class Ties:
    """Vertex i is the start of segment i; `z[i]` and `r[i]` name the group it moves with."""

    z: tuple[int, ...]
    r: tuple[int, ...]

    def vertices_of(self, segments: tuple[int, ...]) -> tuple[int, ...]:
        """The vertices along a run of segments, both ends included."""
        return (*segments, (segments[-1] + 1) % len(self.z))

    def held(self, outline: Outline, axis: str) -> tuple[int, ...]:
        """Groups that never move: those on the front plane (z), the axis and those on it (r)."""
        near = outline.tolerances.same_point
        starts = [segment.start for segment in outline.profile.segments]
        if axis == "z":
            return tuple(dict.fromkeys(self.z[i] for i, s in enumerate(starts) if abs(s.x) <= near))
        return (AXIS, *dict.fromkeys(self.r[i] for i, s in enumerate(starts) if abs(s.y) <= near))


def ties_of(outline: Outline, loose: frozenset[int] = frozenset()) -> Ties:
    """The ties of a profile: cylinders in r, plane faces in z, chamfers, fillets and rounds in both.

    loose: segments that tie nothing.
    """
    count = len(outline.profile.segments)
    z, r = list(range(count)), list(range(count))
    for index in range(count):
        if index in loose:
            continue
        after = (index + 1) % count
        rigid = is_chamfer(outline, index) or is_rounding(outline, index)
        if outline.is_axial(index) or rigid:
            _join(r, index, after)
        if outline.is_radial(index) or rigid:
            _join(z, index, after)
    return Ties(tuple(_root(z, v) for v in range(count)), tuple(_root(r, v) for v in range(count)))


def _join(groups: list[int], a: int, b: int) -> None:
    low, high = sorted((_root(groups, a), _root(groups, b)))
    groups[high] = low


def _root(groups: list[int], vertex: int) -> int:
    while groups[vertex] != vertex:
        vertex = groups[vertex]
    return vertex
