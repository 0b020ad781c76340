"""Threads of families without a table: they are named in a finding, so that none is passed over in silence.

>>> foreign_threads("BSW 1/2 and MJ10x1.5"), foreign_threads("M10"), foreign_threads("KM8x20")
(('BSW 1/2', 'MJ10x1.5'), (), ())
"""

from __future__ import annotations

import re

from dxf2turn.contour.model import Contour, located
from dxf2turn.features.callouts import Callout
from dxf2turn.features.designation import plain
from dxf2turn.findings import Finding, Severity

_SIZE = r"(?:\d+\s*[-\s]\s*)?\d+\s*/\s*\d+|\d+(?:\.\d+)?"
_INCH_MARK = r"(?:\"|'')"
# Each pattern is a family that designers call out: aerospace, Whitworth, conduit, lamp caps, NPSM, stub Acme.
_FAMILIES = (
    r"MJ\s?\d+(?:\.\d+)?(?:\s*x\s*\d+(?:\.\d+)?)?",
    rf"(?:#\s*\d+|{_SIZE})\s*{_INCH_MARK}?\s*-\s*\d+\s*UNJ(?:C|F|EF|S)?",
    rf"(?:(?:{_SIZE})\s*{_INCH_MARK}?\s*(?:-\s*\d+\s*)?BS[WF]|BS[WF]\s*(?:{_SIZE}))",
    rf"W(?:\d+\s*[-\s]\s*)?\d+\s*/\s*\d+\s*{_INCH_MARK}?|W\s(?:\d+\s*[-\s]\s*)?\d+\s*/\s*\d+\s*{_INCH_MARK}",
    r"P[Gg]\s?\d+(?:\.\d+)?",
    r"E\s?(?:5|10|14|27|40)(?=\s*(?:DIN 40400|IEC))",
    rf"(?:{_SIZE})\s*{_INCH_MARK}?\s*(?:-\s*\d+(?:\.\d+)?\s*)?-?\s*NPS[MCFHL]?",
    rf"(?:{_SIZE})\s*{_INCH_MARK}?\s*-\s*\d+\s*STUB\s*ACME",
)
_ANY = re.compile(rf"(?<![A-Za-z0-9./#])(?:{'|'.join(_FAMILIES)})(?![A-Za-z0-9])")


def foreign_threads(text: str) -> tuple[str, ...]:
    """Designations of families that no table has, as they are written."""
    return tuple(match[0].strip() for match in _ANY.finditer(plain(text)))


def without_foreign(text: str) -> str:
    """The text with those designations blanked: `1/2-13 UNJC` is no unified thread."""
    return _ANY.sub(lambda match: " " * len(match[0]), plain(text))


def foreign_findings(contour: Contour, notes: tuple[Callout, ...]) -> tuple[Finding, ...]:
    """One finding for each such designation."""
    return tuple(
        _finding(contour, callout, name) for callout in notes for name in foreign_threads(callout.raw)
    )


def _finding(contour: Contour, callout: Callout, name: str) -> Finding:
    place = callout.places[0]
    return Finding(
        code="features/thread-family-unknown",
        severity=Severity.FIX,
        text=f"{name}: the tables have no thread of this family, so none is planned",
        hint="Cut it by its own drawing, or give a thread of a known family with --thread.",
        where=located(contour.frame, place.x, abs(place.y), (callout.handle,) if callout.handle else ()),
    )
