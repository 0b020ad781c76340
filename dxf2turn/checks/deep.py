"""What is deep for its width, a groove or a hole: said alike."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case
from dxf2turn.checks.words import named
from dxf2turn.features.model import Feature
from dxf2turn.findings import Finding, Severity
from dxf2turn.units import plain_text


def deep_for_its_width(
    case: Case, feature: Feature, ratio: float, rule: tuple[str, str], words: tuple[str, str, str]
) -> Iterator[Finding]:
    """A note above the easy ratio of depth to width, to fix above the possible one.

    rule: its id and the stem of its two thresholds. words: the finding's code, what stands behind the usual
    limit, and the hint.
    """
    name, stem = rule
    easy, possible = limit(name, f"{stem}_easy"), limit(name, f"{stem}_possible")
    if ratio <= easy.value:
        return
    code, behind, hint = words
    yield Finding(
        code=code,
        severity=Severity.FIX if ratio > possible.value else Severity.NOTE,
        text=f"{named(feature)} is {plain_text(ratio, 1)} times as deep as wide; up to"
        f" {plain_text(easy.value)} is easy, {plain_text(possible.value)} the usual limit{behind}",
        hint=hint,
        where=case.place_of(feature),
        measured=ratio,
        limit=easy.value,
        unit=stem.replace("_", " "),
        source=easy.source,
    )
