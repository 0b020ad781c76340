"""What a drawing says about its unit and scale besides the header: dimensions, threads, size."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from statistics import median

from dxf2turn.geometry.path import path_bounds
from dxf2turn.reading.model import DimensionKind, Drawing, Note, NoteKind, Role
from dxf2turn.tables import rows
from dxf2turn.units import MM_PER_INCH, Unit

_LENGTHS = (DimensionKind.LINEAR, DimensionKind.DIAMETER, DimensionKind.RADIUS)
_AGREES = 0.01  # relative
_MAJORITY = 0.6  # share of the dimensions that must tell one ratio
_FEWEST = 2  # dimensions that must tell it by their texts
_METRIC = re.compile(r"^\s*(?:\d+\s*[x×]\s*)?M\s?(\d+(?:[.,]\d+)?)(?!\w)")
_UNIFIED = re.compile(r"(?:(\d+)[-\s])?(\d+)/(\d+)\s*[-–x]\s*\d+.*?(?:UN|NPT|BSW|ACME)", re.IGNORECASE)


def shown_to_drawn(notes: Sequence[Note]) -> float | None:
    """What most dimensions show, divided by what they measure; None when they do not agree.

    1: drawn as dimensioned. 25.4: drawn in inches, dimensioned in mm. 2: drawn at 1:2.
    """
    ratios = [ratio for note in notes for ratio in _ratio(note)]
    by_style = {factor for note in notes for factor in _factor(note)}
    if len(ratios) == 1 and by_style == set(ratios) and ratios[0] != 1.0:
        return ratios[0]  # a factor is set on purpose: one dimension is enough
    if len(ratios) < _FEWEST:
        return None
    middle = median(ratios)
    agreeing = [ratio for ratio in ratios if abs(ratio - middle) <= _AGREES * middle]
    if len(agreeing) < max(_FEWEST, _MAJORITY * len(ratios)):
        return None
    return 1.0 if abs(middle - 1.0) <= _AGREES else median(agreeing)


def single_ratio(notes: Sequence[Note]) -> float | None:
    """What the only dimension whose text is not its measurement shows, divided by what it measures; None when
    there are several dimensions or none."""
    ratios = [ratio for note in notes for ratio in _ratio(note)]
    return ratios[0] if len(ratios) == 1 else None


def is_usual_scale(scale: float) -> bool:
    """Whether a scale (drawn size / real size) is one that drawings are made at."""
    usual = [row.number("drawn") / row.number("real") for row in rows("drawing_scales")]
    return nearest_factor(scale, usual) is not None


def _factor(note: Note) -> Iterator[float]:
    """The factor of a dimension whose text is its measurement."""
    dimension = note.dimension
    if dimension is not None and dimension.kind in _LENGTHS and dimension.shown is None:
        yield dimension.factor


def _ratio(note: Note) -> Iterator[float]:
    dimension = note.dimension
    if dimension is None or dimension.kind not in _LENGTHS or dimension.measured <= 0.0:
        return
    if dimension.shown is None:
        if dimension.factor > 0.0:
            yield dimension.factor
        return
    ratio = dimension.shown / dimension.measured
    measures_radius = note.text.lstrip().startswith("\u2300") and abs(ratio - 2.0) <= _AGREES * 2.0
    if ratio > 0.0 and not measures_radius:
        yield ratio


def thread_unit(notes: Iterable[Note]) -> Unit | None:
    """The drawing's unit by dimensions that call out a thread of a size they also measure."""
    for note in notes:
        if note.kind is not NoteKind.DIMENSION or note.dimension is None:
            continue
        measured = note.dimension.measured * note.dimension.factor
        size = _thread_size_mm(note.text)
        if size is None or measured <= 0.0:
            continue
        for unit in Unit:
            if abs(measured * unit.mm - size) <= _AGREES * size:
                return unit
    return None


def _thread_size_mm(text: str) -> float | None:
    metric = _METRIC.search(text)
    if metric:
        return float(metric.group(1).replace(",", "."))
    unified = _UNIFIED.search(text)
    if unified and int(unified.group(3)):
        whole, upper, lower = (int(group or 0) for group in unified.groups())
        return (whole + upper / lower) * MM_PER_INCH
    return None


def size_of(drawing: Drawing) -> float:
    """A measure of the part in drawing units: the longest of several dimensions, else the outline's box."""
    lengths = [
        note.dimension.measured
        for note in drawing.notes
        if note.dimension is not None and note.dimension.kind in _LENGTHS
    ]
    if len(lengths) >= _FEWEST:
        return max(lengths)
    segments = [
        segment for curve in drawing.curves if curve.role is Role.OUTLINE for segment in curve.segments
    ]
    return path_bounds(segments).size if segments else 0.0


def nearest_factor(ratio: float, known: Sequence[float]) -> float | None:
    """The one of some factors that a ratio agrees with."""
    return next((k for k in known if math.isclose(ratio, k, rel_tol=_AGREES)), None)


def written_in_inches(notes: Iterable[Note]) -> bool:
    """Whether the dimensions are written as inches are: `.750` without a leading zero, or `3/4"`.

    ASME Y14.5 leaves the leading zero out for inches and keeps it for millimetres (from memory).
    """
    texts = [note.text for note in notes if note.kind is NoteKind.DIMENSION]
    return any(_INCHES.search(text) for text in texts) and not any("mm" in text for text in texts)


_INCHES = re.compile(r"^[^\d.,]*\.\d|\d\s*\"")


def scale_written(notes: Iterable[Note]) -> float | None:
    """The drawing scale that the notes state (drawn size / real size); None for none, 1:1 or several."""
    found = {float(m[1]) / float(m[2]) for note in notes for m in _SCALE.finditer(note.text) if float(m[2])}
    return found.pop() if len(found) == 1 and 1.0 not in found else None


_SCALE = re.compile(
    r"(?:SCALE|MA(?:SS|\u00df)STAB|\bM)\s*[:=]?\s*(\d+(?:\.\d+)?)\s*:\s*(\d+(?:\.\d+)?)", re.IGNORECASE
)


def paper_unit(drawing: Drawing) -> Unit | None:
    """The unit in which the whole drawing has the size of a sheet of paper, None when it has none.

    ISO 216 A4 to A0 in mm, ANSI/ASME Y14.1 A to E in inches (both from memory).
    """
    everything = [segment for curve in drawing.curves for segment in curve.segments]
    if not everything:
        return None
    box = path_bounds(everything)
    sides = sorted((box.max_x - box.min_x, box.max_y - box.min_y))
    for unit, sheets in _SHEETS.items():
        if any(all(abs(a - b) <= _PAPER_OFF * b for a, b in zip(sides, sheet)) for sheet in sheets):
            return unit
    return None


_SHEETS = {
    Unit.MM: ((210.0, 297.0), (297.0, 420.0), (420.0, 594.0), (594.0, 841.0), (841.0, 1189.0)),
    Unit.INCH: ((8.5, 11.0), (11.0, 17.0), (17.0, 22.0), (22.0, 34.0), (34.0, 44.0)),
}
_PAPER_OFF = 0.002  # share
