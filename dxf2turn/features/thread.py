"""Thread zones: a designation (text, dimension, option) or a thin line, tied to the diameter it speaks of."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from dxf2turn.contour.model import Contour
from dxf2turn.errors import BadOptions
from dxf2turn.features import thread_report as report
from dxf2turn.features.callouts import Callout, callouts, text_unit
from dxf2turn.features.designation import Designation, find_designations, other_side, plain
from dxf2turn.features.model import Feature
from dxf2turn.features.outline import Outline
from dxf2turn.features.thread_foreign import foreign_findings, without_foreign
from dxf2turn.features.thread_guess import Guesses
from dxf2turn.features.thread_layer import layer_callouts
from dxf2turn.features.thread_marks import marks_on, stretches
from dxf2turn.features.thread_sizes import ThreadSize, thread_size
from dxf2turn.features.thread_zone import Surface, Zone, surfaces
from dxf2turn.findings import Finding
from dxf2turn.geometry.point import Point
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
    where = tuple(part for s in surfaces(outline, features) for part in stretches(contour, s))
    zones: list[Zone] = []
    findings = list(foreign_findings(contour, callouts(contour)))
    placed: list[_Placed] = []
    for callout, designation, span in _asked(contour, options):
        placed.append(_place(where, contour, callout, designation, span))
        findings.extend(placed[-1].findings)
        for zone in placed[-1].zones:
            other = next((own for own in zones if own.overlaps(zone)), None)
            if other is None:
                zones.append(zone)
            else:
                findings.extend(report.doubled(contour, other, zone))
    guesses = Guesses(contour, outline, tuple(surface for surface in where if _is_free(surface, zones)))
    guessed, said = guesses.made(tuple(zones))
    zones.extend(guessed)
    findings.extend(said)
    for place in placed:
        free = [surface for surface in place.others if _is_free(surface, zones)]
        if free and place.callout is not None:
            findings.extend(report.several(contour, place.callout, place.zones[0].surface, free))
    return tuple(zones), tuple(findings)


def _is_free(surface: Surface, zones: list[Zone]) -> bool:
    """Whether no thread lies on a surface or on this stretch of it."""
    return not any(
        zone.surface.index == surface.index and surface.overlaps(zone.front, zone.back) for zone in zones
    )


def _asked(
    contour: Contour, options: tuple[str, ...]
) -> Iterator[tuple[Callout, Designation, tuple[float, float] | None]]:
    """Designations with their callout and, for an option, their z range (front, back). Options come first."""
    for option in options:
        yield _option(option)
    inch = text_unit(contour) != 1.0
    for callout in (*callouts(contour), *layer_callouts(contour)):
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
    if ends is not None and ends[0] == ends[1]:
        raise BadOptions(f"--thread {text!r}: the two z values are the same; give the range of the thread")
    middle = Point(0.5 * sum(ends), 0.0) if ends else Point(0.0, 0.0)
    return Callout(name, text, middle, (), "option"), found[0], ends


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
        if callout.source == "layer":
            return _Placed()  # a layer may be named like a thread and hold something else
        near = [surface for surface in where if span is None or surface.overlaps(*span)]
        return _Placed(findings=tuple(report.unplaced(contour, callout, designation, tuple(near))))
    best = matches[0]
    equals = [match for match in matches if match.exact and match.size.inside == best.size.inside]
    chosen = equals if designation.count > 1 and len(equals) == designation.count else [best]
    zones = tuple(_zone(contour, callout, designation, match, span) for match in chosen)
    said = report.about_size(contour, callout, best.surface, best.size)
    said += report.not_tapered(contour, callout, best.surface, best.size)
    said += report.off_gauge(contour, callout, best.surface, best.size)
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
            if not surface.overlaps(*span):
                continue
            distance = 0.0
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
    """The zone on its surface: the whole surface, or as far as an option, what is drawn or a length says."""
    surface = match.surface
    front, back = surface.z_front, surface.z_back
    marks = [mark for mark in marks_on(contour, surface) if mark.may_be(match.size)]
    mark = next(iter(sorted(marks, key=lambda mark: (mark.root is None, -mark.length))), None)
    if span is not None:
        front, back = min(front, span[0]), max(back, span[1])
    elif mark is not None:
        front, back = min(front, mark.front), max(back, mark.back)
    elif designation.length and designation.length < front - back:
        back = front - designation.length
    source = "text" if callout.source == "layer" else callout.source
    return Zone(surface, match.size, front, back, source, callout.raw)
