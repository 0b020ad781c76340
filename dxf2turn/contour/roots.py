"""Thread lines in a hole: of two parallel inner lines close to each other the outer one is only a sign.

ISO 6410 draws a thread in a hole as the wall at its crest and a thin line further out at its root. The thin
line bounds nothing, so it is taken out of the linework before faces are looked for.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from dxf2turn.contour.half import Half, without_edges
from dxf2turn.geometry.segment import Line, Segment

_LENGTHWISE = 0.5  # cosine of the steepest a thread line may run to the axis
_PARALLEL = math.sin(math.radians(1.0))
# Radius of the wall to that of the thread line; D1 / D = 1 - 1.0825 P / D is 0.73 for M1x0.25 (computed).
_CREST_TO_ROOT = (0.7, 0.995)
_ALONG = 0.6  # least share of a thread line's length along which the wall runs


def without_thread_roots(half: Half) -> Half:
    """The half without thin lines of threads in holes; they stay in `details`."""
    lines = [i for i in range(len(half.map.edges)) if _is_inner_lengthwise(half, i)]
    edges = half.map.edges
    roots = [i for i in lines if _has_wall_below(edges[i], [edges[j] for j in lines if j != i])]
    return without_edges(half, roots) if roots else half


def _is_inner_lengthwise(half: Half, index: int) -> bool:
    edge = half.map.edges[index]
    if half.sources[index] is None or not isinstance(edge, Line):
        return False
    on_border = (half.map.face_of[2 * index] is None) != (half.map.face_of[2 * index + 1] is None)
    return not on_border and abs(edge.tangent_at(0.0).dx) > _LENGTHWISE


def _has_wall_below(line: Segment, others: Sequence[Segment]) -> bool:
    low, high = sorted((line.start.x, line.end.x))
    covered = 0.0
    for other in others:
        a, b = sorted((other.start.x, other.end.x))
        common = min(b, high) - max(a, low)
        if common <= 0.0 or abs(line.tangent_at(0.0).cross(other.tangent_at(0.0))) > _PARALLEL:
            continue
        z = 0.5 * (max(a, low) + min(b, high))
        ratio = r_at(other, z) / r_at(line, z)
        if _CREST_TO_ROOT[0] <= ratio <= _CREST_TO_ROOT[1]:
            covered += common
    return covered >= _ALONG * (high - low)


def r_at(line: Segment, z: float) -> float:
    """Radius of a straight, not upright piece at a z."""
    span = line.end.x - line.start.x
    share = (z - line.start.x) / span if span else 0.5
    return line.start.y + (line.end.y - line.start.y) * share
