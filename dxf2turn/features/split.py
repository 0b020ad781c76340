"""A thread over part of a cylinder: the profile gets vertices at the thread's ends.

The drawn shape stays the same; but the target can then bring the crest to the middle of its limits and leave
the rest of the cylinder alone. Between both lies a piece one pitch long that becomes a slight cone.
"""

from __future__ import annotations

from dataclasses import replace

from dxf2turn.contour.model import Contour, Profile
from dxf2turn.features.thread_zone import Surface, Zone
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.options import Tolerances

Pieces = list[tuple[Line, str]]  # a piece of a surface and what it is: "thread", "between" or "rest"


def split_at_zones(
    contour: Contour, zones: tuple[Zone, ...], tolerances: Tolerances
) -> tuple[Contour, tuple[Zone, ...], frozenset[int]]:
    """The contour with its profile cut at the ends of partial threads, the zones on their own pieces, and
    the pieces between a thread and the rest, which no cylinder ties. Unchanged when all threads are whole."""
    profile = contour.profile
    by_index = {zone.surface.index: zone for zone in zones}
    cuts = {i: _pieces(zone, tolerances) for i, zone in by_index.items()}
    if profile is None or all(len(pieces) == 1 for pieces in cuts.values()):
        return contour, zones, frozenset()
    segments: list[Segment] = []
    roles: list[str] = []
    moved: list[Zone] = []
    between: set[int] = set()
    for index, (segment, role) in enumerate(zip(profile.segments, profile.roles)):
        pieces = cuts.get(index, [(segment, "rest")])
        for piece, what in pieces:
            if what == "thread" and isinstance(piece, Line):
                moved.append(_moved(by_index[index], len(segments), piece))
            elif what == "between":
                between.add(len(segments))
            segments.append(piece)
            roles.append(role)
    new = replace(contour, profile=Profile(tuple(segments), tuple(roles)))
    return new, tuple(moved), frozenset(between)


def _pieces(zone: Zone, tolerances: Tolerances) -> Pieces:
    """A surface cut at the ends of its zone, in the profile's direction; a whole surface in one piece."""
    line, size = zone.surface.line, zone.size
    if size.taper or zone.surface.ratio:
        return [(line, "thread")]
    length = line.length
    begin, stop = sorted(abs(z - line.start.x) for z in (zone.front, zone.back))
    begin = begin if begin > tolerances.gap else 0.0
    stop = stop if length - stop > tolerances.gap else length
    marks = (
        (max(0.0, begin - size.pitch), "rest"),
        (begin, "between"),
        (stop, "thread"),
        (min(length, stop + size.pitch), "between"),
        (length, "rest"),
    )
    pieces: Pieces = []
    here = 0.0
    for mark, kind in marks:
        if mark > here:
            pieces.append((line.part(here / length, 1.0 if mark == length else mark / length), kind))
            here = mark
    return pieces


def _moved(zone: Zone, index: int, piece: Line) -> Zone:
    front, back = max(piece.start.x, piece.end.x), min(piece.start.x, piece.end.x)
    surface: Surface = replace(zone.surface, index=index, line=piece, z_front=front, z_back=back)
    return replace(zone, surface=surface, front=front, back=back)
