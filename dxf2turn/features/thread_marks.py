"""What is drawn of a thread on its surface: thin root lines (ISO 6410) and rows of crest lines across.

A surface with marks at several stretches carries several threads: a stud is often drawn as one cylinder with
a thin line at either end.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import groupby

from dxf2turn.contour.model import Contour, CrossLine
from dxf2turn.features.thread_size import ThreadSize
from dxf2turn.features.thread_zone import Surface
from dxf2turn.geometry.segment import Line

PARALLEL = 0.001  # a root line is this parallel to the axis
ROOT_OUTSIDE = (0.65, 0.98)  # height of a root line against the radius it is drawn under
ROOT_INSIDE = (1.02, 1.4)
LEVEL = 0.01  # crest lines start at the surface within this share of its radius
RUN_ON = 1.5  # pitches between the last crest line and the surface's end that the thread still runs on


@dataclass(frozen=True, slots=True)
class Mark:
    """A stretch of a surface that is drawn as a thread. front, back: its z. root: height of its thin line,
    mm; None without one. pitch: distance of its crest lines; None without any. line: the thin line."""

    front: float
    back: float
    handle: str
    layer: str
    root: float | None = None
    pitch: float | None = None
    line: Line | None = None
    leans_left: bool = False  # its crest lines slant as those of a left-hand thread

    @property
    def length(self) -> float:
        return self.front - self.back

    def may_be(self, size: ThreadSize) -> bool:
        """Whether the root line can be that of a thread: by eye up to half the depth off."""
        wanted = 0.5 * (size.major if size.inside else size.minor)
        return self.root is None or abs(self.root - wanted) <= size.depth / 2


def marks_on(contour: Contour, surface: Surface) -> tuple[Mark, ...]:
    """The marks over a surface, thin lines first; crest lines beside a thin line give it their pitch."""
    thin, rows = list(_thin_lines(contour, surface)), list(_rows(contour, surface))
    paired = [_with_pitch(mark, rows) for mark in thin]
    alone = [row for row in rows if not any(_overlap(row, mark) for mark in thin)]
    return (*paired, *alone)


def stretches(contour: Contour, surface: Surface) -> tuple[Surface, ...]:
    """The surface, or, where its marks leave gaps between them, one part of it for each stretch."""
    spans = _joined(marks_on(contour, surface))
    if len(spans) < 2 or surface.ratio:
        return (surface,)
    between = [0.5 * (a[1] + b[0]) for a, b in zip(spans, spans[1:])]
    ends = [surface.z_front, *between, surface.z_back]
    return tuple(surface.part(front, back) for front, back in zip(ends, ends[1:]))


def _joined(marks: tuple[Mark, ...]) -> list[tuple[float, float]]:
    """The z ranges (front, back) that marks cover, from the front, overlapping ones as one."""
    spans: list[tuple[float, float]] = []
    for mark in sorted(marks, key=lambda mark: -mark.front):
        if spans and mark.front >= spans[-1][1]:
            spans[-1] = (spans[-1][0], min(spans[-1][1], mark.back))
        else:
            spans.append((mark.front, mark.back))
    return spans


def _thin_lines(contour: Contour, surface: Surface) -> Iterator[Mark]:
    """Thin lines along the axis over a surface, at the height of a thread root."""
    for thin in contour.thin_lines:
        line = thin.segment
        if not isinstance(line, Line) or abs(line.end.y - line.start.y) > PARALLEL * line.length:
            continue
        low, high = ROOT_INSIDE if surface.inside else ROOT_OUTSIDE
        if low <= line.start.y / surface.radius <= high and surface.covers(line.start.x, line.end.x):
            front, back = max(line.start.x, line.end.x), min(line.start.x, line.end.x)
            yield Mark(front, back, thin.handle, thin.layer, line.start.y, None, line)


def _rows(contour: Contour, surface: Surface) -> Iterator[Mark]:
    """Rows of lines across that start at a surface, as far as they show a thread."""
    for _, row in groupby(contour.cross_lines, key=lambda line: line.row):
        lines = list(row)
        mark = _row(lines, surface)
        if mark is not None:
            yield replace(mark, leans_left=_leans_left(contour, lines[0].segment))


def _row(lines: list[CrossLine], surface: Surface) -> Mark | None:
    places = sorted((line.segment.start.x for line in lines), reverse=True)
    off = max(abs(line.segment.start.y - surface.radius) for line in lines)
    if off > LEVEL * surface.radius or not surface.covers(places[0], places[-1]):
        return None
    pitch = (places[0] - places[-1]) / (len(places) - 1)
    front, back = places[0] + 0.5 * pitch, places[-1] - 0.5 * pitch
    front = surface.z_front if surface.z_front - places[0] <= RUN_ON * pitch else front
    back = surface.z_back if places[-1] - surface.z_back <= RUN_ON * pitch else back
    return Mark(front, back, lines[0].handle, lines[0].layer, None, pitch)


def _leans_left(contour: Contour, crest: Line) -> bool:
    """Whether a crest line, seen on the near side of the part, runs to the back as it comes down.

    A right-hand thread comes down towards +z where z points right and r up; a mirrored frame turns it round.
    """
    frame = contour.frame
    turned = frame is not None and frame.z_axis[0] * frame.r_axis[1] < frame.z_axis[1] * frame.r_axis[0]
    lean = (crest.end.x - crest.start.x) * (-1.0 if turned else 1.0)
    return lean < -LEAN * crest.length


LEAN = 0.005  # a crest line this share of its length off square to the axis is slanted


def _with_pitch(mark: Mark, rows: list[Mark]) -> Mark:
    beside = next((row for row in rows if _overlap(row, mark)), None)
    return mark if beside is None else replace(mark, pitch=beside.pitch, leans_left=beside.leans_left)


def _overlap(a: Mark, b: Mark) -> bool:
    return min(a.front, b.front) > max(a.back, b.back)
