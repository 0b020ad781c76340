"""Decide the drawing's unit: the option, else the header, else millimetres; always with the reason."""

from __future__ import annotations

from dxf2turn.cleaning.model import UnitDecision
from dxf2turn.findings import Finding, Severity
from dxf2turn.options import DrawingOptions
from dxf2turn.reading.model import Drawing
from dxf2turn.units import Unit

_INSUNITS = {1: Unit.INCH, 4: Unit.MM}


def decide_unit(drawing: Drawing, options: DrawingOptions) -> tuple[UnitDecision, tuple[Finding, ...]]:
    """The unit of the drawing and the findings about it."""
    scale = options.scale or 1.0
    if options.units is not None:
        return _decision(options.units, "option", scale, "as asked for"), ()
    unit = _INSUNITS.get(drawing.header.insunits or 0)
    if unit is not None:
        return _decision(unit, "header", scale, f"$INSUNITS is {drawing.header.insunits}"), ()
    unit = Unit.INCH if drawing.header.measurement == 0 else Unit.MM
    finding = Finding(
        "cleaning/unit-assumed",
        Severity.FIX,
        f"The drawing does not say its unit; {unit.value} was assumed.",
        "Check the sizes; --units mm or --units inch settles it.",
    )
    return _decision(unit, "assumed", scale, "the file does not say"), (finding,)


def _decision(unit: Unit, source: str, scale: float, why: str) -> UnitDecision:
    return UnitDecision(unit, source, unit.mm / scale, scale, why)
