"""What there is to say about written sizes: contradictions, unknown classes, over-toleranced chains."""

from __future__ import annotations

from dataclasses import replace

from dxf2turn.contour.model import Contour, located
from dxf2turn.features.callouts import LENGTHS, Callout, measured_mm
from dxf2turn.features.model import Limits
from dxf2turn.features.size_text import SizeText
from dxf2turn.findings import Finding, Severity
from dxf2turn.reading.model import DimensionKind
from dxf2turn.units import plain_text

DRAWN_WELL = 0.05  # mm: a drawing is this exact at least (the finest general tolerance of ISO 2768-1)


def contradiction(
    contour: Contour, callout: Callout, text: SizeText, unit_and_gap: tuple[float, float]
) -> list[Finding]:
    """A finding when the number a drafter wrote over a dimension is not what the dimension measures."""
    unit, gap = unit_and_gap
    dimension = callout.dimension
    if dimension is not None and dimension.kind is DimensionKind.ANGULAR:
        return _angle_contradiction(contour, callout, text)
    if dimension is None or dimension.shown is None or dimension.kind not in LENGTHS or len(callout.ends) < 2:
        return []
    drawn, shown = measured_mm(callout), dimension.shown * unit
    if text.sign == "d" and abs(2.0 * drawn - shown) < abs(drawn - shown):
        drawn *= 2.0  # a diameter dimensioned from the axis in a half view
    spread = max(abs(text.upper or 0.0), abs(text.lower or 0.0)) * unit
    rounding = 0.5 * unit * 10.0**-text.decimals if text.decimals else 0.0
    if abs(drawn - shown) <= max(rounding, DRAWN_WELL) + spread + gap:
        return []
    found = _contradicts(contour, callout, (drawn, shown), f"the drawing measures {plain_text(drawn)} mm")
    return [replace(found, text=f"a dimension says {found.text}")]


def _angle_contradiction(contour: Contour, callout: Callout, text: SizeText) -> list[Finding]:
    """The same for an angular dimension, degrees."""
    dimension = callout.dimension
    if dimension is None or dimension.shown is None or not callout.ends:
        return []
    rounding = 0.5 * 10.0**-text.decimals
    if abs(dimension.measured - dimension.shown) <= rounding:
        return []
    measured = f"the drawing measures {plain_text(dimension.measured, 2)} degrees"
    found = _contradicts(contour, callout, (dimension.measured, dimension.shown), measured)
    return [replace(found, text=f"an angle says {found.text}", unit="degrees")]


def _contradicts(contour: Contour, callout: Callout, values: tuple[float, float], measured: str) -> Finding:
    """values: what is drawn and what is written."""
    place = callout.ends[0]
    return Finding(
        code="features/dimension-contradicts",
        severity=Severity.FIX,
        text=f"{callout.raw.strip()!r}, {measured} there; the geometry is used",
        hint="Correct the dimension's text or the geometry.",
        where=located(contour.frame, place.x, abs(place.y), (callout.handle,)),
        measured=values[0],
        limit=values[1],
    )


def unknown_class(contour: Contour, callout: Callout, name: str, drawn: float) -> Finding:
    """A class that the ISO 286 tables do not have at this size."""
    place = callout.places[0]
    return Finding(
        code="features/class-unknown",
        severity=Severity.FIX,
        text=f"{callout.raw.strip()!r}: the tables have no class {name} at this size; "
        "the nominal size is used",
        hint="Write the deviations beside the size.",
        where=located(contour.frame, place.x, abs(place.y), (callout.handle,)),
        measured=drawn,
    )


def class_of_other_side(contour: Contour, callout: Callout, limits: Limits | None) -> Finding:
    """A class of holes on an outside diameter, or one of shafts in a bore: likely a slip of the keys."""
    place = callout.places[0]
    name = (limits.source if limits is not None else "").partition(",")[0]
    kinds = ("holes", "an outside diameter") if name[:1].isupper() else ("shafts", "a bore")
    return Finding(
        code="features/class-of-other-side",
        severity=Severity.FIX,
        text=f"{callout.raw.strip()!r}: {name} is a class of {kinds[0]} on {kinds[1]}; "
        "it is taken as written",
        hint=f"Write {name.swapcase()} if that is meant.",
        where=located(contour.frame, place.x, abs(place.y), (callout.handle,)),
    )


def excluded(contour: Contour, limits: Limits, off: float) -> Finding:
    """A toleranced size that contradicts others that were taken first."""
    return Finding(
        code="features/over-toleranced",
        severity=Severity.FIX,
        text=f"{limits.text.strip()!r}: the middle of these limits can't be kept together with finer sizes; "
        f"it is off by {plain_text(off)} mm",
        hint="Take one of the toleranced sizes of this chain out.",
        where=located(contour.frame, limits.z_front, limits.r, (limits.handle,) if limits.handle else ()),
        measured=abs(off),
        limit=0.5 * (limits.upper - limits.lower),
    )


def impossible(contour: Contour, place: tuple[float, float]) -> Finding:
    """The middle of the limits would fold the contour: it is cut as drawn."""
    return Finding(
        code="features/target-impossible",
        severity=Severity.FIX,
        text="the middle of all limits would make a piece of the contour vanish or cross another; "
        "the contour is cut as drawn",
        hint="Check the toleranced sizes against the drawing.",
        where=located(contour.frame, *place),
    )
