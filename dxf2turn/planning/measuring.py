"""The measuring list of the first part: each toleranced size, the step that makes it, what to correct."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from dxf2turn.features.model import Feature, Limits, TurnedPart
from dxf2turn.planning.fits import carrier
from dxf2turn.planning.model import Measurement, Setup, Step
from dxf2turn.units import plain_text

ON_PLANE = 0.05  # a feature ends at a plane when it comes as close as this, mm
ROUGH = ("rough turn", "bore", "centre drill", "flip", "measure")  # these leave no finished surface


@dataclass(frozen=True, slots=True)
class Made:
    """A step that makes a surface, and the setup it belongs to."""

    setup: Setup
    step: Step


def measuring_list(part: TurnedPart, setups: Sequence[Setup]) -> tuple[Measurement, ...]:
    """One line for each size with limits of its own, in the order of the steps that make them."""
    lines = (_line(part, limits, setups) for limits in part.limits if limits.text)
    return tuple(sorted((line for line in lines if line is not None), key=lambda line: line.step))


def _line(part: TurnedPart, limits: Limits, setups: Sequence[Setup]) -> Measurement | None:
    """The line of one size; None when no step makes it."""
    made, correct = (_diameter if limits.what == "diameter" else _length)(part, limits, setups)
    if made is None:
        return None
    return Measurement(
        what=f"{limits.what}, Z {plain_text(limits.z_front)} to {plain_text(limits.z_back)}: {limits.text}",
        nominal=limits.nominal,
        lower=limits.nominal + limits.lower,
        upper=limits.nominal + limits.upper,
        target=limits.middle,
        step=made.step.no,
        correct=correct,
    )


def _diameter(part: TurnedPart, limits: Limits, setups: Sequence[Setup]) -> tuple[Made | None, str]:
    """The step that finishes a diameter, and how it is corrected: the same rule outside and inside."""
    feature = carrier(part.features, limits, (limits.z_back, limits.z_front)) or _floor(part, limits)
    made = None if feature is None else _after_its_stop(setups, feature) or _last(setups, [feature])
    if made is None:
        return None, ""
    assert made.step.tool is not None
    return made, f"{made.step.tool.id}: X offset plus (target minus measured); too large: X smaller"


def _floor(part: TurnedPart, limits: Limits) -> Feature | None:
    """The groove whose floor has this diameter, where it is no cylinder's or bore's."""
    radius, middle = 0.5 * limits.nominal, 0.5 * (limits.z_front + limits.z_back)
    grooves = (f for f in part.features if f.kind == "groove" and f.z_back <= middle <= f.z_front)
    near = (f for f in grooves if min(abs(radius - f.r_small), abs(radius - f.r_large)) < ON_PLANE)
    return next(near, None)


def _length(part: TurnedPart, limits: Limits, setups: Sequence[Setup]) -> tuple[Made | None, str]:
    """The later of the two steps that make the ends of a length, and how it is corrected."""
    ends = [
        (made, z)
        for z in (limits.z_front, limits.z_back)
        if (made := _last(setups, _square_to(part, z))) is not None
    ]
    if not ends:
        return None, ""
    made, plane = max(ends, key=lambda end: end[0].step.no)
    together = len(ends) == 2 and len({(m.setup.no, m.step.tool and m.step.tool.id) for m, _ in ends}) == 1
    return made, _with_both(made, plane) if together else _in_z(made, plane, limits)


def _finishing(setups: Sequence[Setup]) -> Iterator[Made]:
    for setup in setups:
        for step in setup.steps:
            if step.operation not in ROUGH and step.tool is not None:
                yield Made(setup, step)


def _last(setups: Sequence[Setup], features: Sequence[Feature]) -> Made | None:
    """The last step that finishes one of these features."""
    ids = {feature.id for feature in features}
    return next((m for m in reversed(list(_finishing(setups))) if ids & set(m.step.features)), None)


def _after_its_stop(setups: Sequence[Setup], feature: Feature) -> Made | None:
    """The step that finishes a feature right after it was measured; its ends may be cleared later."""
    stopped = False
    for setup in setups:
        for step in setup.steps:
            if feature.id not in step.features:
                continue
            if stopped and step.operation not in ROUGH:
                return Made(setup, step)
            stopped = step.operation == "measure"
    return None


def _square_to(part: TurnedPart, z: float) -> list[Feature]:
    """The faces that lie in a plane; where there is none, whatever ends there."""
    faces = [f for f in part.features if f.kind == "face" and abs(f.z_front - z) < ON_PLANE]
    return faces or [
        f
        for f in part.features
        if f.kind not in ("thread", "knurl") and min(abs(f.z_front - z), abs(f.z_back - z)) < ON_PLANE
    ]


def _in_z(made: Made, plane: float, limits: Limits) -> str:
    """A length is corrected in Z: too long, the end nearer to the chuck has to stay further out."""
    assert made.step.tool is not None
    other = limits.z_back if plane == limits.z_front else limits.z_front
    behind = (plane < other) != made.setup.flipped
    return (
        f"{made.step.tool.id}: Z offset {'plus' if behind else 'minus'} (measured minus target); "
        f"too long: Z {'larger' if behind else 'smaller'}"
    )


def _with_both(made: Made, plane: float) -> str:
    """One tool makes both ends in one setup: its offset moves them together, the length stays."""
    tool = made.step.tool
    assert tool is not None
    if tool.width is not None:
        return f"{tool.id} cuts both ends, no offset changes it; too long: its blade is wider than stated"
    return (
        f"{tool.id} cuts both ends, no offset changes it; "
        f"too long: shift the end at Z {plain_text(plane)} in the program"
    )
