"""Inside corners against the nose radii of the crib."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, always
from dxf2turn.checks.words import mm, spot
from dxf2turn.contour.model import Profile
from dxf2turn.features.model import Groove
from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.segment import Arc
from dxf2turn.options import Tolerances
from dxf2turn.units import plain_text

SHARP = 0.1  # two pieces that turn less than this are no corner, radians
SHOWN = 6  # places that the note lists


def run(case: Case) -> Iterator[Finding]:
    """A radius below the smallest nose each; sharp corners in one note."""
    yield from _too_small(case)
    yield from _sharp(case)


def smallest_nose(case: Case) -> Callable[[int], float | None]:
    """A function: segment -> smallest nose radius of the tools that cut it, mm; None without such a tool.

    In a groove blades cut, else turning tools and, inside, boring bars.
    """
    grooves = {i: g for g in case.part.of_kind("groove") if isinstance(g, Groove) for i in g.segments}
    kinds = ("turning", "grooving", "face grooving", "boring", "inside grooving")
    noses = {k: min((t.nose_radius for t in case.shop.tools_of(k)), default=None) for k in kinds}

    def nose(index: int) -> float | None:
        groove = grooves.get(index)
        if case.part.profile.roles[index] == "inside":
            return noses["inside grooving" if groove else "boring"]
        if groove is not None and groove.opens in ("front", "back"):
            return noses["face grooving"]
        return noses["grooving" if groove else "turning"]

    return nose


def _too_small(case: Case) -> Iterator[Finding]:
    nose_of = smallest_nose(case)
    for index, segment in enumerate(case.segments):
        nose = nose_of(index)
        if not isinstance(segment, Arc) or not segment.clockwise or nose is None:
            continue
        if segment.radius >= nose - Tolerances().same_point:
            continue
        middle = segment.point_at(0.5)
        yield Finding(
            code=CHECK.code,
            severity=Severity.FIX,
            text=f"inside corner at {spot(*middle)}: radius {mm(segment.radius)} is smaller than the smallest"
            f" nose radius of the crib, {mm(nose)}; that much stays",
            hint=f"Draw a radius of at least {mm(nose)}, or an undercut.",
            where=case.place(middle.x, middle.y, (index,)),
            measured=segment.radius,
            limit=nose,
            source=limit("T01", "nose").source,
        )


def _sharp(case: Case) -> Iterator[Finding]:
    nose_of, fine = smallest_nose(case), limit("T01", "fine_corner").value
    usual = {
        index for f in case.part.of_kind("groove") for index in f.segments if (nose_of(index) or 0.0) <= fine
    }
    drilled = {index for f in case.part.of_kind("hole", "centre_hole") for index in f.segments}
    silent = usual | drilled
    noses = {
        index: nose_of(index)
        for index in sharp_corners(case.part.profile)
        if not silent.intersection((index, index - 1))
    }
    corners = [(index, nose) for index, nose in noses.items() if nose is not None]
    if not corners:
        return
    first = case.segments[corners[0][0]].start
    places = [f"{spot(*case.segments[index].start)} (R{plain_text(nose)})" for index, nose in corners[:SHOWN]]
    more = f" and {len(corners) - SHOWN} more" if len(corners) > SHOWN else ""
    yield Finding(
        code=CHECK.code,
        severity=Severity.NOTE,
        text=f"inside corners are drawn sharp, but a nose radius stays there: {'; '.join(places)}{more}",
        hint="Where another part must seat against the shoulder, ask for an undercut.",
        where=case.place(first.x, first.y, (corners[0][0],)),
        measured=0.0,
        limit=max(nose for _, nose in corners),
        source=limit("T01", "nose").source,
    )


def sharp_corners(profile: Profile) -> Iterator[int]:
    """Indices of the segments that start at a sharp inside corner."""
    count = len(profile.segments)
    for index in range(count):
        if "axis" in (profile.roles[index], profile.roles[index - 1]):
            continue
        into = profile.segments[index - 1].tangent_at(1.0)
        out = profile.segments[index].tangent_at(0.0)
        if into.cross(out) < -SHARP:
            yield index


CHECK = Check(
    id="inner-corner",
    why="A turning tool has a nose radius: a sharp inside corner keeps it, a smaller radius can't be cut.",
    rules=("T01", "T07"),
    applies=always,
    run=run,
)
