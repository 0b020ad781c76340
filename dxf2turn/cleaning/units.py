"""Decide the drawing's unit and scale, and say why.

An option always wins. Else the header's unit holds, unless it makes the part absurdly large or small or the
drawing's own evidence contradicts it: dimensions, threads and the diameters drawn for them, the size of the
sheet, numbers written as inches are. Without a unit in the header that evidence decides, then the header's
measurement flag where it gives a sensible size, then millimetres. What is not plain is a finding.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from dxf2turn.cleaning.evidence import (
    is_usual_scale,
    nearest_factor,
    paper_unit,
    scale_written,
    shown_to_drawn,
    single_ratio,
    size_of,
    thread_unit,
    written_in_inches,
)
from dxf2turn.cleaning.model import UnitDecision
from dxf2turn.cleaning.threads import factor_by_threads
from dxf2turn.findings import Finding, Severity
from dxf2turn.options import DrawingOptions
from dxf2turn.reading.model import Drawing
from dxf2turn.units import MM_PER_INCH, Unit, plain_text

# $INSUNITS codes of the DXF reference: unit for people, mm per unit, name.
_CODES = {
    1: (Unit.INCH, MM_PER_INCH, "inch"),
    2: (Unit.INCH, 12.0 * MM_PER_INCH, "foot"),
    4: (Unit.MM, 1.0, "mm"),
    5: (Unit.MM, 10.0, "cm"),
    6: (Unit.MM, 1000.0, "m"),
    8: (Unit.INCH, 1e-6 * MM_PER_INCH, "microinch"),
    9: (Unit.INCH, 1e-3 * MM_PER_INCH, "mil"),
    10: (Unit.INCH, 36.0 * MM_PER_INCH, "yard"),
    13: (Unit.MM, 1e-3, "micrometre"),
    14: (Unit.MM, 100.0, "dm"),
}
_LARGE_METRIC = (5, 6, 14)
_LARGEST_MM, _SMALLEST_MM = 3000.0, 0.5  # sizes beyond which a header unit is doubted
_ABSURD_MM = (0.2, 10_000.0)  # sizes beyond which nothing is planned without being asked to
_INCH_SIZE = 16.0  # drawing units: a part without a unit that is larger is taken as mm (16 in = 406 mm)
_LONGEST_INCH = 40.0  # drawing units: beyond this not even a header that says inch is believed (1 m)
_SMALL_MM = 5.0  # a part this small may be drawn in inches
_UNIT_RATIOS = (MM_PER_INCH, 1.0 / MM_PER_INCH, 1000.0)
_ASK = "Check the sizes; --units mm or --units inch settles it."


def decide_unit(drawing: Drawing, options: DrawingOptions) -> tuple[UnitDecision, tuple[Finding, ...]]:
    """The unit of the drawing and the findings about it."""
    if options.units is not None:
        unit = UnitDecision(options.units, "option", options.units.mm, why="as asked for")
        findings: tuple[Finding, ...] = ()
    else:
        unit, findings = _from_drawing(drawing)
    unit, scaled = _with_scale(unit, drawing, options)
    return unit, (*findings, *scaled, *_absurd(unit, drawing, options))


def _from_drawing(drawing: Drawing) -> tuple[UnitDecision, tuple[Finding, ...]]:
    known = _CODES.get(drawing.header.insunits or 0)
    for found, why in _evidence(drawing, None if known is None else known[1]):
        if known is None or abs(found[1] - known[1]) > 1e-9:
            return _contradicted(found, known, why)
        break
    if known is None:
        return _without_header(drawing)
    unit, mm_per_unit, name = known
    decision = UnitDecision(unit, "header", mm_per_unit, why=f"$INSUNITS is {drawing.header.insunits}")
    size = size_of(drawing) * (shown_to_drawn(drawing.notes) or 1.0)
    longest = _INCH_SIZE if drawing.header.measurement == 1 else _LONGEST_INCH
    if name == "inch" and size > longest and paper_unit(drawing) is not Unit.INCH:
        return _doubted(decision, name, size)
    if size > 0.0 and not _SMALLEST_MM <= size * mm_per_unit <= _LARGEST_MM and name != "mm":
        return _doubted(decision, name, size)
    return decision, (*_flag_findings(drawing, decision), *_size_findings(decision, name, size))


def _evidence(drawing: Drawing, known: float | None) -> Iterator[tuple[tuple[Unit, float], str]]:
    """Unit and mm per unit by everything but the header, the strongest first, with its reason."""
    by_dimensions = _unit_by_dimensions(drawing)
    if by_dimensions is not None:
        yield by_dimensions, "the dimensions"
    thread = thread_unit(drawing.notes)
    if thread is not None:
        yield (thread, thread.mm), "the thread called out"
    factor = factor_by_threads(drawing, known, tuple(unit.mm for unit in Unit))
    if factor is not None:
        yield (
            (Unit.MM if factor == 1.0 else Unit.INCH, factor),
            "the thread called out and the diameter drawn",
        )
    paper = paper_unit(drawing)
    if paper is not None:
        yield (paper, paper.mm), "the size of the sheet"
    if written_in_inches(drawing.notes) and size_of(drawing) <= _LONGEST_INCH:
        yield (Unit.INCH, MM_PER_INCH), "dimensions written as inches are"


def _unit_by_dimensions(drawing: Drawing) -> tuple[Unit, float] | None:
    """Unit and mm per unit where the dimensions show another unit than is drawn in, else None.

    Dimensions are written in mm or inches; a metric unit above mm in the header is then a slip.
    """
    ratio = shown_to_drawn(drawing.notes)
    if ratio == 1.0 and drawing.header.insunits in _LARGE_METRIC and size_of(drawing) >= _SMALL_MM:
        return Unit.MM, 1.0
    factor = None if ratio is None else nearest_factor(ratio, _UNIT_RATIOS)
    if factor is None:
        return None
    return (Unit.INCH, 1.0) if factor < 1.0 else (Unit.MM, factor)


def _contradicted(
    found: tuple[Unit, float], known: tuple[Unit, float, str] | None, why: str
) -> tuple[UnitDecision, tuple[Finding, ...]]:
    unit, mm_per_unit = found
    says = "does not say its unit" if known is None else f"says its unit is {known[2]}"
    text = f"The file {says}; {why} show that one drawing unit is {plain_text(mm_per_unit, 4)} mm."
    finding = _finding("unit-by-dimensions", Severity.NOTE if known is None else Severity.FIX, text)
    return UnitDecision(unit, "assumed", mm_per_unit, why=why), (finding,)


def _without_header(drawing: Drawing) -> tuple[UnitDecision, tuple[Finding, ...]]:
    size, flag = size_of(drawing), drawing.header.measurement
    if flag == 0 and size <= _INCH_SIZE:
        unit, why = Unit.INCH, "$MEASUREMENT is 0 (inch) and the size suits it"
    elif flag == 0:
        unit, why = Unit.MM, "$MEASUREMENT is 0 (inch), but the part would be very large"
    elif flag == 1:
        unit, why = Unit.MM, "$MEASUREMENT is 1 (metric)"
    else:
        unit, why = Unit.MM, "nothing in the file says another one"
    size_mm = plain_text(size * unit.mm, 1)
    text = (
        f"The file does not say its unit; {unit.value} was taken ({why}), which makes {size_mm} mm in size."
    )
    return UnitDecision(unit, "assumed", unit.mm, why=why), (_finding("unit-assumed", Severity.FIX, text),)


def _doubted(decision: UnitDecision, name: str, size: float) -> tuple[UnitDecision, tuple[Finding, ...]]:
    drawn = plain_text(size * decision.mm_per_unit, 1)
    text = f"The file says its unit is {name}, which would make a part of {drawn} mm; mm was taken instead."
    why = f"a part of {drawn} mm makes no sense"
    return UnitDecision(Unit.MM, "assumed", 1.0, why=why), (_finding("unit-doubted", Severity.FIX, text),)


def _flag_findings(drawing: Drawing, decision: UnitDecision) -> list[Finding]:
    """The header's two statements about the unit held against each other."""
    flag = drawing.header.measurement
    if decision.unit is Unit.INCH and flag == 1:
        text = "The file says inch, but its measurement flag says metric; inch was taken."
        return [_finding("unit-flag", Severity.FIX, text)]
    if decision.unit is Unit.MM and flag == 0 and size_of(drawing) <= _INCH_SIZE:
        text = "The file says mm, but its measurement flag says inch and the part is small; mm was taken."
        return [_finding("unit-flag", Severity.NOTE, text)]
    return []


