"""Drawn thread teeth: a zigzag of equal 60 degree teeth becomes a cylinder at their crests.

A drafter who draws every tooth draws a thread, not a row of grooves: at least `LEAST` crests at one height
and one pitch, with flanks at the angle of a thread (vee pulleys have 32 to 40 degrees). The cylinder gets a
thin line at the root that the pitch asks for, so that the thread is found like any other.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from dxf2turn.contour.model import Contour, Profile, ThinLine, located
from dxf2turn.features.callouts import callouts
from dxf2turn.features.designation import find_designations
from dxf2turn.features.thread_sizes import guess_size, thread_size
from dxf2turn.features.threads_iso import triangle_height
from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.options import Tolerances
from dxf2turn.units import plain_text

LEAST = 4  # crests
EVEN = 0.05  # pitches and heights differ by at most this share of the pitch
FLANKS = (math.radians(50.0), math.radians(66.0))  # included angle: 55 and 60 degree threads, drawn by eye
DEPTH = (0.4, 0.9)  # depth against the pitch
NAMED_FLANKS = (
    math.radians(40.0),
    math.radians(100.0),
)  # drawn by eye, with a thread of this pitch called out
UNEVEN = math.radians(10.0)  # between both flanks of a tooth: a saw tooth is none of a thread
SAME_PITCH = 0.03  # share by which teeth drawn for a thread may be off its pitch


@dataclass(frozen=True, slots=True)
class _Crest:
    """A local highest place of a run. first, last: vertices where its flat begins and where the flank behind
    it begins (one vertex for a point); z_first, z_last: their z."""

    first: int
    last: int
    height: float
    z_first: float
    z_last: float


def without_teeth(contour: Contour, tolerances: Tolerances) -> tuple[Contour, tuple[Finding, ...]]:
    """The contour with drawn teeth replaced by cylinders, and a note for each; unchanged without any."""
    findings: list[Finding] = []
    profile, named = contour.profile, _named_pitches(contour)
    while profile is not None:
        found = _first_run(profile, tolerances, named)
        if found is None:
            break
        crests, sign = found
        profile, thin, finding = _replaced(contour, profile, crests, sign)
        contour = replace(contour, profile=profile, thin_lines=(*contour.thin_lines, *thin))
        findings.append(finding)
    return contour, tuple(findings)


def _named_pitches(contour: Contour) -> tuple[float, ...]:
    """Pitches of the metric and unified threads that the notes call out, mm."""
    found = (
        d for callout in callouts(contour) for d in find_designations(callout.raw) if d.family in ("M", "UN")
    )
    sizes = (thread_size(designation, inside=False) for designation in found)
    return tuple(size.pitch for size in sizes if size is not None)


def _first_run(
    profile: Profile, tolerances: Tolerances, named: tuple[float, ...]
) -> tuple[list[_Crest], float] | None:
    for role, sign in (("outside", 1.0), ("inside", -1.0)):
        crests = _crests(profile, role, sign, tolerances)
        start = 0
        while start + LEAST <= len(crests):
            end = start + 1
            while end < len(crests) and _belongs(crests[start : end + 1]):
                end += 1
            run = crests[start:end]
            if len(run) >= LEAST and _looks_cut(profile, run, sign, named):
                return run, sign
            start = max(start + 1, end - 1)
    return None


def _crests(profile: Profile, role: str, sign: float, tolerances: Tolerances) -> list[_Crest]:
    """Local highest places, and ledges, of the segments with a role, in order."""
    crests: list[_Crest] = []
    run = profile.run(role)
    first: int | None = run[0] if run else None
    for index in run:
        start, end = profile.segments[index].start, profile.segments[index].end
        rise = sign * (end.y - start.y)
        if abs(rise) <= tolerances.gap:
            continue
        # A ledge counts as a crest too: the last tooth may end at a land before a shoulder.
        if first is not None and (rise < 0.0 or first < index):
            crests.append(_crest(profile, first, index, sign))
        first = index + 1 if rise > 0.0 else None
    if first is not None and run:
        crests.append(_crest(profile, min(first, run[-1] + 1), run[-1] + 1, sign))
    return crests


def _crest(profile: Profile, first: int, last: int, sign: float) -> _Crest:
    count = len(profile.segments)
    a, b = profile.segments[first % count].start, profile.segments[last % count].start
    return _Crest(first, last, sign * b.y, a.x, b.x)


def _belongs(crests: list[_Crest]) -> bool:
    """Whether the last crest goes on in the pitch and at the height of the first ones.

    Pitches are measured from flank to flank: the flats of the first and the last crest may be long.
    """
    spaces = [abs(b.z_first - a.z_last) for a, b in zip(crests, crests[1:])]
    flats = [abs(crest.z_last - crest.z_first) for crest in crests[1:-1]] or [0.0]
    pitch = spaces[0] + flats[0]
    even = abs(spaces[-1] - spaces[0]) <= EVEN * pitch and abs(flats[-1] - flats[0]) <= EVEN * pitch
    return pitch > 0.0 and even and abs(crests[-1].height - crests[0].height) <= EVEN * pitch


def _looks_cut(profile: Profile, run: list[_Crest], sign: float, named: tuple[float, ...]) -> bool:
    """Whether the teeth have the depth and the flank angle of a thread; both loosely where one is named."""
    pitch = _pitch(run)
    is_named = any(abs(pitch - other) <= SAME_PITCH * other for other in named)
    least, most = NAMED_FLANKS if is_named else FLANKS
    between = profile.segments[run[0].last : run[1].first]
    low = min(sign * s.end.y for s in between)
    depth = run[0].height - low
    flanks = [s for s in between if abs(s.end.y - s.start.y) > 0.3 * depth]
    if not DEPTH[0] * pitch <= depth <= DEPTH[1] * pitch or len(flanks) != 2:
        return False
    leans = [math.atan2(abs(s.end.x - s.start.x), abs(s.end.y - s.start.y)) for s in flanks]
    if not least <= sum(leans) <= most or abs(leans[0] - leans[1]) > UNEVEN:
        return False
    return is_named or _is_standard(2.0 * abs(run[0].height), pitch, sign < 0.0)


def _is_standard(crest: float, pitch: float, inside: bool) -> bool:
    """Whether a standard thread has this pitch at these crests, d outside or D1 inside, mm."""
    root = 17.0 / 12.0 * triangle_height(pitch)
    size = guess_size(crest, crest + root if inside else crest - root, inside)
    return size is not None and abs(size.pitch - pitch) <= SAME_PITCH * pitch


def _pitch(run: list[_Crest]) -> float:
    return abs(run[-1].z_first - run[1].z_first) / (len(run) - 2)


def _replaced(
    contour: Contour, profile: Profile, run: list[_Crest], sign: float
) -> tuple[Profile, tuple[ThinLine, ...], Finding]:
    """The profile with the run as one line, the thin line at its root, and what to say."""
    segments: list[Segment] = list(profile.segments)
    first, last = run[0].first, run[-1].last
    start, end = segments[first].start, segments[last - 1].end
    origin = tuple(dict.fromkeys(handle for s in segments[first:last] for handle in s.origin))
    level = sign * max(sign * start.y, sign * end.y)
    line = Line(Point(start.x, level), Point(end.x, level), origin)
    segments[first:last] = [line]
    roles = (*profile.roles[:first], profile.roles[first], *profile.roles[last:])
    segments[first - 1] = replace(segments[first - 1], end=line.start)
    after = (first + 1) % len(segments)
    segments[after] = replace(segments[after], start=line.end)
    pitch = _pitch(run)
    root = level - sign * 17.0 / 24.0 * triangle_height(pitch)
    cut = Line(Point(run[0].z_last, root), Point(run[-1].z_first, root))
    thin = ThinLine(cut, origin[0] if origin else "", "")
    finding = Finding(
        code="features/teeth-drawn",
        severity=Severity.NOTE,
        text=f"{len(run)} drawn thread teeth of pitch {plain_text(pitch)} mm are taken out of the contour; "
        f"the cylinder at their crests is {plain_text(2.0 * abs(level))} mm",
        hint="If these are grooves, draw them with flats between them.",
        where=located(contour.frame, start.x, abs(level), origin[:4]),
        measured=pitch,
    )
    return Profile(tuple(segments), roles), (thin,), finding
