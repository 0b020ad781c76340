"""Why no contour came out: open ends, an outline across its axis, several parts, nothing at all."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from dxf2turn.cleaning.model import CleanDrawing, Piece
from dxf2turn.cleaning.pieces import handles, in_drawing
from dxf2turn.contour.axis import centre_axes
from dxf2turn.contour.by_layer import Choice
from dxf2turn.contour.components import Component
from dxf2turn.contour.frame import Axis
from dxf2turn.contour.model import Candidate
from dxf2turn.contour.sheet import Sheet
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.geometry.crossing import crossings
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Bounds, Line
from dxf2turn.options import DrawingOptions
from dxf2turn.units import plain_text

_SHOWN = 5  # gaps named in findings of their own
_SMALL_GAP = 1.0  # mm: wider ones are no matter of tolerance
_FAR = 0.25  # of the outline's size: free ends further apart are no gap


class FreeEnd(NamedTuple):
    point: Point
    piece: Piece


def why_no_view(sheet: Sheet, clean: CleanDrawing, options: DrawingOptions) -> tuple[Finding, ...]:
    """The findings that say why no part was seen on a sheet."""
    axes = centre_axes(clean.centres, options.tolerances)
    crossed = across_the_axis(sheet.rest, axes, clean, options)
    if crossed:
        return crossed
    found = gap_findings(sheet, axes, clean, options) or loose_end_findings(sheet.rest, axes, clean, options)
    return found or (_nothing(sheet, clean),)


def _nothing(sheet: Sheet, clean: CleanDrawing) -> Finding:
    closed = [c for c in sheet.rest if c.closed]
    if closed:
        place = in_drawing(Point(closed[0].bounds.min_x, closed[0].bounds.min_y), clean.unit.mm_per_unit)
        return Finding(
            "contour/no-axis",
            Severity.STOP,
            "There is a closed outline, but neither a centre line nor a symmetry shows where its axis lies.",
            "Draw a centre line, or give the axis with --axis X0,Y0,X1,Y1.",
            Location(drawing_xy=place, handles=handles(*closed[0].pieces[:3])),
        )
    return Finding(
        "contour/no-outline",
        Severity.STOP,
        "No closed outline of a turned part was found.",
        "Check that the outline is closed and lies in model space on a layer that is on; --layer names it.",
    )


def gap_findings(
    sheet: Sheet, axes: Sequence[Axis], clean: CleanDrawing, options: DrawingOptions
) -> tuple[Finding, ...]:
    """The gaps in open outlines: which two ends, where, how far apart. The other end may be that of a
    smaller piece, which the gap cuts off."""
    gap = options.tolerances.gap
    own = [end for outline in sheet.rest for end in free_ends(outline.pieces, axes, gap)]
    cut_off = [end for outline in sheet.others for end in free_ends(outline.pieces, axes, gap)]
    size = max((outline.bounds.size for outline in sheet.rest), default=0.0)
    pairs = nearest_pairs([*own, *cut_off], _FAR * size)
    concerned = [(a, b, distance) for a, b, distance in pairs if a in own or b in own]
    return tuple(open_gap(a, b, distance, clean, options) for a, b, distance in concerned[:_SHOWN])


def loose_end_findings(
    outlines: Iterable[Component], axes: Sequence[Axis], clean: CleanDrawing, options: DrawingOptions
) -> tuple[Finding, ...]:
    """Ends with no other end in reach: an outline that stops short of its axis, or a stray line."""
    found = []
    for outline in sorted(outlines, key=lambda one: -one.bounds.size):
        for end in free_ends(outline.pieces, axes, options.tolerances.gap):
            found.append(_loose_end(end, axes, clean, options))
    return tuple(found[:_SHOWN])


def _loose_end(end: FreeEnd, axes: Sequence[Axis], clean: CleanDrawing, options: DrawingOptions) -> Finding:
    at = in_drawing(end.point, clean.unit.mm_per_unit)
    short = min((abs(axis.z_r(end.point).y) for axis in axes), default=None)
    beside = "" if short is None else f" and lies {plain_text(short, 4)} mm off the axis"
    return Finding(
        "contour/loose-end",
        Severity.STOP,
        f"The outline is open: {_end_text(end, at)} meets no other piece{beside}.",
        "Close the outline, or let it end on its axis.",
        Location(drawing_xy=at, handles=handles(end.piece), layer=end.piece.origin.layer),
        measured=short,
        limit=options.tolerances.gap,
    )


def open_gap(
    a: FreeEnd, b: FreeEnd, distance: float, clean: CleanDrawing, options: DrawingOptions
) -> Finding:
    """The finding for one gap that is too wide to be closed."""
    first, second = (in_drawing(end.point, clean.unit.mm_per_unit) for end in (a, b))
    return Finding(
        "contour/open-gap",
        Severity.STOP,
        f"The outline is open: {_end_text(a, first)} and {_end_text(b, second)} are "
        f"{plain_text(distance, 4)} mm apart.",
        _how_to_close(distance),
        Location(drawing_xy=first, handles=handles(a.piece, b.piece), layer=a.piece.origin.layer),
        measured=distance,
        limit=options.tolerances.gap,
    )


def _how_to_close(distance: float) -> str:
    """What to do about a gap; only a small one may be closed by the program."""
    if distance <= _SMALL_GAP:
        return f"Close the gap in the drawing, or allow it with --gap {plain_text(1.1 * distance, 3)}."
    return (
        "Close the outline there; if these are helper lines, leave them out or name the outline with --layer."
    )


def _end_text(end: FreeEnd, at: Point) -> str:
    kind = end.piece.origin.kind
    return f"the end of {kind} {end.piece.origin.handle} at {plain_text(at.x, 4)}, {plain_text(at.y, 4)}"


def free_ends(pieces: Iterable[Piece], axes: Sequence[Axis], gap: float) -> list[FreeEnd]:
    """Ends that meet nothing and do not lie on an axis."""
    at: dict[Point, list[Piece]] = defaultdict(list)
    for piece in pieces:
        at[piece.segment.start].append(piece)
        at[piece.segment.end].append(piece)
    return [
        FreeEnd(point, here[0])
        for point, here in at.items()
        if len(here) == 1 and not any(abs(axis.z_r(point).y) <= gap for axis in axes)
    ]


def nearest_pairs(ends: Sequence[FreeEnd], farthest: float) -> list[tuple[FreeEnd, FreeEnd, float]]:
    """Pairs of free ends that are each other's nearest, the closest first."""
    nearest: dict[int, tuple[float, int]] = {}
    for i, a in enumerate(ends):
        distances = ((a.point.distance(b.point), j) for j, b in enumerate(ends) if j != i)
        nearest[i] = min(distances, default=(float("inf"), -1))
    pairs = [
        (ends[i], ends[j], distance)
        for i, (distance, j) in nearest.items()
        if i < j and nearest[j][1] == i and distance <= farthest
    ]
    return sorted(pairs, key=lambda pair: pair[2])


