"""The recipe of the stage: a Drawing becomes pieces in mm that meet at their ends only.

Order: unit (everything after it is in mm), pieces by role, cut at meetings (on the drawn pieces, so that
corners are exact), doubles (only what is cut alike can be told to be double), ends joined last.
"""

from __future__ import annotations

from collections.abc import Sequence

from dxf2turn.cleaning.cuts import cut_pieces
from dxf2turn.cleaning.doubles import drop_doubles
from dxf2turn.cleaning.gaps import join_ends, with_common_ends
from dxf2turn.cleaning.hatching import hatch_lines
from dxf2turn.cleaning.model import CleanDrawing, Piece
from dxf2turn.cleaning.pieces import sort_pieces
from dxf2turn.cleaning.units import decide_unit
from dxf2turn.findings import Finding, Location, Repair, Severity
from dxf2turn.geometry.region import near_pairs
from dxf2turn.options import DrawingOptions, Tolerances
from dxf2turn.reading.model import Drawing

_ROUNDS = 4


def clean_drawing(drawing: Drawing, options: DrawingOptions) -> CleanDrawing:
    """Pieces in mm, cut at all meetings, joined within the gap tolerance, doubles removed."""
    unit, findings = decide_unit(drawing, options)
    sorted_pieces = sort_pieces(drawing.curves, unit.mm_per_unit, options)
    hatching = hatch_lines(sorted_pieces.outline, sorted_pieces.centres, options.tolerances)
    outline = [piece for index, piece in enumerate(sorted_pieces.outline) if index not in hatching]
    pieces, repairs = _cleaned(outline, options, unit.mm_per_unit)
    repairs = (*sorted_pieces.repairs, *repairs)
    return CleanDrawing(
        drawing,
        unit,
        tuple(pieces),
        sorted_pieces.centres,
        sorted_pieces.hatches,
        repairs,
        (*findings, *strict_findings(repairs, options)),
        tuple(sorted_pieces.outline[index].segment for index in sorted(hatching)),
    )


def _cleaned(
    pieces: Sequence[Piece], options: DrawingOptions, mm_per_unit: float
) -> tuple[list[Piece], tuple[Repair, ...]]:
    """Rounds of cutting and joining: an end that was moved may meet something new.

    Pieces that lie near no other one are passed over: on a full sheet they are the most.
    """
    left, alone = list(pieces), list[Piece]()
    repairs: list[Repair] = []
    for _ in range(_ROUNDS):
        pairs = near_pairs([p.segment for p in left], options.tolerances.gap).tolist() if left else []
        busy = sorted({index for pair in pairs for index in pair})
        place = {index: number for number, index in enumerate(busy)}
        alone.extend(piece for index, piece in enumerate(left) if index not in place)
        pairs = [(place[i], place[j]) for i, j in pairs]
        left, new = _round([left[index] for index in busy], pairs, options.tolerances, mm_per_unit)
        repairs.extend(new)
        if not new:
            break
    return [*left, *alone], tuple(repairs)


def _round(
    pieces: list[Piece], pairs: list[tuple[int, int]], tolerances: Tolerances, mm_per_unit: float
) -> tuple[list[Piece], list[Repair]]:
    cut = cut_pieces(with_common_ends(pieces, tolerances.same_point), pairs, tolerances)
    kept, doubled = drop_doubles(cut.pieces, tolerances, mm_per_unit)
    single = [cut.pieces[index] for index in kept]
    drawn = [cut.drawn[index] for index in kept]
    joined, repaired = join_ends(single, drawn, tolerances, mm_per_unit)
    return joined, [*doubled, *repaired]


def strict_findings(repairs: Sequence[Repair], options: DrawingOptions) -> tuple[Finding, ...]:
    """With `--strict` every repair is an error at its place."""
    if not options.strict:
        return ()
    return tuple(
        Finding(
            repair.code,
            Severity.STOP,
            repair.text,
            "Mend the drawing, or run without --strict.",
            Location(drawing_xy=repair.at, handles=repair.handles),
            measured=repair.moved,
        )
        for repair in repairs
    )
