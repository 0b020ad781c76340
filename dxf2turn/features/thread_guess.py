"""Threads that only a drawing's lines tell of: a thin root line, or a row of crest lines, without a text."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

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


def from_marks(
    contour: Contour, outline: Outline, surface: Surface, zones: Iterable[Zone]
) -> tuple[list[Zone], list[Finding]]:
    """The thread of a surface by what is drawn on it: as an alike one that is called out, else the standard
    size that fits crest and pitch, or crest and root, best. Nothing where no standard size fits, but said."""
    mark = max(marks_on(contour, surface), key=lambda mark: mark.length, default=None)
    if mark is None:
        return [], []
    place = located(contour.frame, surface.z_front, surface.radius, (mark.handle,))
    crest, root = 2.0 * surface.radius, None if mark.root is None else 2.0 * mark.root
    front, back = min(surface.z_front, mark.front), max(surface.z_back, mark.back)
    alike = _alike(contour, surface, mark, zones)
    if alike is not None:
        said = report.taken_as_alike(place, alike)
        return [Zone(surface, replace(alike.size, remarks=()), front, back, alike.source, alike.text)], said
    size = _size(outline, surface, mark)
    if size is None:
        return [], report.mark_unknown(place, (crest, root, mark.pitch))
    zone = Zone(surface, replace(size, remarks=()), front, back, "thin line", "")
    return [zone], report.mark_guessed(place, size, (crest, root, mark.pitch), mark.leans_left)


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
