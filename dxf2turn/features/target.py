"""The target contour: every toleranced size in the middle of its limits, everything beside it kept true.

Each vertex of the profile may move along z and along r. What must stay true ties vertices together:
a cylinder its ends in r, a plane face its ends in z, a chamfer, fillet or round both of its ends in both
directions (so it keeps size and angle). Grooves keep their width; undercuts, vees and rounds keep their
shape, unless a size says otherwise. Tapers follow their ends (`corners.py` keeps the roundings beside them
tangent); free arcs keep their radius where they can. The front face (z 0) and the axis (r 0) never move.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from dxf2turn.contour.model import Contour, Profile
from dxf2turn.features import size_report as report
from dxf2turn.features.corners import with_tangent_roundings, with_whole_cones
from dxf2turn.features.model import Feature, Groove, Limits, Thread
from dxf2turn.features.outline import Outline
from dxf2turn.features.reshape import is_sound, reshaped
from dxf2turn.features.sizes import DATUM, Size, sizes_of
from dxf2turn.features.solve import Edge, Moves, solve
from dxf2turn.features.ties import Ties, ties_of
from dxf2turn.findings import Finding
from dxf2turn.geometry.point import Vector

Result = tuple[Profile, tuple[Limits, ...], tuple[Finding, ...]]


def target_of(
    outline: Outline, features: tuple[Feature, ...], contour: Contour, between: frozenset[int]
) -> Result:
    """The target profile (the profile itself where nothing is toleranced), all limits, and findings.

    between: pieces of a cylinder between a partial thread and the rest; they become slight cones.
    """
    ties = ties_of(outline, between)
    sizes, findings = sizes_of(outline, ties, contour)
    limits = tuple(size.limits for size in sizes if size.limits is not None)
    crests = tuple(_crests(outline, ties, features))
    taken = {edge.b for edge in crests}
    own = sorted((size for size in sizes if size.toleranced), key=lambda size: size.width)
    own = [size for size in own if not (size.axis == "r" and size.a == DATUM and size.b in taken)]
    if not own and not crests:
        return outline.profile, limits, findings
    loose = [size for size in sizes if not size.toleranced]
    z = _solved(outline, ties, "z", (own, loose), ((), _kept_lengths(ties, features)))
    r = _solved(outline, ties, "r", (own, loose), (crests, _kept_radii(outline, ties, features, taken)))
    findings += _refusals(contour, own, z) + _refusals(contour, own, r)
    moves = [Vector(z.moves.get(a, 0.0), r.moves.get(b, 0.0)) for a, b in zip(ties.z, ties.r)]
    if all(move == (0.0, 0.0) for move in moves):
        return outline.profile, limits, findings
    moves = with_whole_cones(outline, ties, moves)
    segments = with_tangent_roundings(outline, moves, reshaped(outline, moves))
    if not is_sound(outline, segments):
        return outline.profile, limits, (*findings, report.impossible(contour, (0.0, 0.0)))
    return replace(outline.profile, segments=segments), limits, findings


def _solved(
    outline: Outline,
    ties: Ties,
    axis: str,
    sizes: tuple[list[Size], list[Size]],
    edges: tuple[Iterable[Edge], Iterable[Edge]],
) -> Moves:
    """Moves along one axis. sizes: toleranced and untoleranced; edges: thread crests and shapes to keep."""
    first, kept = edges
    own, loose = ([_edge(size) for size in some if size.axis == axis] for some in sizes)
    tolerance = outline.tolerances.same_point
    solved = solve([*first, *own, *kept, *loose], ties.held(outline, axis), tolerance)
    small = {group: 0.0 if abs(move) <= tolerance else move for group, move in solved.moves.items()}
    return replace(solved, moves=small, refused=tuple(r for r in solved.refused if r[0] in own))


def _edge(size: Size) -> Edge:
    """A length grows towards -z and a step inwards; a radius grows from the axis."""
    grows = size.wanted - size.drawn
    return Edge(size.a, size.b, grows if size.axis == "r" and size.a == DATUM else -grows)


def _crests(outline: Outline, ties: Ties, features: tuple[Feature, ...]) -> Iterator[Edge]:
    """Thread crests in the middle of the limits of their class."""
    for thread in features:
        if isinstance(thread, Thread) and not thread.taper:
            index = thread.segments[0]
            drawn = outline.segment(index).start.y
            yield Edge(DATUM, ties.r[index], 0.5 * thread.cut_from_mm - drawn)


def _kept_lengths(ties: Ties, features: tuple[Feature, ...]) -> Iterator[Edge]:
    """A groove moves along z as a whole."""
    for groove in features:
        if isinstance(groove, Groove):
            vertices = ties.vertices_of(groove.segments)
            yield from (Edge(ties.z[a], ties.z[b], 0.0) for a, b in zip(vertices, vertices[1:]))


def _kept_radii(
    outline: Outline, ties: Ties, features: tuple[Feature, ...], crests: set[int]
) -> Iterator[Edge]:
    """Undercuts, vees and rounds keep their shape; the lands on both sides of a groove stay one diameter."""
    for groove in features:
        if not isinstance(groove, Groove) or groove.opens not in ("out", "in"):
            continue
        vertices = ties.vertices_of(groove.segments)
        if groove.form in ("undercut", "vee", "round"):
            yield from (Edge(ties.r[a], ties.r[b], 0.0) for a, b in zip(vertices, vertices[1:]))
            continue
        a, b = ties.r[vertices[0]], ties.r[vertices[-1]]
        start, end = outline.segment(vertices[0]).start, outline.segment(vertices[-1]).start
        level = abs(start.y - end.y) <= outline.tolerances.same_point
        if level and not groove.beside_shoulder and not {a, b} & crests:
            yield Edge(a, b, 0.0)


def _refusals(contour: Contour, sizes: list[Size], solved: Moves) -> tuple[Finding, ...]:
    by_edge = {_edge(size): size for size in sizes}
    found = [(by_edge[edge].limits, off) for edge, off in solved.refused if edge in by_edge]
    return tuple(report.excluded(contour, limits, off) for limits, off in found if limits is not None)
