"""Notes that name a groove standard, such as `DIN 471 - 25x1.2`: held against the geometry."""

from __future__ import annotations

import re

from dxf2turn.contour.model import Contour, located
from dxf2turn.features.callouts import Callout
from dxf2turn.features.designation import plain
from dxf2turn.features.model import Feature, Groove
from dxf2turn.features.near import feature_meant
from dxf2turn.features.outline import Outline
from dxf2turn.findings import Finding, Severity
from dxf2turn.units import plain_text

_NOTE = re.compile(
    r"\bDIN\s*(?P<standard>471|472|509|76)\b(?:-1)?\s*[-:]?\s*(?P<size>[A-Z]?\s*[\d.]*(?:\s*x\s*[\d.]+)?)"
)


def noted_standards(
    outline: Outline, features: tuple[Feature, ...], notes: tuple[Callout, ...], contour: Contour
) -> tuple[Finding, ...]:
    """A finding for each named standard that no groove beside the note follows."""
    found = []
    for callout in notes:
        match = _NOTE.search(plain(callout.raw))
        if match is None or not callout.tips:
            continue
        meant = feature_meant(outline, features, callout, ("groove",))
        if not isinstance(meant, Groove):
            found.append(_not_drawn(contour, callout, match["standard"]))
        elif not _follows(meant, match):
            found.append(_drawn_otherwise(contour, callout, meant, match["standard"]))
    return tuple(found)


def _follows(groove: Groove, match: re.Match[str]) -> bool:
    """Whether the groove has the standard, and the size if the note gives one."""
    standard = groove.standard or ""
    if f"DIN {match['standard']}" not in standard:
        return False
    wanted = re.sub(r"\s", "", match["size"])
    sized = match["standard"] != "76" and "x" in wanted
    return not sized or wanted in re.sub(r"\s", "", standard)


def _not_drawn(contour: Contour, callout: Callout, standard: str) -> Finding:
    place = callout.places[0]
    return Finding(
        code="features/groove-not-drawn",
        severity=Severity.FIX,
        text=f"{callout.raw.strip()!r}: no groove is drawn there, so none is planned",
        hint=f"Draw the groove of DIN {standard} into the outline.",
        where=located(contour.frame, place.x, place.y, (callout.handle,) if callout.handle else ()),
    )


def _drawn_otherwise(contour: Contour, callout: Callout, groove: Groove, standard: str) -> Finding:
    middle = 0.5 * (groove.z_front + groove.z_back)
    drawn = groove.standard
    if drawn is None:
        sizes = f"{plain_text(groove.width, 2)} mm wide, its floor {plain_text(2.0 * groove.floor_radius)} mm"
        drawn = f"{sizes}; that is not DIN {standard}"
    return Finding(
        code="features/groove-contradicts",
        severity=Severity.FIX,
        text=f"{callout.raw.strip()!r}: the groove there is {drawn}; it is cut as drawn",
        hint="Correct the note or the groove.",
        where=located(contour.frame, middle, groove.r_large, (callout.handle,) if callout.handle else ()),
        measured=groove.width,
    )
