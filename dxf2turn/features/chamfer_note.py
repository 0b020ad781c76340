"""Chamfer notes such as `1x45` with a degree sign: held against the chamfer they point at."""

from __future__ import annotations

import math

from dxf2turn.contour.model import Contour, located
from dxf2turn.features.callouts import Callout
from dxf2turn.features.model import Chamfer, Feature
from dxf2turn.features.near import feature_meant
from dxf2turn.features.outline import Outline
from dxf2turn.features.size_text import ChamferText, chamfers_in
from dxf2turn.findings import Finding, Severity
from dxf2turn.units import plain_text

ANGLE_OFF = 0.5  # degrees
LENGTH_OFF = 0.02  # mm


def chamfer_contradictions(
    outline: Outline,
    features: tuple[Feature, ...],
    notes: tuple[Callout, ...],
    about: tuple[Contour, float],
) -> tuple[Finding, ...]:
    """Findings for notes whose chamfer is drawn otherwise. about: the contour, mm per unit of its texts."""
    contour, unit = about
    found = []
    for callout in notes:
        asked = chamfers_in(callout.raw)
        meant = feature_meant(outline, features, callout, ("chamfer",)) if len(asked) == 1 else None
        if isinstance(meant, Chamfer) and not agrees(meant, asked[0], unit):
            found.append(_contradiction(contour, callout, meant))
    return tuple(found)


def agrees(chamfer: Chamfer, asked: ChamferText, unit: float) -> bool:
    """Whether a chamfer has the length and the angle of a note; the angle may count from either surface."""
    angle = math.degrees(chamfer.angle)
    along = (
        abs(asked.angle_deg - angle) <= ANGLE_OFF and abs(asked.length * unit - chamfer.axial) <= LENGTH_OFF
    )
    across = (
        abs(asked.angle_deg - (90.0 - angle)) <= ANGLE_OFF
        and abs(asked.length * unit - chamfer.radial) <= LENGTH_OFF
    )
    return along or across


def _contradiction(contour: Contour, callout: Callout, chamfer: Chamfer) -> Finding:
    drawn = f"{plain_text(chamfer.axial)} x {plain_text(math.degrees(chamfer.angle), 1)} degrees"
    return Finding(
        code="features/dimension-contradicts",
        severity=Severity.FIX,
        text=f"a note says {callout.raw.strip()!r}, the chamfer there is drawn {drawn}; the geometry is used",
        hint="Correct the note or the chamfer.",
        where=located(contour.frame, chamfer.z_front, chamfer.r_large, (callout.handle,)),
        measured=chamfer.axial,
    )
