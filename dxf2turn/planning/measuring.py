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
    if limits.what == "diameter":
        feature = carrier(part.features, limits, (limits.z_back, limits.z_front))
        made = _last(setups, [feature]) if feature is not None else None
        correct = _in_x(made) if made is not None else ""
    else:
        made, plane = _later_plane(part, limits, setups)
        correct = _in_z(made, plane, limits) if made is not None else ""
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


def _finishing(setups: Sequence[Setup]) -> Iterator[Made]:
    for setup in setups:
        for step in setup.steps:
            if step.operation not in ROUGH and step.tool is not None:
                yield Made(setup, step)


def _last(setups: Sequence[Setup], features: Sequence[Feature]) -> Made | None:
    """The last step that finishes one of these features."""
    ids = {feature.id for feature in features}
    return next((m for m in reversed(list(_finishing(setups))) if ids & set(m.step.features)), None)


def _in_x(made: Made) -> str:
    """A diameter is corrected in X: the same rule outside and inside."""
    assert made.step.tool is not None
    return f"{made.step.tool.id}: X offset plus (target minus measured); too large: X smaller"


def _later_plane(part: TurnedPart, limits: Limits, setups: Sequence[Setup]) -> tuple[Made | None, float]:
    """The later of the two steps that make the ends of a length, with its plane."""
    ends = [
        (made, z)
        for z in (limits.z_front, limits.z_back)
        if (made := _last(setups, _square_to(part, z))) is not None
    ]
    return max(ends, key=lambda end: end[0].step.no, default=(None, 0.0))


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
