"""Which space of the file holds the drawing: the model space, or a paper space when the model is empty."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dxf2turn.findings import Finding, Severity
from dxf2turn.reading.census import Outcome
from dxf2turn.reading.damage import Damage
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.file.structure import Structure

_MODEL, _PAPER = "*MODEL_SPACE", "*PAPER_SPACE"
_OLD = {"$MODEL_SPACE": _MODEL, "$PAPER_SPACE": _PAPER}  # names of R12 and R13
# Kinds that can make an outline; a space without them holds no drawing.
_DRAWING = frozenset(
    ("LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "ELLIPSE", "SPLINE", "INSERT", "HATCH", "3DLINE")
)


@dataclass(frozen=True, slots=True)
class Layout:
    """The records of the space that is read, and what became of those of the other spaces.

    in_paper: whether the space is a paper space.
    """

    records: tuple[Record, ...]
    outcomes: tuple[Outcome, ...] = ()
    findings: tuple[Finding, ...] = ()
    mended: tuple[str, ...] = ()
    in_paper: bool = False


def choose_layout(structure: Structure) -> Layout:
    """The model space; the first paper space that holds a drawing when the model space holds none."""
    model = [record for record in structure.entities if not _in_paper(record)]
    paper = [record for record in structure.entities if _in_paper(record)]
    stored = _stored_spaces(structure)
    model_block = stored.pop(_MODEL, ())
    from_block = not _draws(model) and _draws(model_block)
    papers: list[Sequence[Record]] = [paper, *stored.values()]
    if _draws(model) or from_block or not any(map(_draws, papers)):
        chosen_model = (*model, *model_block) if from_block else tuple(model)
        left = [] if from_block else _unused([model_block], "in the block of the model space")
        outcomes = (*left, *_unused(papers, "in the paper space"))
        return Layout(chosen_model, outcomes, mended=("model-block",) if from_block else ())
    chosen = next(records for records in papers if _draws(records))
    others = [model, model_block, *(records for records in papers if records is not chosen)]
    finding = Finding(
        "reading/paper-space",
        Severity.NOTE,
        "The model space is empty; the drawing is taken from the paper space.",
        "Check the scale: a paper space may be drawn smaller or larger than the part.",
    )
    return Layout(
        tuple(chosen), tuple(_unused(others, "in a space that is not read")), (finding,), in_paper=True
    )


def _in_paper(record: Record) -> bool:
    try:
        return record.integer(67) == 1
    except Damage:
        return False


def _draws(records: Sequence[Record]) -> bool:
    return any(record.kind in _DRAWING for record in records)


def _stored_spaces(structure: Structure) -> dict[str, tuple[Record, ...]]:
    """Entities that are stored in the blocks of the spaces instead of the ENTITIES section."""
    found = {}
    for name, block in structure.blocks.items():
        standard = _OLD.get(name, name)
        if standard.startswith((_MODEL, _PAPER)) and block.records:
            found[standard] = block.records
    return found


def _unused(spaces: Sequence[Sequence[Record]], reason: str) -> list[Outcome]:
    return [
        Outcome(one.start, reason)
        for records in spaces
        for record in records
        for one in (record, *record.children)
    ]
