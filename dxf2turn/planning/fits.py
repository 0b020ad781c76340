"""Sizes that are measured before they are finished: fits of IT8 and finer that a setup turns or bores."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from dxf2turn.features.model import Feature, Limits
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.planning.bench import Bench
from dxf2turn.planning.model import Move, Step
from dxf2turn.units import plain_text

BESIDE = 0.5  # the cut goes so far beyond the fit, mm
NEAR = 0.3  # a size belongs to a feature when its radius is as close as this, mm
ROUND = 0.01  # mm


@dataclass(frozen=True, slots=True)
class Fit:
    """A toleranced diameter in setup coordinates, with the feature that carries it."""

    limits: Limits
    feature: Feature
    low: float
    high: float

    @property
    def text(self) -> str:
        """The size as it is to come out, for people."""
        return f"{self.limits.text or plain_text(self.limits.nominal)} (target {self.limits.middle:.3f} mm)"


def fits_here(bench: Bench, side: str) -> tuple[Fit, ...]:
    """The fine fits of a side ("outside" or "inside") that this setup finishes, from front to back."""
    part = bench.clamping.part
    lowest = bench.clamping.outside_to if side == "outside" else bench.clamping.lowest_inside
    finest = bench.cell.practice.turning.measured_grade
    found = []
    for limits in bench.limits:
        if limits.what != "diameter" or limits.grade is None or limits.grade > finest:
            continue
        low, high = sorted((part.z_here(limits.z_front), part.z_here(limits.z_back)))
        feature = carrier(part.features, limits, (low, high))
        if feature is None or feature.side != side or low < lowest - ROUND or feature.id in bench.finished:
            continue
        found.append(Fit(limits, feature, low - BESIDE, high + BESIDE))
    return tuple(sorted(found, key=lambda fit: -fit.high))


def carrier(features: tuple[Feature, ...], limits: Limits, span: tuple[float, float]) -> Feature | None:
    """The cylinder, bore or hole that a toleranced diameter is the size of."""
    fitting = [
        f
        for f in features
        if f.kind in ("cylinder", "bore", "hole")
        and abs(0.5 * limits.nominal - f.r_large) < NEAR
        and min(f.z_front, span[1]) - max(f.z_back, span[0]) > 0.0
    ]
    return max(fitting, key=lambda f: min(f.z_front, span[1]) - max(f.z_back, span[0]), default=None)


def measuring_step(fits: tuple[Fit, ...], left: float) -> Step:
    """The stop before the finishing cut: measure, then correct the tool that finishes.

    left: on the radius by the cut before, mm.
    """
    what = "; ".join(
        f"{fit.text} now {'+' if fit.feature.side == 'outside' else '-'}{2 * left:g}" for fit in fits
    )
    return Step(
        no=0,
        operation="measure",
        tool=None,
        side=fits[0].feature.side,
        spindle=None,
        feed=0.0,
        depth=0.0,
        passes=0,
        features=tuple(fit.feature.id for fit in fits),
        why=f"measure {what}; correct X of the tool by the difference, then finish (IT8 or finer)",
    )


def semi_finished(step: Step, fits: tuple[Fit, ...], left: float) -> Step:
    """A finishing step as the cut before the stop, which leaves so much on the radius, mm."""
    ids = tuple(fit.feature.id for fit in fits)
    why = f"leaves {plain_text(left)} mm on the radius, so that the fit can be measured; {step.why}"
    return replace(step, features=ids, depth=max(0.0, step.depth - left), why=why)


def cut_nearly(
    fits: tuple[Fit, ...], left: float, moves_of: Callable[[Fit], tuple[Move, ...]]
) -> tuple[tuple[Fit, ...], tuple[Move, ...]]:
    """The fits that a cut gets to but for `left`, and its trips as one; behind a collar, say, it does not."""
    cuts = [(fit, moves) for fit in fits if _reaches(moves := moves_of(fit), fit, left)]
    return tuple(fit for fit, _ in cuts), trips(moves for _, moves in cuts)


def _reaches(moves: tuple[Move, ...], fit: Fit, left: float) -> bool:
    level = 0.5 * fit.limits.middle
    return any(move.feed is not None and abs(move.r - level) <= left + ROUND for move in moves)


def not_measured(bench: Bench, side: str, ids: tuple[str, ...]) -> Iterator[Finding]:
    """Fine fits among features that a blade finishes in one go, with no cut before it to be measured."""
    for fit in fits_here(bench, side):
        if fit.feature.id in ids:
            yield Finding(
                code="planning/fit-not-measured",
                severity=Severity.FIX,
                text=f"{fit.text} is cut to size by a blade, without a stop to measure it before",
                hint="measure the first part there and correct the blade, or finish it turned end for end",
                where=Location(z=0.5 * (fit.limits.z_front + fit.limits.z_back), r=fit.limits.r),
                source="rule of the plan: fits of IT8 and finer are measured before the last cut",
            )


def trips(several: Iterable[tuple[Move, ...]]) -> tuple[Move, ...]:
    """Several trips from the tool change and back as one; empty ones are left out."""
    moves: tuple[Move, ...] = ()
    for trip in several:
        moves += trip[1:] if moves else trip
    return moves