def _size_findings(decision: UnitDecision, name: str, size: float) -> list[Finding]:
    """Units and sizes that are possible but seldom meant."""
    size_mm = plain_text(size * decision.mm_per_unit, 1)
    if name not in ("mm", "inch"):
        text = f"The file says its unit is {name}, which makes {size_mm} mm in size."
        return [_finding("unit-rare", Severity.NOTE, text)]
    if name == "inch" and size > _INCH_SIZE:
        text = f"The file says inch, which makes {size_mm} mm in size."
        return [_finding("unit-large", Severity.FIX, text)]
    if name == "mm" and 0.0 < size < _SMALL_MM:
        text = f"The file says mm, which makes only {size_mm} mm in size."
        return [_finding("unit-small", Severity.NOTE, text)]
    return []


def _with_scale(
    unit: UnitDecision, drawing: Drawing, options: DrawingOptions
) -> tuple[UnitDecision, tuple[Finding, ...]]:
    """The decision with the drawing's scale: the option, else what the dimensions agree on, else 1."""
    if options.scale is not None:
        return replace(unit, mm_per_unit=unit.mm_per_unit / options.scale, scale=options.scale), ()
    ratio = shown_to_drawn(drawing.notes)
    if ratio is None:
        return _with_written_scale(unit, drawing)
    same_as_unit = (*_UNIT_RATIOS, unit.mm_per_unit)
    if ratio == 1.0 or nearest_factor(ratio, same_as_unit) is not None:
        return unit, ()
    scale = 1.0 / ratio
    text = (
        f"The dimensions show {plain_text(ratio, 4)} times what is drawn: the drawing is at "
        f"{_scale_text(scale)}; sizes were taken as dimensioned."
    )
    return replace(unit, mm_per_unit=unit.mm_per_unit * ratio, scale=scale), (_scale_finding(text),)


