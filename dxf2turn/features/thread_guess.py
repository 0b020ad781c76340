"""Threads that only a drawing's lines tell of: a thin root line, or a row of crest lines, without a text."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from dxf2turn.contour.model import Contour, located
from dxf2turn.features import thread_report as report
from dxf2turn.features.outline import Outline
from dxf2turn.features.thread_marks import Mark, marks_on
from dxf2turn.features.thread_size import ThreadSize
from dxf2turn.features.thread_sizes import guess_size, sizes_of_pitch
from dxf2turn.features.thread_zone import Surface, Zone
from dxf2turn.findings import Finding
from dxf2turn.geometry.segment import Segment

SAME_PITCH = 0.03  # crest lines are this share of a pitch off it at most


@dataclass(frozen=True, slots=True)
class Guesses:
    """What the marks on surfaces without a called-out thread tell. surfaces: those surfaces."""

    contour: Contour
    outline: Outline
    surfaces: tuple[Surface, ...]

    def made(self, zones: tuple[Zone, ...]) -> tuple[list[Zone], list[Finding]]:
        """The threads guessed and what to say. A line that is the root of one thread tells of no other: in a
        half-section the root of an inside thread lies within the outer diameter as well."""
        found: list[Zone] = []
        said: list[Finding] = []
        used = {mark.handle for zone in zones for mark in marks_on(self.contour, zone.surface)}
        unknown: list[tuple[str, Finding]] = []
        for surface in self.surfaces:
            marks = (mark for mark in marks_on(self.contour, surface) if mark.handle not in used)
            mark = max(marks, key=lambda mark: mark.length, default=None)
            if mark is None:
                continue
            zone, finding = self._guess(surface, mark, zones)
            if zone is None:
                unknown.append((mark.handle, finding))
                continue
            found.append(zone)
            said.append(finding)
            used.add(mark.handle)
        return found, said + [finding for handle, finding in unknown if handle not in used]

    def _guess(self, surface: Surface, mark: Mark, zones: tuple[Zone, ...]) -> tuple[Zone | None, Finding]:
        """The thread of a surface: like an alike one that is called out, else the standard size that fits
        crest and pitch, or crest and root, best; None where no standard size fits."""
        place = located(self.contour.frame, surface.z_front, surface.radius, (mark.handle,))
        drawn = (2.0 * surface.radius, None if mark.root is None else 2.0 * mark.root, mark.pitch)
        front, back = min(surface.z_front, mark.front), max(surface.z_back, mark.back)
        alike = _alike(self.contour, surface, mark, zones)
        if alike is not None:
            size = replace(alike.size, remarks=())
            zone = Zone(surface, size, front, back, alike.source, alike.text)
            return zone, report.taken_as_alike(place, alike)
        guessed = _size(self.outline, surface, mark)
        if guessed is None:
            return None, report.mark_unknown(place, drawn)
        zone = Zone(surface, replace(guessed, remarks=()), front, back, "thin line", "")
        return zone, report.mark_guessed(place, guessed, drawn, mark.leans_left)


def _alike(contour: Contour, surface: Surface, mark: Mark, zones: Iterable[Zone]) -> Zone | None:
    """A thread that is called out elsewhere, on the same diameter and drawn in the same way."""
    for zone in zones:
        same = zone.surface.inside == surface.inside and _near(zone.surface.radius, surface.radius)
        for own in marks_on(contour, zone.surface) if same and zone.source != "thin line" else ():
            roots = mark.root is not None and own.root is not None and _near(own.root, mark.root)
            pitches = mark.pitch is not None and own.pitch is not None and _near(own.pitch, mark.pitch)
            if roots or (pitches and mark.root is None):
                return zone
    return None


def _near(a: float, b: float) -> bool:
    return abs(a - b) <= SAME * b


SAME = 0.002  # sizes of two threads drawn alike differ by less than this share


def _size(outline: Outline, surface: Surface, mark: Mark) -> ThreadSize | None:
    """By crest and pitch when crest lines are drawn, else by crest and root."""
    if mark.pitch is not None:
        fitting = [
            size for size in sizes_of_pitch(mark.pitch, SAME_PITCH, surface.inside) if surface.fits(size)[0]
        ]
        if fitting or mark.root is None:
            return min(fitting, key=lambda size: abs(size.crest - 2.0 * surface.radius), default=None)
    if mark.root is None or mark.line is None:
        return None
    at_chamfer = _meets_a_chamfer(outline, surface, mark.line)
    return guess_size(2.0 * surface.radius, 2.0 * mark.root, surface.inside, at_chamfer)


def _meets_a_chamfer(outline: Outline, surface: Surface, thin: Segment) -> bool:
    """Whether a root line has the height at which an oblique neighbour of the surface ends."""
    for index in (outline.before(surface.index), outline.after(surface.index)):
        if index is None or outline.is_axial(index) or outline.is_radial(index):
            continue
        ends = (outline.segment(index).start.y, outline.segment(index).end.y)
        if min(abs(end - thin.start.y) for end in ends) <= outline.tolerances.gap:
            return True
    return False
