"""Variant: one whole way to make the part, with what it leaves and how long it takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from dxf2turn.findings import Finding, Location, Severity, stops
from dxf2turn.planning.bench import Bench
from dxf2turn.planning.chains import strain
from dxf2turn.planning.leftover import LIMIT, left_areas, thread_over
from dxf2turn.planning.model import Times
from dxf2turn.planning.rest import is_corner, thickness
from dxf2turn.planning.stock import Stock
from dxf2turn.planning.times import tool_changes

SHORT_GRIP = "planning/short-grip"
MISSING = 1000.0  # a feature that is not made counts as so much left-over, mm2


@dataclass(frozen=True, slots=True)
class Variant:
    """One whole way to make the part."""

    name: str
    stock: Stock
    benches: tuple[Bench, ...]
    left: float  # area that nothing cut, rounds of the nose in sharp corners not counted, mm2
    times: Times

    @property
    def is_left(self) -> bool:
        """Whether more than the round of a nose in sharp corners stays."""
        return self.left > 0.0

    @property
    def is_supported(self) -> bool:
        """Whether tailstock or steady help somewhere."""
        return any(bench.clamping.support != "none" for bench in self.benches)

    @property
    def strain(self) -> int:
        """0 when every setup holds by the rule, 1 when some light work stands out too far, else 2."""
        return max(strain(bench.clamping) for bench in self.benches)

    @property
    def is_weak(self) -> bool:
        """Whether a setup holds so short a length that another way to hold goes before it."""
        return any(map(_is_weak, self.benches))

    @property
    def is_firm(self) -> bool:
        """Whether the part becomes whole, and is held well enough not to look any further."""
        return not self.stopped and not round(self.left) and not self.is_weak

    @property
    def stopped(self) -> bool:
        return any(stops(bench.findings) for bench in self.benches)

    @property
    def rank(self) -> tuple[bool, int, int, bool, float, float]:
        """Whole before what leaves much, held safely before what stands out too far, on enough length, then
        the quickest."""
        left, total = self.left, self.times.total_s
        return (self.stopped, round(left), self.strain, self.is_weak, round(left, 1), total)

    @property
    def is_parted(self) -> bool:
        """Whether it comes off the bar with a blade; a blank is sawn before."""
        return any(bench.clamping.parting is not None for bench in self.benches)

    @property
    def starts_at_back(self) -> bool:
        """Whether the back end is turned first."""
        return self.benches[0].clamping.part.flipped

    @property
    def source(self) -> str:
        """The stock, for people."""
        return self.stock.name if self.is_parted else f"blank of {self.stock.name}"


def _is_weak(bench: Bench) -> bool:
    """Whether the grip is far shorter than the rule, and more stands out of it than it holds."""
    good, out = bench.cell.practice.holding.good_hold, -bench.clamping.jaw_face
    short = (f for f in bench.clamping.findings if f.code == SHORT_GRIP and f.measured and f.limit)
    return any(f.measured < min(good * f.limit, out) for f in short)


def variant_of(name: str, stock: Stock, benches: tuple[Bench, ...]) -> Variant:
    """The way that these benches are."""
    part = benches[-1].clamping.part
    areas = (area for area in left_areas(benches[-1]) if thickness(area) > LIMIT)
    real = (a for a in areas if not is_corner(part.segments, a) and thread_over(part.features, a) is None)
    left = sum(a.area for a in real) + MISSING * len(tuple(not_made(benches)))
    return Variant(name, stock, benches, left, _times(benches))


def not_made(benches: Sequence[Bench]) -> Iterator[Finding]:
    """A finding for each thread and knurl that no step makes, with the reason where one is known."""
    last = benches[-1]
    reasons = {id: seen_from_part(bench, finding) for bench in benches for id, finding in bench.failures}
    for feature in last.clamping.part.features:
        if feature.kind not in ("thread", "knurl") or feature.id in last.made:
            continue
        z, r = last.clamping.part.z_here(0.5 * (feature.z_front + feature.z_back)), feature.r_large
        yield reasons.get(feature.id) or Finding(
            code="planning/not-made",
            severity=Severity.STOP,
            text=f"no step makes the {feature.kind} {feature.id}: no tool gets to it in any setup",
            hint="clamp the part so that the side with the feature is free, or leave it for another machine",
            where=Location(z=z, r=r),
        )


def seen_from_part(bench: Bench, finding: Finding) -> Finding:
    """A finding of a setup with its place on the part."""
    where = finding.where
    if where.z is None:
        return finding
    return replace(finding, where=replace(where, z=bench.clamping.part.z_here(where.z)))


def _times(benches: tuple[Bench, ...]) -> Times:
    machine = benches[0].cell.machine
    steps = [step for bench in benches for step in bench.steps]
    cut = sum(step.cut_time_s for step in steps)
    rapid = sum(step.rapid_time_s for step in steps)
    change = tool_changes(steps) * machine.tool_change_s + sum(bench.clamping.prepare_s for bench in benches)
    bound = sum(bench.bound_s for bench in benches)
    return Times(cut_s=cut, rapid_s=rapid, tool_change_s=change, total_s=cut + rapid + change, bound_s=bound)
