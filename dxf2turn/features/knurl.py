"""Knurls: notes such as `DIN 82 - RGE 0.8` or `diamond knurl 1.0`, over the cylinder they point at."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

from dxf2turn import tables
from dxf2turn.contour.model import Contour, located
from dxf2turn.features.callouts import Callout
from dxf2turn.features.designation import plain
from dxf2turn.features.inch_sizes import INCH
from dxf2turn.features.model import Feature, Knurl
from dxf2turn.features.near import feature_meant, nearest
from dxf2turn.features.outline import Outline
from dxf2turn.findings import Finding, Severity

_CODE = re.compile(  # the angle of the teeth may stand between letters and pitch
    r"(?<![A-Za-z])R(?P<form>AA|BL|BR|GE|GV|KE|KV)\s*-?\s*"
    r"(?:(?:30|45)\s*(?:\u00b0|%%[dD])?\s*[-x ]\s*)?(?P<pitch>\d*\.?\d+)"
)
_WORD = re.compile(r"\bKNURL|\bR\u00c4NDEL|\bRAENDEL|\bMOLET", re.I)
_PITCH = re.compile(r"(?:PITCH|P|KNURL\w*|t)\s*[=:]?\s*(?P<pitch>\d*\.\d+|\d)(?![\d/])", re.I)
_LAST = re.compile(r"KNURL\D*(?P<pitch>\d?\.\d+|\d)\s*(?:mm)?\s*$", re.I)
_PER_INCH = re.compile(r"(\d+)\s*TPI\b", re.I)
_DIAMETRAL = re.compile(r"(\d+)\s*(?:DP|DIAMETRAL\s*PITCH)\b", re.I)


def find_knurls(
    outline: Outline, features: tuple[Feature, ...], notes: tuple[Callout, ...], contour: Contour
) -> tuple[tuple[Knurl, ...], tuple[Finding, ...]]:
    """All knurls, and notes whose pitch or place is missing."""
    knurls: list[Knurl] = []
    findings: list[Finding] = []
    for callout, form, pitch in _asked(notes):
        cylinders = [f for f in features if f.kind == "cylinder"]
        meant = feature_meant(outline, cylinders, callout) or nearest(outline, cylinders, callout.places[0])
        if meant is None or pitch is None:
            findings.append(_incomplete(contour, callout, pitch is None))
        if meant is not None:
            knurls.append(_knurl(meant, form, pitch or 0.0, callout.raw))
    return tuple(knurls), tuple(findings)


def _asked(notes: tuple[Callout, ...]) -> Iterator[tuple[Callout, str, float | None]]:
    for callout in notes:
        text = plain(callout.raw)
        code = _CODE.search(text)
        if code:
            form = next(row["form"] for row in _rows("letters") if row["name"] == code["form"])
            yield callout, form, float(code["pitch"])
        elif _WORD.search(text):
            words = (row["form"] for row in _rows("word") if row["name"] in text.upper())
            yield callout, next(words, "straight"), _pitch(text)


def _pitch(text: str) -> float | None:
    per_inch = _PER_INCH.search(text)
    if per_inch:
        return INCH / float(per_inch[1])
    diametral = _DIAMETRAL.search(text)
    if diametral:
        return math.pi * INCH / float(diametral[1])  # teeth for an inch of diameter
    pitch = _PITCH.search(text) or _LAST.search(text)
    return float(pitch["pitch"]) if pitch else _of_grade(text)


def _of_grade(text: str) -> float | None:
    """COARSE, MEDIUM and FINE knurls, as pitch in mm."""
    named = (row for row in _rows("grade") if re.search(rf"\b{row['name']}\b", text, re.I))
    return next((INCH / row.number("teeth_per_inch") for row in named), None)


def _rows(kind: str) -> list[tables.Row]:
    return [row for row in tables.rows("knurls") if row["kind"] == kind]


def _knurl(on: Feature, form: str, pitch: float, text: str) -> Knurl:
    return Knurl(
        id="",
        side=on.side,
        z_front=on.z_front,
        z_back=on.z_back,
        r_small=on.r_small,
        r_large=on.r_large,
        segments=on.segments,
        note=text.strip(),
        form=form,
        pitch=pitch,
    )


def _incomplete(contour: Contour, callout: Callout, no_pitch: bool) -> Finding:
    place = callout.places[0]
    return Finding(
        code="features/knurl-incomplete",
        severity=Severity.FIX,
        text=f"{callout.raw.strip()!r}: " + ("no pitch is given" if no_pitch else "no cylinder to knurl"),
        hint="Write form and pitch, e.g. RGE 0.8, and point at the cylinder.",
        where=located(contour.frame, place.x, place.y, (callout.handle,) if callout.handle else ()),
    )
