"""The material that a drawing names."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from dxf2turn import tables
from dxf2turn.features.callouts import Callout
from dxf2turn.features.size_text import size_in

_LABEL = re.compile(
    r"\b(?:MATERIAL|MATL?\.?|WERKSTOFF|MAT[E\u00c9]RIAU|MATERIALE)\s*[:=]?\s*(?P<name>\S[^\n;]*)", re.I
)
_NUMBER = re.compile(r"(?<![\d.])[1-3]\.\d{4}(?!\d)")
_METAL = re.compile(
    r"\b(?:STEEL|STAINLESS|SS|AISI|SAE|UNS|ALUMINI?UM|ALU|BRASS|BRONZE|MATERIAL|MATL?)\b", re.I
)


def material_in(notes: tuple[Callout, ...]) -> str | None:
    """The material named by a note, spelled as the materials table spells it; None when no note names one.

    A known name counts wherever it stands, behind a label such as "Material:" before all others; an unknown
    one only behind a label.
    """
    labels = [match["name"].strip() for c in notes if (match := _LABEL.search(c.raw))]
    for text in (*labels, *(callout.raw for callout in notes)):
        known = known_material(text)
        if known is not None:
            return known
    return labels[0] if labels else next(_numbers(notes), None)


def _numbers(notes: tuple[Callout, ...]) -> Iterator[str]:
    """Material numbers that stand for themselves; `1.2500 +.0005` is a size."""
    for callout in notes:
        number, size = _NUMBER.search(callout.raw), size_in(callout.raw)
        is_size = size is not None and (size.toleranced or size.sign) or callout.source == "dimension"
        if number is not None and not is_size:
            yield number[0]


def known_material(text: str) -> str | None:
    """The longest name of the materials table that stands in a text.

    >>> known_material("42CrMo4   ISO 2768-m"), known_material("4140"), known_material("PART NO 4140-7")
    ('42CrMo4', 'AISI 4140', None)
    """
    best: tuple[int, str] | None = None
    for name in _names():
        core = re.sub(r"^(?:AISI|SAE|UNS|ASTM)\s+", "", name)
        if not _stands_in(core, text) and not _stands_in(name, text):
            continue
        if core.isdigit() and not _METAL.search(text) and text.strip() != core:
            continue  # a bare number is a steel only when nothing else is said or a metal is named beside it
        if best is None or len(core) > best[0]:
            best = (len(core), name)
    return best[1] if best else None


def _stands_in(name: str, text: str) -> bool:
    pattern = re.escape(name).replace(r"\ ", r"[\s-]*").replace(r"\-", r"[\s-]*")
    return re.search(rf"(?<![A-Za-z0-9.]){pattern}(?![A-Za-z0-9])", text, re.I) is not None


@cache
def _names() -> tuple[str, ...]:
    materials = tables.document("materials").get("material", [])
    return tuple(
        name for entry in materials for name in (entry["name"], *entry.get("also", ())) if len(name) > 2
    )
