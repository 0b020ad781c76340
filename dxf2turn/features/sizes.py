"""Each written size tied to the geometry it measures: which vertex groups it sets apart, and by how much."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from dxf2turn.contour.model import Contour
from dxf2turn.features import size_report as report
from dxf2turn.features.callouts import LENGTHS, Callout, callouts, measured_mm, text_unit
from dxf2turn.features.fits import fit_limits
from dxf2turn.features.general import general_class, general_limit
from dxf2turn.features.model import Limits
from dxf2turn.features.outline import Outline
from dxf2turn.features.size_text import SizeText, size_in
from dxf2turn.features.ties import AXIS, Ties
from dxf2turn.findings import Finding
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line
from dxf2turn.reading.model import DimensionKind

DATUM = AXIS


@dataclass(frozen=True, slots=True)
class Size:
    """One size on the part.

    axis: "z" for a length between the planes of groups a (front) and b (back); "r" for a distance of group b
    from group a, a = DATUM for a radius from the axis (then `drawn` and `wanted` are radii).
    drawn, wanted: mm. limits: None for an untoleranced size without a general tolerance.
    toleranced: the size has limits of its own. finest: width of the limits, to order them.
    """

    axis: str
    a: int
    b: int
    drawn: float
    wanted: float
    toleranced: bool
    limits: Limits | None = None
    foreign: bool = False  # the class is one of holes on an outside diameter, or the other way round

    @property
    def width(self) -> float:
        """Width of the limits, mm; 0 when there are none."""
        return self.limits.upper - self.limits.lower if self.limits is not None else 0.0


@dataclass(frozen=True, slots=True)
class _Reader:
    """What is needed to tie one callout."""

    outline: Outline
    ties: Ties
    contour: Contour
    unit: float
    general: str | None


def sizes_of(outline: Outline, ties: Ties, contour: Contour) -> tuple[tuple[Size, ...], tuple[Finding, ...]]:
    """All sizes that could be tied, and what contradicts the drawing or could not be read."""
    notes = callouts(contour)
    reader = _Reader(outline, ties, contour, text_unit(contour), general_class(notes))
    sizes: list[Size] = []
    findings: list[Finding] = []
    for callout in notes:
        text = size_in(callout.raw)
        if text is None:
            continue
        text = _with_dimension(text, callout)
        contradiction = report.contradiction(contour, callout, text, (reader.unit, outline.tolerances.gap))
        findings.extend(contradiction)
        found = [] if contradiction else list(_tied(reader, callout, text))
        if text.fits and text.upper is None and found and not any(size.toleranced for size in found):
            findings.append(report.unknown_class(contour, callout, text.fits[0], found[0].drawn))
        findings.extend(
            report.class_of_other_side(contour, callout, size.limits) for size in found if size.foreign
        )
        sizes.extend(found)
    return tuple(sizes), tuple(findings)


def _with_dimension(text: SizeText, callout: Callout) -> SizeText:
    """The deviations of the dimension's own style, which its text only rounds."""
    dimension = callout.dimension
    if dimension is None or dimension.upper is None or dimension.lower is None:
        return text
    if text.toleranced and (dimension.shown is not None or text.nominal is None):
        return text
    if (
        text.nominal is not None
        and abs(text.nominal - dimension.measured * dimension.factor) > 10.0**-text.decimals
    ):
        return text  # its text shows the limits themselves
    return replace(text, upper=dimension.upper, lower=dimension.lower)


def _tied(reader: _Reader, callout: Callout, text: SizeText) -> Iterator[Size]:
    """The sizes that one callout gives."""
    dimension = callout.dimension
    if dimension is None:
        yield from _pointed(reader, callout, text)
        return
    if dimension.kind not in LENGTHS or dimension.kind is DimensionKind.RADIUS or len(callout.ends) < 2:
        return
    first, last = callout.ends[0], callout.ends[-1]
    snap = reader.outline.tolerances.gap
    if dimension.kind is DimensionKind.DIAMETER and max(abs(first.y + last.y), abs(first.x - last.x)) > snap:
        yield from _in_end_view(reader, callout, text)
    elif dimension.kind is DimensionKind.DIAMETER:
        yield from _diameter(reader, callout, text, (first, last))
    elif abs(first.y - last.y) <= snap or (callout.along > 0.5 and abs(first.x - last.x) > snap):
        yield from _length(reader, callout, text, (first, last))
    elif first.y * last.y < 0.0 or (text.sign == "d" and min(abs(first.y), abs(last.y)) <= snap):
        yield from _diameter(reader, callout, text, (first, last))
    else:
        yield from _step(reader, callout, text, (first, last))


