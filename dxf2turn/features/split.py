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

Pieces = list[tuple[Segment, "Zone | str"]]  # a piece of a surface: a zone, "between" or "rest"


def split_at_zones(
    contour: Contour, zones: tuple[Zone, ...], tolerances: Tolerances
) -> tuple[Contour, tuple[Zone, ...], frozenset[int]]:
    """The contour with its profile cut at the ends of partial threads, the zones on their own pieces, and
    the pieces between a thread and the rest, which no cylinder ties. Unchanged when all threads are whole."""
    profile = contour.profile
    on: dict[int, list[Zone]] = {}
    for zone in zones:
        on.setdefault(zone.surface.index, []).append(zone)
    if profile is None:
        return contour, zones, frozenset()
    cuts = {index: _pieces(profile.segments[index], own, tolerances) for index, own in on.items()}
    if all(len(pieces) == 1 for pieces in cuts.values()):
        return contour, zones, frozenset()
    segments: list[Segment] = []
    roles: list[str] = []
    moved: list[Zone] = []
    between: set[int] = set()
    for index, (segment, role) in enumerate(zip(profile.segments, profile.roles)):
        for piece, what in cuts.get(index, [(segment, "rest")]):
            if isinstance(what, Zone) and isinstance(piece, Line):
                moved.append(_moved(what, len(segments), piece))
            elif what == "between":
                between.add(len(segments))
            segments.append(piece)
            roles.append(role)
    new = replace(contour, profile=Profile(tuple(segments), tuple(roles)))
    return new, tuple(moved), frozenset(between)


def _pieces(line: Segment, zones: list[Zone], tolerances: Tolerances) -> Pieces:
    """A surface cut at the ends of its zones, in the profile's direction; a whole surface in one piece."""
    if zones[0].size.taper or zones[0].surface.ratio:
        return [(line, zones[0])]
    length, places = line.length, _along(line, zones, tolerances)
    marks: list[tuple[float, Zone | str]] = []
    here = 0.0
    for (begin, stop, zone), following in zip(places, [*(place[0] for place in places[1:]), length]):
        marks += [(max(here, begin - zone.size.pitch), "rest"), (begin, "between"), (stop, zone)]
        here = min(stop + zone.size.pitch, max(stop, following), length)
        marks.append((here, "between"))
    pieces: Pieces = []
    here = 0.0
    for mark, what in (*marks, (length, "rest")):
        if mark > here:
            pieces.append((line.part(here / length, 1.0 if mark == length else mark / length), what))
            here = mark
    return pieces


def _along(line: Segment, zones: list[Zone], tolerances: Tolerances) -> list[tuple[float, float, Zone]]:
    """Where each zone begins and stops along the line, in order; ends nearer than the gap are the line's."""
    found = []
    for zone in zones:
        begin, stop = sorted(abs(z - line.start.x) for z in (zone.front, zone.back))
        begin = begin if begin > tolerances.gap else 0.0
        found.append((begin, stop if line.length - stop > tolerances.gap else line.length, zone))
    return sorted(found, key=lambda place: place[0])


def _moved(zone: Zone, index: int, piece: Line) -> Zone:
    front, back = max(piece.start.x, piece.end.x), min(piece.start.x, piece.end.x)
    surface: Surface = replace(zone.surface, index=index, line=piece, z_front=front, z_back=back)
    return replace(zone, surface=surface, front=front, back=back)
