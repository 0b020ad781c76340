"""Single-point threading: passes of equal chip area along one flank, the last ones straight in.

Facts and their standing: flank infeed at half a degree less than the half angle and straight last passes
are published practice, equal chip area (t_i = t sqrt(i / m)) follows from the triangle, the least depth of
a pass and spring passes are common practice without a source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.shop.practice import ThreadingPractice

FLAT_FORMS = math.radians(40.0)  # forms with a smaller angle have a flat tip (30 and 29 degrees)


def pass_count(depth: float, pitch: float, form_angle: float, practice: ThreadingPractice) -> int:
    """Number of passes to the full depth, as the shop is used to.

    V threads: so many, and more with the pitch; packaged: 3 + 2.7 per mm, e.g. 8 for 1.5 mm. Flat-tipped
    ones (trapezoidal, Acme) cut with the whole width of their tip and take a depth of its own on average.

    >>> from types import SimpleNamespace
    >>> usual = SimpleNamespace(first_passes=3.0, passes_per_mm=2.7, flat_depth_mm=0.15, least_passes=3)
    >>> pass_count(0.92, 1.5, math.radians(60), usual), pass_count(2.25, 4.0, math.radians(30), usual)
    (8, 15)
    """
    if form_angle < FLAT_FORMS:
        return max(practice.least_passes, math.ceil(depth / practice.flat_depth_mm))
    return max(practice.least_passes, math.ceil(practice.first_passes + practice.passes_per_mm * pitch))


def pass_depths(
    depth: float, count: int, half_angle: float = 0.0, flat: float = 0.0, *, least: float
) -> tuple[float, ...]:
    """Total depth after each pass, mm on the radius, the last one = `depth`.

    Equal chip area: a cut to depth t with a tip `flat` wide has the area flat t + t^2 tan(half_angle), so
    for a sharp V t_i = depth * sqrt(i / count). A cut that would be thinner than `least` is made `least`
    deep instead, and the last one ends on the depth; so there may be fewer passes than `count`.

    >>> [round(t, 3) for t in pass_depths(0.9, 4, math.radians(30), least=0.05)]
    [0.45, 0.636, 0.779, 0.9]
    """
    slope = math.tan(half_angle)
    whole = flat * depth + slope * depth * depth
    done: list[float] = []
    for i in range(1, count + 1):
        reached = _depth_of(whole * i / count, flat, slope) if i < count else depth
        before = done[-1] if done else 0.0
        if before >= depth:
            break
        done.append(min(depth, max(reached, before + least)))
    if len(done) > 1 and depth - done[-2] < 0.5 * least:
        del done[-2]  # the rest is too thin for a pass of its own
    return tuple(done)


def _depth_of(area: float, flat: float, slope: float) -> float:
    """Depth of a cut of this area: the positive root of slope t^2 + flat t = area."""
    if slope <= 0.0:
        return area / flat
    return (math.sqrt(flat * flat + 4.0 * slope * area) - flat) / (2.0 * slope)


def run_in(lead: float, rpm: float, acceleration_mm_per_s2: float, least: float) -> float:
    """Way that the slide needs to follow the spindle, mm: s = v^2 / (2 a), v = lead n / 60.

    Never less than `least`, mm.

    >>> run_in(1.5, 1000.0, 500.0, least=3.0)
    3.0
    """
    speed = lead * rpm / 60.0
    return max(speed * speed / (2.0 * acceleration_mm_per_s2), least)


def fastest_rpm(lead: float, room: float, acceleration_mm_per_s2: float, rate_max_mm_per_min: float) -> float:
    """Highest spindle speed at which the slide holds `lead`: by its rate and by the run-in at hand."""
    by_rate = rate_max_mm_per_min / lead
    by_room = 60.0 * math.sqrt(2.0 * acceleration_mm_per_s2 * room) / lead
    return min(by_rate, by_room)


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadCut:
    """One thread to cut, tip positions in setup coordinates, mm.

    start, end: z of the tip on the last pass, without run-in, start lies before the cut (the tool moves
    from start to end). crest, root: radii at `start` between which the tip works; slope: radius gained per
    mm of z (taper threads). pull_out: length along z over which the tool leaves the thread, 0 into a relief.
    clear: radius at which the tool travels back; outside it lies above the crest, inside below.
    spring_passes: at full depth, without infeed. straight_passes: the last ones, that go straight in;
    flank_relief: of the others' infeed from the flank, radians.
    """

    start: float
    end: float
    crest: float
    root: float
    clear: float
    slope: float
    pitch: float
    starts: int
    form_angle: float
    depths: tuple[float, ...]
    straight_passes: int
    flank_relief: float
    pull_out: float = 0.0
    spring_passes: int = 0


def thread_cuts(cut: ThreadCut) -> tuple[Move, ...]:
    """All passes of all starts, from the first place beside the thread back to it.

    Each pass: rapid beside the start, rapid to depth (it lies before the work), thread, off, back.
    """
    moves: tuple[Move, ...] = ()
    for start in range(cut.starts):
        shift = start * cut.pitch * _sense(cut)
        for index, depth in enumerate((*cut.depths, *[cut.depths[-1]] * cut.spring_passes)):
            moves += _one_pass(cut, depth, _flank_shift(cut, index), -shift)
    return moves


def _sense(cut: ThreadCut) -> float:
    """Direction of travel along z: -1 towards the chuck."""
    return math.copysign(1.0, cut.end - cut.start)


def _flank_shift(cut: ThreadCut, index: int) -> float:
    """How far behind its last position along the travel the tip starts this pass, mm.

    The infeed runs along one flank until the last passes: the axial step is the radial one times the
    tangent of the infeed angle.
    """
    straight = max(0, len(cut.depths) - cut.straight_passes)
    angle = 0.5 * cut.form_angle - cut.flank_relief
    reached = cut.depths[min(index, len(cut.depths) - 1)]
    last_on_flank = cut.depths[straight - 1] if straight else 0.0
    if index >= straight:
        return 0.0
    return (last_on_flank - reached) * math.tan(angle)


def _one_pass(cut: ThreadCut, depth: float, behind: float, shift: float) -> tuple[Move, ...]:
    outward = math.copysign(1.0, cut.crest - cut.root)
    lead = cut.pitch * cut.starts
    sense = _sense(cut)
    z0 = cut.start + shift - sense * behind
    z1 = cut.end - sense * behind

    def tip(z: float) -> float:
        return cut.crest - outward * depth + cut.slope * (z - cut.start)

    full = z1 - sense * cut.pull_out
    moves = [
        Move(MoveKind.RAPID, z0, cut.clear),
        Move(MoveKind.RAPID, z0, tip(z0)),
        Move(MoveKind.THREAD, full, tip(full), lead=lead),
    ]
    if cut.pull_out > 0.0:
        out = tip(z1) + outward * (depth + 0.1)
        moves.append(Move(MoveKind.THREAD, z1, out, lead=lead))
    return (*moves, Move(MoveKind.RAPID, z1, cut.clear), Move(MoveKind.RAPID, z0, cut.clear))