def _pointed(reader: _Reader, callout: Callout, text: SizeText) -> Iterator[Size]:
    """A text such as `25 h6` beside or pointing at a diameter."""
    if text.sign == "r" or not (text.toleranced or text.sign):
        return
    if not (callout.tips or text.sign) and _IN_WORDS.match(callout.raw):
        return
    outline = reader.outline
    wanted = None if text.nominal is None else text.nominal * reader.unit
    if wanted is None and not callout.tips:
        return
    reach = outline.profile.max_radius if callout.tips else float("inf")
    found = []
    for index in outline.indices:
        line = outline.segment(index)
        if not isinstance(line, Line) or not outline.is_axial(index):
            continue
        off = abs(2.0 * line.start.y - wanted) if wanted is not None else 0.0
        away = min(line.distance(place) for place in callout.places)
        if off <= _DRAWN_OFF * max(1.0, line.start.y) and away <= reach:
            found.append((away, index))
    for _, index in sorted(found)[: text.count]:
        yield _from_axis(reader, callout, text, index)


def _in_end_view(reader: _Reader, callout: Callout, text: SizeText) -> Iterator[Size]:
    """A diameter of a circle beside the part: the one cylinder, or the one bore, that has it."""
    outline, drawn = reader.outline, measured_mm(callout)
    snap = outline.tolerances.gap
    axial = [index for index in outline.indices if outline.is_axial(index)]
    same = [index for index in axial if abs(2.0 * outline.segment(index).start.y - drawn) <= snap]
    if len(same) > 1 and text.fits:
        inside = text.fits[0][0].isupper()
        same = [index for index in same if outline.faces_axis(index) == inside]
    if len(same) == 1:
        yield _from_axis(reader, callout, text, same[0])


_IN_WORDS = re.compile(r"\s*[^\W\d_]{3,}")  # "SHAFT 20 H7" is a title
_DRAWN_OFF = 0.02  # a diameter may be drawn this much (mm, or share of its radius) off its nominal size


def _diameter(reader: _Reader, callout: Callout, text: SizeText, ends: tuple[Point, Point]) -> Iterator[Size]:
    """A dimension across the axis: the cylinder (or the vertex) whose radius its points have."""
    outline = reader.outline
    radius = max(abs(ends[0].y), abs(ends[1].y))
    snap = outline.tolerances.gap
    if ends[0].y * ends[1].y < 0.0 and abs(abs(ends[0].y) - abs(ends[1].y)) > snap:
        return
    place = Point(0.5 * (ends[0].x + ends[1].x), radius)
    near = [
        i for i in outline.indices if outline.is_axial(i) and abs(outline.segment(i).start.y - radius) <= snap
    ]
    best = min(near, key=lambda index: outline.segment(index).distance(place), default=None)
    if best is None:
        vertices = [i for i, s in enumerate(outline.profile.segments) if s.start.distance(place) <= snap]
        best = vertices[0] if vertices else None
    if best is not None:
        yield _from_axis(reader, callout, text, best)


def _from_axis(reader: _Reader, callout: Callout, text: SizeText, vertex: int) -> Size:
    start = reader.outline.segment(vertex).start
    hole = reader.outline.faces_axis(vertex)
    text = replace(text, fits=tuple(sorted(text.fits, key=lambda name: name[0].isupper() != hole)))
    limits = _limits(reader, callout, text, 2.0 * start.y, "diameter")
    where = reader.outline.segment(vertex).bounds
    if limits is not None:
        limits = replace(limits, z_front=where.max_x, z_back=where.min_x, r=start.y)
    own = _has_own_limits(limits, text)
    wanted = 0.5 * limits.middle if limits is not None and own else start.y
    foreign = limits is not None and limits.grade is not None and text.fits[0][0].isupper() != hole
    return Size("r", DATUM, reader.ties.r[vertex], start.y, wanted, own, limits, foreign)


