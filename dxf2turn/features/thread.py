"""Thread zones: a designation (text, dimension, option) or a thin line, tied to the diameter it speaks of."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from dxf2turn.contour.model import Contour, ThinLine, located
from dxf2turn.errors import BadOptions
from dxf2turn.features import thread_report as report
from dxf2turn.features.callouts import Callout, callouts, text_unit
from dxf2turn.features.designation import Designation, find_designations, other_side, plain
from dxf2turn.features.model import Feature
from dxf2turn.features.outline import Outline
from dxf2turn.features.thread_foreign import foreign_findings, without_foreign
from dxf2turn.features.thread_sizes import ThreadSize, guess_size, thread_size
from dxf2turn.features.thread_zone import Surface, Zone, surfaces
from dxf2turn.findings import Finding
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.reading.model import DimensionKind


@dataclass(frozen=True, slots=True)
class Match:
    """A surface that a designation may mean. exact: the diameter fits; else it is only near."""

    surface: Surface
    size: ThreadSize
    exact: bool
    distance: float


@dataclass(frozen=True, slots=True)
class _Placed:
    """The zones of one designation and what there is to say about it. others: surfaces that fit as well,
    when the callout points at none; they are no question once another callout claims them."""

    zones: tuple[Zone, ...] = ()
    findings: tuple[Finding, ...] = ()
    callout: Callout | None = None
    others: tuple[Surface, ...] = ()


def find_zones(
    outline: Outline, features: tuple[Feature, ...], contour: Contour, options: tuple[str, ...]
) -> tuple[tuple[Zone, ...], tuple[Finding, ...]]:
    """All thread zones, with what was assumed, did not agree or could not be placed."""
    where = surfaces(outline, features)
    zones: dict[int, Zone] = {}
    findings = list(foreign_findings(contour, callouts(contour)))
    placed: list[_Placed] = []
    for callout, designation, span in _asked(contour, options):
        placed.append(_place(where, contour, callout, designation, span))
        findings.extend(placed[-1].findings)
        for zone in placed[-1].zones:
            if zones.setdefault(zone.surface.index, zone) is not zone:
                findings.extend(report.doubled(contour, zones[zone.surface.index], zone))
    for place in placed:
        free = [surface for surface in place.others if surface.index not in zones]
        if free and place.callout is not None:
            findings.extend(report.several(contour, place.callout, place.zones[0].surface, free))
    for surface in where:
        if surface.index not in zones:
            guessed, said = _from_thin_line(contour, outline, surface)
            findings.extend(said)
            if guessed is not None:
                zones[surface.index] = guessed
    return tuple(zones.values()), tuple(findings)


def _asked(
    contour: Contour, options: tuple[str, ...]
) -> Iterator[tuple[Callout, Designation, tuple[float, float] | None]]:
    """Designations with their callout and, for an option, their z range (front, back). Options come first."""
    for option in options:
        yield _option(option)
    inch = text_unit(contour) != 1.0
    for callout in callouts(contour):
        for designation in find_designations(without_foreign(callout.raw)):
            if designation.family != "R" or not _is_radius(callout, inch):
                yield callout, designation, None


def _is_radius(callout: Callout, inch: bool) -> bool:
    """`R1/2` is a radius in a radius dimension, and on an inch drawing unless it says thread."""
    if callout.dimension is not None and callout.dimension.kind is DimensionKind.RADIUS:
        return True
    return inch and not re.search(r"ISO 7|EN 10226|thread", callout.raw, re.I)


def _option(text: str) -> tuple[Callout, Designation, tuple[float, float] | None]:
    """`M20x1.5@-5..-25`: a designation and the z range of the part in mm; the range may be left out."""
    name, _, place = plain(text).partition("@")
    found = find_designations(name)
    if len(found) != 1:
        raise BadOptions(f"--thread {text!r}: no thread designation; write it like M20x1.5@-5..-25")
    number = r"\s*(-?\d+(?:\.\d+)?)\s*"
    span = re.fullmatch(rf"{number}\.\.{number}", place) if place else None
    if place and span is None:
        raise BadOptions(f"--thread {text!r}: the place is two z values of the part in mm, like @-5..-25")
    ends = (max(float(span[1]), float(span[2])), min(float(span[1]), float(span[2]))) if span else None
    return Callout(name, text, Point(0.0, 0.0), (), "option"), found[0], ends


def _place(
    where: tuple[Surface, ...],
    contour: Contour,
    callout: Callout,
    designation: Designation,
    span: tuple[float, float] | None,
) -> _Placed:
    """Where one designation belongs."""
    matches, swapped = _matches(where, callout, designation, span), False
    if not matches and designation.inside is not None:
        # On a drawing in capitals 6G may be meant as 6g: the surface tells which.
        matches = [m for m in _matches(where, callout, other_side(designation), span) if m.exact]
        swapped = True
    if not matches:
        return _Placed(findings=tuple(report.unplaced(contour, callout, designation, where)))
    best = matches[0]
    equals = [match for match in matches if match.exact and match.size.inside == best.size.inside]
    chosen = equals if designation.count > 1 and len(equals) == designation.count else [best]
    zones = tuple(_zone(contour, callout, designation, match, span) for match in chosen)
    said = report.about_size(contour, callout, best.surface, best.size)
    said += report.not_tapered(contour, callout, best.surface, best.size)
    if not best.exact:
        said += report.disagrees(contour, callout, best.surface, best.size)
    if swapped:
        said += report.wrong_side(contour, callout, best.surface, (designation.thread_class, best.size))
    others = tuple(match.surface for match in equals if match not in chosen)
    return _Placed(zones, tuple(said), callout, () if callout.tips or span is not None else others)


def _matches(
    where: tuple[Surface, ...],
    callout: Callout,
    designation: Designation,
    span: tuple[float, float] | None,
) -> list[Match]:
    """Surfaces that the designation may mean, the best first."""
    found = []
    for surface in where:
        size = thread_size(designation, surface.inside)
        if size is None or designation.inside not in (None, surface.inside):
            continue
        exact, near = surface.fits(size)
        distance = min(surface.distance(place) for place in callout.places)
        if span is not None:
            distance = 0.0 if surface.overlaps(*span) else size.major * FAR
        reach = REACH * size.major if callout.tips or not exact else FAR * size.major
        if (exact or near) and (distance <= reach):
            found.append(Match(surface, size, exact, distance))
    return sorted(found, key=lambda match: match.distance + (0.0 if match.exact else match.size.major))


REACH = 1.0  # a pointer this many nominal diameters from a surface still means it
FAR = 1e6  # a text without pointer may stand anywhere


def _zone(
    contour: Contour,
    callout: Callout,
    designation: Designation,
    match: Match,
    span: tuple[float, float] | None,
) -> Zone:
    """The zone on its surface: the whole surface, or as far as an option, a thin line or a length says."""
    surface = match.surface
    front, back = surface.z_front, surface.z_back
    thin = _thin_line_of(contour, surface, match.size)
    if span is not None:
        front, back = min(front, span[0]), max(back, span[1])
    elif thin is not None:
        ends = sorted((thin.segment.start.x, thin.segment.end.x))
        front, back = min(front, ends[1]), max(back, ends[0])
    elif designation.length is not None and designation.length < front - back:
        back = front - designation.length
    return Zone(surface, match.size, front, back, callout.source, callout.raw)


def _thin_line_of(contour: Contour, surface: Surface, size: ThreadSize) -> ThinLine | None:
    """The longest thin line that can be the root of this thread (ISO 6410: about the minor diameter)."""
    root = 0.5 * (size.major if size.inside else size.minor)
    found = [
        thin for thin in _thin_lines(contour, surface) if abs(thin.segment.start.y - root) <= size.depth / 2
    ]
    return max(found, key=lambda thin: thin.segment.length, default=None)


def _thin_lines(contour: Contour, surface: Surface) -> Iterator[ThinLine]:
    """Thin lines along the axis over a surface, at the height of a thread root."""
    for thin in contour.thin_lines:
        line = thin.segment
        if not isinstance(line, Line) or abs(line.end.y - line.start.y) > PARALLEL * line.length:
            continue
        low, high = ROOT_INSIDE if surface.inside else ROOT_OUTSIDE
        level = line.start.y / surface.radius
        if low <= level <= high and surface.covers(line.start.x, line.end.x):
            yield thin


PARALLEL = 0.001  # a root line is this parallel to the axis
ROOT_OUTSIDE = (0.65, 0.98)  # height of a root line against the radius it is drawn under
ROOT_INSIDE = (1.02, 1.4)


def _from_thin_line(
    contour: Contour, outline: Outline, surface: Surface
) -> tuple[Zone | None, list[Finding]]:
    """A thread that only a thin line tells of: the standard size that fits both lines best."""
    thin = max(_thin_lines(contour, surface), key=lambda t: t.segment.length, default=None)
    if thin is None:
        return None, []
    crest, root = 2.0 * surface.radius, 2.0 * thin.segment.start.y
    size = guess_size(crest, root, surface.inside, _meets_a_chamfer(outline, surface, thin.segment))
    place = located(contour.frame, surface.z_front, surface.radius, (thin.handle,))
    if size is None:
        return None, report.thin_line_unknown(place, crest, root)
    ends = sorted((thin.segment.start.x, thin.segment.end.x))
    front, back = min(surface.z_front, ends[1]), max(surface.z_back, ends[0])
    zone = Zone(surface, replace(size, remarks=()), front, back, "thin line", "")
    return zone, report.thin_line_guessed(place, size, crest, root)


def _meets_a_chamfer(outline: Outline, surface: Surface, thin: Segment) -> bool:
    """Whether a root line has the height at which an oblique neighbour of the surface ends."""
    for index in (outline.before(surface.index), outline.after(surface.index)):
        if index is None or outline.is_axial(index) or outline.is_radial(index):
            continue
        ends = (outline.segment(index).start.y, outline.segment(index).end.y)
        if min(abs(end - thin.start.y) for end in ends) <= outline.tolerances.gap:
            return True
    return False
