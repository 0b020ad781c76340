"""Inside corners against the nose radii of the crib."""

from __future__ import annotations

from collections.abc import Iterator

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


def smallest_nose(case: Case, index: int) -> float | None:
    """Smallest nose radius of the tools that cut a segment, mm; None when there is no such tool.

    In a groove blades cut, else turning tools and, inside, boring bars.
    """
    groove = next((g for g in case.part.of_kind("groove") if index in g.segments), None)
    if case.part.profile.roles[index] == "inside":
        kinds = ("inside grooving",) if groove else ("boring",)
    elif isinstance(groove, Groove) and groove.opens in ("front", "back"):
        kinds = ("face grooving",)
    else:
        kinds = ("grooving",) if groove else ("turning",)
    return min((tool.nose_radius for tool in case.shop.tools_of(*kinds)), default=None)


def _too_small(case: Case) -> Iterator[Finding]:
    profile = case.part.profile
    for index, segment in enumerate(profile.segments):
        nose = smallest_nose(case, index)
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
    noses = {index: smallest_nose(case, index) for index in sharp_corners(case.part.profile)}
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