def across_the_axis(
    outlines: Iterable[Component], axes: Sequence[Axis], clean: CleanDrawing, options: DrawingOptions
) -> tuple[Finding, ...]:
    """Outlines that a centre line runs through although their halves are not alike."""
    found = []
    for axis in axes:
        assert axis.extent is not None
        first, last = (axis.drawing_mm(Point(z, 0.0)) for z in axis.extent)
        line = Line(first, last)
        for outline in outlines:
            box = path_bounds([axis.segment(segment) for segment in outline.segments])
            whole = outline.closed or not free_ends(outline.pieces, [axis], options.tolerances.gap)
            if whole and box.min_y < -options.tolerances.gap and box.max_y > options.tolerances.gap:
                found.extend(_crossings_with(line, outline, axis, clean, options))
    return tuple(found[:_SHOWN])


def _crossings_with(
    line: Line, outline: Component, axis: Axis, clean: CleanDrawing, options: DrawingOptions
) -> list[Finding]:
    found = []
    for piece in outline.pieces:
        for point in crossings(piece.segment, line, options.tolerances.same_point):
            at = in_drawing(point, clean.unit.mm_per_unit)
            below = min(
                abs(extreme)
                for box in [axis.segment(piece.segment).bounds]
                for extreme in (box.min_y, box.max_y)
            )
            found.append(
                Finding(
                    "contour/across-axis",
                    Severity.STOP,
                    f"The outline crosses the axis at {plain_text(at.x, 4)}, {plain_text(at.y, 4)} "
                    f"and reaches {plain_text(below, 4)} mm beyond it.",
                    "A half profile must end on its axis; check the centre line, or give --axis.",
                    Location(drawing_xy=at, handles=handles(piece), layer=piece.origin.layer),
                    measured=below,
                )
            )
    return found


