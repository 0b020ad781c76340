"""The tables of every document for people: rounded and worded once, here. All cells are text."""

from __future__ import annotations

from dataclasses import dataclass, replace

from dxf2turn.features.model import Feature, Limits
from dxf2turn.geometry.segment import Arc
from dxf2turn.job import Job
from dxf2turn.output.feature_limits import limits_of
from dxf2turn.output.feature_words import describe, extra_notes, general_roughness
from dxf2turn.output.travel import cut_range
from dxf2turn.output.wording import Wording, duration, one_line
from dxf2turn.planning.model import MoveKind, Setup, Step


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
    limits: str = ""


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
    part, general = job.part, general_roughness(job.part.features)
    return tuple(
        replace(_feature_row(feature, wording, general), limits=limits_of(part, feature, wording))
        for feature in part.features
    )


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
    """The measuring list of the first part; the toleranced sizes of the drawing where the plan has none."""
    if job.plan is None or job.part is None:
        return ()
    w = wording
    if not job.plan.measuring:
        return tuple(_limit_row(limits, w) for limits in job.part.limits if limits.text)
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


def _limit_row(limits: Limits, w: Wording) -> MeasureRow:
    """A size with limits that no step of the plan is tied to."""
    place = f"Z {w.short(limits.z_front)} to {w.short(limits.z_back)}"
    return MeasureRow(
        what=f"{limits.what}, {place}: {one_line(limits.text)}",
        nominal=w.length(limits.nominal),
        lower=w.length(limits.nominal + limits.lower),
        upper=w.length(limits.nominal + limits.upper),
        target=w.length(limits.middle),
        step="",
        correct="",
    )
