"""Findings of the second reading: what differs, what one reading lacks, why there was none."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.reading.second.compare import Comparison, Difference
from dxf2turn.reading.wording import counted

_NAMED = 5  # differences that are named one by one
_HANDLES_SHOWN = 12
_MEASURE = "Measure it in the CAD system before the part is made, or draw it again."


def second_findings(comparison: Comparison, name: str) -> Iterator[Finding]:
    """What a person should know about the second reading; nothing when both say the same."""
    account, pairs = comparison.account, comparison.pairs
    if account.reason:
        yield Finding(
            "reading/read-once",
            Severity.NOTE,
            f"{name} could not be read a second time to compare: {account.reason}.",
            "All numbers stand on this program's own reading; hold the main sizes against the drawing.",
        )
    yield from _differing(comparison.differences)
    if pairs.extra:
        shown = ", ".join(f"{kind} {handle}".strip() for kind, handle in pairs.extra[:_HANDLES_SHOWN])
        yield Finding(
            "reading/second-has-more",
            Severity.FIX,
            "A second reading by a DXF library finds "
            f"{counted(len(pairs.extra), 'entity', 'entities')} more: {shown}.",
            "Look whether the picture shows the whole part.",
            Location(handles=tuple(handle for _, handle in pairs.extra[:_HANDLES_SHOWN] if handle)),
        )
    if pairs.lacking:
        handles = tuple(record.handle for record in pairs.lacking if record.handle)[:_HANDLES_SHOWN]
        kinds = ", ".join(dict.fromkeys(record.kind for record in pairs.lacking))
        yield Finding(
            "reading/second-lacks",
            Severity.NOTE,
            f"A second reading by a DXF library has fewer entities than {name} ({kinds}); "
            f"{len(pairs.lacking)} that are read here could not be compared.",
            where=Location(handles=handles),
        )


def _differing(differences: Sequence[Difference]) -> Iterator[Finding]:
    for one in differences[:_NAMED]:
        origin = one.curve.origin
        yield Finding(
            "reading/second-differs",
            Severity.FIX,
            f"{origin.kind} {origin.handle} is read as {one.ours}; a second reading by a DXF library says "
            f"{one.theirs}.",
            _MEASURE,
            Location(one.curve.segments[0].start, handles=(origin.handle,), layer=origin.layer),
        )
    rest = differences[_NAMED:]
    if rest:
        handles = tuple(dict.fromkeys(one.curve.origin.handle for one in rest))[:_HANDLES_SHOWN]
        yield Finding(
            "reading/second-differs",
            Severity.FIX,
            f"{counted(len(rest), 'more curve differs', 'more curves differ')} between the two readings.",
            _MEASURE,
            Location(handles=handles),
        )