def unlike_findings(sheet: Sheet, clean: CleanDrawing) -> tuple[Finding, ...]:
    """Outlines on the axis of the part that were left out, since their halves are not alike."""
    found = []
    for outline in sheet.unlike:
        box = outline.bounds
        at = in_drawing(Point(box.min_x, box.min_y), clean.unit.mm_per_unit)
        found.append(
            Finding(
                "contour/unlike-halves",
                Severity.FIX,
                f"Another outline at {plain_text(at.x)}, {plain_text(at.y)} lies along the centre line, but "
                "its halves are not alike; it was left out.",
                "If it belongs to the part, correct it; else draw it apart.",
                Location(drawing_xy=at, handles=handles(*outline.pieces[:3])),
            )
        )
    return tuple(found)


def candidates_of(choices: Sequence[Choice]) -> tuple[Candidate, ...]:
    """The list that the user chooses from."""
    return tuple(_candidate(number, choice) for number, choice in enumerate(choices, start=1))


def _candidate(number: int, choice: Choice) -> Candidate:
    view = choice.view
    low, high = view.z_range
    corners = [
        in_drawing(view.axis.drawing_mm(Point(z, r)), choice.clean.unit.mm_per_unit)
        for z in (low, high)
        for r in (-view.largest_r, view.largest_r)
    ]
    x, y = [p.x for p in corners], [p.y for p in corners]
    note = f"axis: {view.kind}" if choice.layer is None else f"on layer {choice.layer!r}, axis: {view.kind}"
    return Candidate(
        number, Bounds(min(x), min(y), max(x), max(y)), high - low, 2.0 * view.largest_r, note, choice.layer
    )


def several_parts(candidates: Sequence[Candidate], asked: int | None) -> Finding:
    """The stop that lists the parts of a sheet."""
    listed = "; ".join(
        f"{c.number}: length {plain_text(c.length)} mm, largest diameter {plain_text(c.max_diameter_mm)} mm "
        f"at {plain_text(c.drawing_bounds.min_x)}, {plain_text(c.drawing_bounds.min_y)}{_on_layer(c)}"
        for c in candidates
    )
    first = candidates[0].drawing_bounds
    if asked is not None:
        text = f"There is no part {asked} on the sheet, which shows {len(candidates)}: {listed}."
    else:
        text = f"The sheet shows {len(candidates)} parts: {listed}."
    return Finding(
        "contour/several-parts",
        Severity.STOP,
        text,
        "Choose one with --part N, name its layer with --layer, or give the axis with --axis X0,Y0,X1,Y1.",
        Location(drawing_xy=Point(first.min_x, first.min_y)),
        measured=float(len(candidates)),
        limit=1.0,
        unit="",
    )


def _on_layer(candidate: Candidate) -> str:
    return "" if candidate.layer is None else f" on layer {candidate.layer!r}"
