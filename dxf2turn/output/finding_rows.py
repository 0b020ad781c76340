"""Findings and repairs for people: worst first, each with its place, worded once. All cells are text."""

from __future__ import annotations

from dataclasses import dataclass, replace

from dxf2turn.findings import Finding, Repair, Severity
from dxf2turn.output.restate import restated
from dxf2turn.output.wording import Wording, one_line
from dxf2turn.units import plain_text

MANY_PLACES = 8  # places that a shared row names
MANY = 3  # more repairs of one kind than this are named together


@dataclass(frozen=True, slots=True)
class FindingRow:
    severity: str
    code: str
    text: str
    place: str
    values: str
    hint: str


def finding_rows(findings: tuple[Finding, ...], wording: Wording) -> tuple[FindingRow, ...]:
    """Findings, worst first; equal severity stays in the order of the stages.

    Notes of one kind with the same hint share a row that names their places (the document has each).
    """
    kinds: dict[tuple[object, ...], list[Finding]] = {}
    for index, finding in enumerate(worst_first(findings)):
        alike = finding.severity is Severity.NOTE and finding.where.z is not None
        kinds.setdefault((finding.code, finding.hint) if alike else (index,), []).append(finding)
    return tuple(_shared_row(alike, wording) for alike in kinds.values())


def _shared_row(alike: list[Finding], w: Wording) -> FindingRow:
    row = _finding_row(alike[0], w)
    if len(alike) == 1:
        return row
    places = [f"X {w.x(f.where.r or 0.0)} Z {w.length(f.where.z or 0.0)}" for f in alike[1:]]
    more = f" and {len(places) - MANY_PLACES} more" if len(places) > MANY_PLACES else ""
    return replace(row, text=f"{row.text}; the same at {', '.join(places[:MANY_PLACES])}{more}")


def worst_first(findings: tuple[Finding, ...], most: int | None = None) -> tuple[Finding, ...]:
    """Findings by severity; at most `most` of them."""
    return tuple(sorted(findings, key=lambda finding: -finding.severity)[:most])


def _finding_row(finding: Finding, w: Wording) -> FindingRow:
    return FindingRow(
        severity=finding.severity.word,
        code=finding.code,
        text=restated(one_line(finding.text), w),
        place=place_words(finding, w),
        values=_values(finding, w),
        hint=restated(one_line(finding.hint), w),
    )


def place_words(finding: Finding, w: Wording) -> str:
    """Where a finding lies: on the part, in the drawing, by layer, handle and line; empty when unknown."""
    where, words = finding.where, []
    if where.z is not None and where.r is not None:
        words.append(f"X {w.x(where.r)} Z {w.length(where.z)}")
    elif where.z is not None:
        words.append(f"Z {w.length(where.z)}")
    if where.drawing_xy is not None:
        x, y = where.drawing_xy
        words.append(f"drawing ({plain_text(x, 4)}, {plain_text(y, 4)})")
    if where.layer:
        words.append(f"layer {one_line(where.layer)!r}")
    if where.handles:
        shown = ", ".join(one_line(handle) for handle in where.handles[:6])
        more = f" and {len(where.handles) - 6} more" if len(where.handles) > 6 else ""
        words.append(f"entity {shown}{more}")
    if where.line is not None:
        words.append(f"line {where.line}")
    return ", ".join(words)


def _values(finding: Finding, w: Wording) -> str:
    known = (("measured", finding.measured), ("limit", finding.limit))
    texts = [f"{name} {_value(value, finding.unit, w)}" for name, value in known if value is not None]
    return ", ".join(texts)


def _value(value: float, unit: str, w: Wording) -> str:
    if unit == "mm":
        return w.size(value)
    return f"{plain_text(value, 4)} {one_line(unit)}".rstrip()


def repair_rows(repairs: tuple[Repair, ...], w: Wording) -> tuple[str, ...]:
    """One line a repair; many of one kind share a line (the document names each)."""
    kinds: dict[str, list[Repair]] = {}
    for repair in repairs:
        kinds.setdefault(repair.code, []).append(repair)
    lines: list[str] = []
    for alike in kinds.values():
        if len(alike) <= MANY:
            lines += [repair_words(repair, w) for repair in alike]
            continue
        moved = max(repair.moved for repair in alike)
        most = f", moved at most {plain_text(moved / w.unit.mm, 6)} {w.unit_word}" if moved else ""
        lines.append(f"{len(alike)} times: {repair_words(alike[0], w)}{most}, and so on")
    return tuple(lines)


def repair_words(repair: Repair, w: Wording) -> str:
    """One line for a repair: what, how far, which entities, where."""
    words = [restated(one_line(repair.text).rstrip("."), w)]
    if repair.moved:
        words.append(f"moved {plain_text(repair.moved / w.unit.mm, 6)} {w.unit_word}")
    if repair.handles:
        words.append("entity " + ", ".join(one_line(handle) for handle in repair.handles[:6]))
    if repair.at is not None:
        words.append(f"drawing ({plain_text(repair.at.x, 4)}, {plain_text(repair.at.y, 4)})")
    return ", ".join(words)
