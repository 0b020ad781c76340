"""The tables of every document for people: rounded and worded once, here. All cells are text."""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.features.model import Feature
from dxf2turn.findings import Finding, Repair
from dxf2turn.geometry.segment import Arc
from dxf2turn.job import Job
from dxf2turn.output.feature_words import describe, extra_notes, general_roughness
from dxf2turn.output.travel import cut_range
from dxf2turn.output.wording import Wording, duration, one_line
from dxf2turn.planning.model import MoveKind, Setup, Step
from dxf2turn.units import plain_text


@dataclass(frozen=True, slots=True)
class StepRow:
    """One step. X is a diameter; lengths in the document's unit; empty where there is nothing to say."""

    setup: str
    no: str
    operation: str
    tool: str
    x_from: str
    x_to: str
    z_from: str
    z_to: str
    depth: str
    passes: str
    speed: str
    feed: str
    time: str
    features: str
    why: str


@dataclass(frozen=True, slots=True)
class FeatureRow:
    id: str
    kind: str
    side: str
    z_from: str
    z_to: str
    x_small: str
    x_large: str
    words: str
    notes: str


@dataclass(frozen=True, slots=True)
class CornerRow:
    """One piece of the contour that is cut: from, to, and the centre of an arc."""

    no: str
    x_from: str
    z_from: str
    x_to: str
    z_to: str
    radius: str
    x_centre: str
    z_centre: str
    features: str


@dataclass(frozen=True, slots=True)
class MeasureRow:
    what: str
    nominal: str
    lower: str
    upper: str
    target: str
    step: str
    correct: str


@dataclass(frozen=True, slots=True)
class FindingRow:
    severity: str
    code: str
    text: str
    place: str
    values: str
    hint: str


def step_rows(job: Job, wording: Wording) -> tuple[StepRow, ...]:
    """All steps of all setups, in order."""
    if job.plan is None:
        return ()
    return tuple(_step_row(setup, step, wording) for setup in job.plan.setups for step in setup.steps)


def _step_row(setup: Setup, step: Step, w: Wording) -> StepRow:
    reach = cut_range(step)
    x_from = z_from = x_to = z_to = ""
    if reach is not None:
        start, end = reach
        x_from, z_from, x_to, z_to = w.x(start.y), w.length(start.x), w.x(end.y), w.length(end.x)
    cuts = step.spindle is not None
    return StepRow(
        setup=str(setup.no),
        no=str(step.no),
        operation=step.operation,
        tool=step.tool.id if step.tool else "",
        x_from=x_from,
        x_to=x_to,
        z_from=z_from,
        z_to=z_to,
        depth=w.length(step.depth) if cuts else "",
        passes=str(step.passes) if cuts else "",
        speed=w.spindle(step.spindle),
        feed=_feed(step, w) if cuts else "",
        time=duration(step.cut_time_s + step.rapid_time_s) if cuts else "",
        features=" ".join(step.features),
        why=one_line(step.why),
    )


def _feed(step: Step, w: Wording) -> str:
    threads = [move.lead for move in step.moves if move.kind is MoveKind.THREAD and move.lead]
    if threads:
        return f"{w.feed(threads[0])} (lead)"
    return w.feed(step.feed)


def feature_rows(job: Job, wording: Wording) -> tuple[FeatureRow, ...]:
    """All recognised features, as drawn."""
    if job.part is None:
        return ()
    general = general_roughness(job.part.features)
    return tuple(_feature_row(feature, wording, general) for feature in job.part.features)


def _feature_row(feature: Feature, w: Wording, general_ra: float | None) -> FeatureRow:
    return FeatureRow(
        id=feature.id,
        kind=feature.kind.replace("_", " "),
        side=feature.side,
        z_from=w.length(feature.z_front),
        z_to=w.length(feature.z_back),
        x_small=w.x(feature.r_small),
        x_large=w.x(feature.r_large),
        words=describe(feature, w),
        notes=extra_notes(feature, general_ra),
    )


def corner_rows(job: Job, wording: Wording) -> tuple[CornerRow, ...]:
    """The contour that the plan cuts, piece by piece from the front; the run on the axis is left out."""
    if job.part is None:
        return ()
    owners: dict[int, list[str]] = {}
    for feature in job.part.features:
        for index in feature.segments:
            owners.setdefault(index, []).append(feature.id)
    target, w = job.part.target, wording
    rows: list[CornerRow] = []
    for index, (segment, role) in enumerate(zip(target.segments, target.roles)):
        if role == "axis":
            continue
        arc = segment if isinstance(segment, Arc) else None
        rows.append(
            CornerRow(
                no=str(len(rows) + 1),
                x_from=w.x(segment.start.y),
                z_from=w.length(segment.start.x),
                x_to=w.x(segment.end.y),
                z_to=w.length(segment.end.x),
                radius=w.length(arc.radius) if arc else "",
                x_centre=w.x(arc.centre.y) if arc else "",
                z_centre=w.length(arc.centre.x) if arc else "",
                features=" ".join(owners.get(index, ())),
            )
        )
    return tuple(rows)


def measure_rows(job: Job, wording: Wording) -> tuple[MeasureRow, ...]:
    """The measuring list of the first part."""
    if job.plan is None:
        return ()
    w = wording
    return tuple(
        MeasureRow(
            what=one_line(item.what),
            nominal=w.length(item.nominal),
            lower=w.length(item.lower),
            upper=w.length(item.upper),
            target=w.length(item.target),
            step=str(item.step),
            correct=one_line(item.correct),
        )
        for item in job.plan.measuring
    )


def finding_rows(findings: tuple[Finding, ...], wording: Wording) -> tuple[FindingRow, ...]:
    """Findings, worst first; equal severity stays in the order of the stages."""
    ordered = sorted(findings, key=lambda finding: -finding.severity)
    return tuple(_finding_row(finding, wording) for finding in ordered)


def _finding_row(finding: Finding, w: Wording) -> FindingRow:
    return FindingRow(
        severity=finding.severity.word,
        code=finding.code,
        text=one_line(finding.text),
        place=place_words(finding, w),
        values=_values(finding, w),
        hint=one_line(finding.hint),
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


MANY = 3  # more repairs of one kind than this are named together


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
        most = f", moved at most {plain_text(moved, 6)} mm" if moved else ""
        lines.append(f"{len(alike)} times: {repair_words(alike[0], w)}{most}, and so on")
    return tuple(lines)


def repair_words(repair: Repair, w: Wording) -> str:
    """One line for a repair: what, how far, which entities, where."""
    words = [one_line(repair.text)]
    if repair.moved:
        words.append(f"moved {plain_text(repair.moved, 6)} mm")
    if repair.handles:
        words.append("entity " + ", ".join(one_line(handle) for handle in repair.handles[:6]))
    if repair.at is not None:
        words.append(f"drawing ({plain_text(repair.at.x, 4)}, {plain_text(repair.at.y, 4)})")
    return ", ".join(words)