def _length(reader: _Reader, callout: Callout, text: SizeText, ends: tuple[Point, Point]) -> Iterator[Size]:
    """A dimension along the axis, between two planes."""
    front, back = sorted(ends, key=lambda end: -end.x)
    a, b = _plane(reader, front), _plane(reader, back)
    if a is None or b is None or reader.ties.z[a] == reader.ties.z[b]:
        return
    start = [reader.outline.segment(vertex).start for vertex in (a, b)]
    drawn = start[0].x - start[1].x
    limits = _limits(reader, callout, text, drawn, "length")
    if limits is not None:
        limits = replace(limits, z_front=start[0].x, z_back=start[1].x, r=max(start[0].y, start[1].y))
    own = _has_own_limits(limits, text)
    wanted = limits.middle if limits is not None and own else drawn
    yield Size("z", reader.ties.z[a], reader.ties.z[b], drawn, wanted, own, limits)


def _plane(reader: _Reader, place: Point) -> int | None:
    """The vertex at a z that lies nearest: of a plane face if there is one."""
    outline, snap = reader.outline, reader.outline.tolerances.gap
    found = []
    for index, segment in enumerate(outline.profile.segments):
        if abs(segment.start.x - place.x) <= snap:
            before = (index - 1) % len(outline.profile.segments)
            on_face = outline.is_radial(index) or outline.is_radial(before)
            found.append((not on_face, abs(segment.start.y - abs(place.y)), index))
    return min(found)[2] if found else None


def _step(reader: _Reader, callout: Callout, text: SizeText, ends: tuple[Point, Point]) -> Iterator[Size]:
    """A dimension across, on one side of the axis: a depth or a step."""
    outline, snap = reader.outline, reader.outline.tolerances.gap
    if callout.along > 0.5:
        return
    found = []
    for end in ends:
        near = [
            (s.start.distance(Point(end.x, abs(end.y))), i)
            for i, s in enumerate(outline.profile.segments)
            if abs(s.start.y - abs(end.y)) <= snap
        ]
        if not near:
            return
        found.append(min(near)[1])
    outer, inner = sorted(found, key=lambda vertex: -outline.segment(vertex).start.y)
    a, b = reader.ties.r[outer], reader.ties.r[inner]
    if a == b:
        return
    top, bottom = outline.segment(outer).start, outline.segment(inner).start
    limits = _limits(reader, callout, text, top.y - bottom.y, "radius")
    if limits is not None:
        z = sorted((top.x, bottom.x))
        limits = replace(limits, z_front=z[1], z_back=z[0], r=top.y)
    own = _has_own_limits(limits, text)
    wanted = limits.middle if limits is not None and own else top.y - bottom.y
    yield Size("r", a, b, top.y - bottom.y, wanted, own, limits)


def _has_own_limits(limits: Limits | None, text: SizeText) -> bool:
    return limits is not None and text.toleranced and not limits.source.startswith("ISO 2768")


def _limits(reader: _Reader, callout: Callout, text: SizeText, drawn: float, what: str) -> Limits | None:
    """Limits of a size: written deviations, else its class, else the general tolerance; None without any."""
    nominal = drawn if text.nominal is None else text.nominal * reader.unit
    if what == "diameter" and text.sign == "r":
        nominal *= 2.0
    zero = Limits(
        what=what,
        nominal=nominal,
        upper=0.0,
        lower=0.0,
        z_front=0.0,
        z_back=0.0,
        r=0.0,
        text=callout.raw,
        handle=callout.handle,
    )
    if text.upper is not None and text.lower is not None:
        upper, lower = text.upper * reader.unit, text.lower * reader.unit
        return replace(zero, upper=upper, lower=lower, source="written on the drawing")
    for name in text.fits:
        fit = fit_limits(nominal, name)
        if fit is not None:
            source = f"{name}, {fit.source}"
            return replace(zero, upper=fit.upper, lower=fit.lower, grade=fit.grade, source=source)
    general = general_limit(nominal, reader.general) if reader.general is not None else None
    if general is None:
        return None
    return replace(zero, upper=general[0], lower=-general[0], source=general[1])
