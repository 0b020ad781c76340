"""Notes that name a taper, such as `MORSE TAPER No. 3` or `1:10`: held against the cone they speak of."""

from __future__ import annotations

import re
from collections.abc import Iterator

from dxf2turn import tables
from dxf2turn.contour.model import Contour, located
from dxf2turn.features.callouts import Callout
from dxf2turn.features.designation import find_designations, plain
from dxf2turn.features.model import Feature, Taper
from dxf2turn.features.near import feature_meant
from dxf2turn.features.outline import Outline
from dxf2turn.findings import Finding, Severity
from dxf2turn.units import plain_text

_MORSE = re.compile(
    r"\b(?:MORSE(?:\s*-?\s*(?:TAPER|KEGEL|CONE))?|MT|MK)\s*(?:No\.?\s*)?-?\s*(?P<size>[0-7])\b", re.I
)
_RATIO = re.compile(
    r"(?<![\d.:/])(?:(?P<one>1)\s*:|(?P<seven>7)\s*[:/](?=\s*24\b))\s*(?P<length>[1-9]\d*(?:\.\d+)?)(?![\d.:])"
)
_CONE = re.compile(r"TAPER|KEGEL|CONE|CONI|\u25b7|\u2332", re.I)
_SCALE = re.compile(r"SCALE|MA(?:SS|\u00df)STAB|\bM\s*\d+\s*:", re.I)
SAME = 0.01  # a drawn ratio within this share of the noted one follows the note


def noted_cones(
    outline: Outline, features: tuple[Feature, ...], notes: tuple[Callout, ...], contour: Contour
) -> tuple[Finding, ...]:
    """A finding for each note that names another taper than is drawn where it points."""
    found = []
    for callout, name, ratio in _named(notes):
        meant = feature_meant(outline, features, callout, ("taper",))
        if isinstance(meant, Taper) and (_off(meant, ratio) or _other_size(meant, name)):
            found.append(_contradiction(contour, callout, meant, (name, ratio)))
        elif meant is None and callout.tips:
            found.append(_not_drawn(contour, callout, name))
    return tuple(found)


def _named(notes: tuple[Callout, ...]) -> Iterator[tuple[Callout, str, float]]:
    """Notes with the taper that they name and its ratio on the diameter."""
    for callout in notes:
        if find_designations(callout.raw):
            continue  # a thread
        text = plain(callout.raw)
        morse, ratio = _MORSE.search(text), _RATIO.search(text)
        if morse is not None:
            name = f"MT{morse['size']}"
            row = next(row for row in tables.rows("tapers") if row["designation"] == name)
            yield callout, f"Morse {name}", row.number("taper_per_unit_length")
        elif ratio is not None and not _SCALE.search(text) and (callout.tips or _CONE.search(text)):
            yield callout, ratio[0].strip(), float(ratio["one"] or ratio["seven"]) / float(ratio["length"])


def _off(taper: Taper, ratio: float) -> bool:
    return abs(taper.ratio - ratio) > SAME * ratio


def _other_size(taper: Taper, name: str) -> bool:
    """Two Morse sizes have nearly the same ratio: then the size that the diameters tell decides."""
    standard = taper.standard or ""
    return name.startswith("Morse") and standard.startswith("Morse") and standard != name


def _not_drawn(contour: Contour, callout: Callout, name: str) -> Finding:
    place = callout.places[0]
    return Finding(
        code="features/taper-not-drawn",
        severity=Severity.FIX,
        text=f"{callout.raw.strip()!r}: no taper is drawn there; it is cut as drawn",
        hint=f"Draw the taper {name} into the outline, or correct the leader.",
        where=located(contour.frame, place.x, place.y, (callout.handle,) if callout.handle else ()),
    )


def _contradiction(contour: Contour, callout: Callout, taper: Taper, named: tuple[str, float]) -> Finding:
    name, ratio = named
    middle = 0.5 * (taper.z_front + taper.z_back)
    drawn = f"1:{plain_text(1.0 / taper.ratio)}" + (f" ({taper.standard})" if taper.standard else "")
    return Finding(
        code="features/taper-contradicts",
        severity=Severity.FIX,
        text=f"a note says {callout.raw.strip()!r}, the taper there is drawn {drawn}; it is cut as drawn",
        hint=f"Correct the note or the taper; {name} is 1:{plain_text(1.0 / ratio)}.",
        where=located(contour.frame, middle, taper.r_large, (callout.handle,) if callout.handle else ()),
        measured=taper.ratio,
        limit=ratio,
        unit="",
    )