def _with_written_scale(unit: UnitDecision, drawing: Drawing) -> tuple[UnitDecision, tuple[Finding, ...]]:
    """A scale that only a note states: it is how the drawing is plotted, unless a thread is drawn to it or
    the only dimension agrees."""
    scale = scale_written(drawing.notes)
    if scale is None or scale <= 0.0:
        return unit, _single_contradiction(drawing)
    named, scaled = _scale_text(scale), unit.mm_per_unit / scale
    if factor_by_threads(drawing, unit.mm_per_unit, (scaled,)) is not None:
        text = f"A note says {named}, and the thread called out is drawn so: sizes were scaled."
        return replace(unit, mm_per_unit=scaled, scale=scale), (_scale_finding(text),)
    if nearest_factor(scale * (single_ratio(drawing.notes) or 0.0), (1.0,)) is not None:
        text = f"A note says {named}, and the one dimension agrees: sizes were taken as dimensioned."
        return replace(unit, mm_per_unit=scaled, scale=scale), (_scale_finding(text),)
    text = f"A note says {named}, and no dimension shows it: the drawing was taken at its real size."
    return unit, (_scale_finding(text),)


def _single_contradiction(drawing: Drawing) -> tuple[Finding, ...]:
    """What to say when the only dimension contradicts what it measures as another scale or unit would make
    it: one text may be wrong, so the drawing is taken as it is."""
    ratio = single_ratio(drawing.notes)
    if ratio is None or nearest_factor(ratio, (1.0,)) is not None:
        return ()
    shows = f"The only dimension shows {plain_text(ratio, 4)} times what is drawn"
    taken = "one text decides nothing, and the drawing was taken at its real size."
    if nearest_factor(ratio, _UNIT_RATIOS) is not None:
        return (_finding("unit-by-dimensions", Severity.FIX, f"{shows}, as another unit would: {taken}"),)
    scale = 1.0 / ratio
    if not is_usual_scale(scale):
        return ()
    hint = f"If the dimension is right, run with --scale {plain_text(scale, 4)} (drawn size / real size)."
    return (_scale_finding(f"{shows}, as a drawing at {_scale_text(scale)} would: {taken}", hint),)


def _scale_finding(text: str, hint: str = "--scale K settles it (K = drawn size / real size).") -> Finding:
    return Finding("cleaning/scale", Severity.FIX, text, hint, unit="")


def _scale_text(scale: float) -> str:
    return f"{plain_text(scale, 3)}:1" if scale >= 1.0 else f"1:{plain_text(1.0 / scale, 3)}"


def _absurd(unit: UnitDecision, drawing: Drawing, options: DrawingOptions) -> tuple[Finding, ...]:
    """A stop for a size that no lathe turns, unless the unit was asked for."""
    size = size_of(drawing) * unit.mm_per_unit
    if options.units is not None or size == 0.0 or _ABSURD_MM[0] <= size <= _ABSURD_MM[1]:
        return ()
    text = f"The part would be {plain_text(size, 4)} mm in size; its unit can't be right."
    finding = _finding("unit-absurd", Severity.STOP, text)
    return (replace(finding, measured=size, limit=_ABSURD_MM[0 if size < _ABSURD_MM[0] else 1]),)


def _finding(code: str, severity: Severity, text: str) -> Finding:
    return Finding(f"cleaning/{code}", severity, text, _ASK)
