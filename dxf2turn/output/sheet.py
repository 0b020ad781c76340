"""The sheet as drawn, with the candidates for a turned part framed and numbered: for choosing with --part."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.contour.model import Candidate
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Bounds
from dxf2turn.job import Job
from dxf2turn.output.display import Disc, Item, Path, Run, Text, View, box, text_width
from dxf2turn.output.figure_labels import BALLOON, MOST_FINDINGS, TEXT_SIZE, flags
from dxf2turn.output.finding_rows import worst_first
from dxf2turn.output.wording import Wording
from dxf2turn.reading.model import Curve, Role

HEIGHT = 620.0
LABEL_ROOM = 30.0  # above the drawing, for the words of the topmost candidate
DRAWN = (Role.OUTLINE, Role.HIDDEN, Role.CENTRE, Role.PHANTOM, Role.OTHER)
STYLES = {Role.OUTLINE: "edge", Role.HIDDEN: "leader", Role.CENTRE: "axis", Role.PHANTOM: "stock"}


def sheet_panel(
    job: Job, w: Wording, left: float, top: float, width: float
) -> tuple[tuple[Item, ...], float]:
    """All curves of the drawing fitted into `width`, flags at findings, and where the panel ends."""
    curves = [curve for curve in job.drawing.curves if curve.role in DRAWN and curve.segments]
    if not curves:
        return (Text(Point(left, top + 24.0), "nothing to draw was found", "text"),), top + 40.0
    bounds = path_bounds([segment for curve in curves for segment in curve.segments])
    candidates = job.contour.candidates if job.contour is not None else ()
    for candidate in candidates:
        bounds = bounds.union(candidate.drawing_bounds)
    view, end = _fitted(bounds, left, top + LABEL_ROOM, width)
    items: list[Item] = list(_drawn(curves, view))
    for candidate in candidates:
        items += _candidate(candidate, view, left + width, w)
    findings = worst_first(job.findings, MOST_FINDINGS)
    places = (None if f.where.drawing_xy is None else view.point(f.where.drawing_xy) for f in findings)
    items += flags(findings, tuple(places))
    return tuple(items), end


def _drawn(curves: list[Curve], view: View) -> Iterator[Item]:
    """The curves, one path for each line kind."""
    kinds: dict[str, list[Run]] = {}
    for curve in curves:
        kinds.setdefault(STYLES.get(curve.role, "thin"), []).append(view.run(curve.segments))
    for style, runs in kinds.items():
        yield Path(tuple(runs), style)


def _fitted(bounds: Bounds, left: float, top: float, width: float) -> tuple[View, float]:
    wide, tall = max(bounds.max_x - bounds.min_x, 1e-9), max(bounds.max_y - bounds.min_y, 1e-9)
    scale = min(width / wide, HEIGHT / tall)
    free = width - scale * wide
    origin = Point(left + free / 2 - scale * bounds.min_x, top + 10.0 + scale * bounds.max_y)
    return View(scale, origin), top + 20.0 + scale * tall


def _candidate(candidate: Candidate, view: View, right: float, w: Wording) -> Iterator[Item]:
    """Frame and number; the words end at the right limit where they would run beyond it."""
    low = view.point(Point(candidate.drawing_bounds.min_x, candidate.drawing_bounds.min_y))
    high = view.point(Point(candidate.drawing_bounds.max_x, candidate.drawing_bounds.max_y))
    corner = Point(low.x - 6.0, high.y - 6.0)
    yield Path((box(corner.x, corner.y, high.x + 6.0, low.y + 6.0),), "stock", closed=True)
    yield Disc(corner, BALLOON, "balloon")
    yield Text(corner + Vector(0.0, 4.5), str(candidate.number), "balloon-text", "middle")
    words = f"{w.diameter(candidate.max_diameter_mm / 2.0)} x {w.size(candidate.length)}"
    start = corner + Vector(BALLOON + 5.0, -9.0)
    fits = start.x + text_width(words, TEXT_SIZE) <= right
    yield Text(start if fits else Point(right, start.y), words, "small", "start" if fits else "end")
