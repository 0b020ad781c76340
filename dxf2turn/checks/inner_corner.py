"""Inside corners against the nose radii of the crib."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import limit
from dxf2turn.checks.model import Case, Check, always
from dxf2turn.checks.words import mm, spot
from dxf2turn.contour.model import Profile
from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.segment import Arc
from dxf2turn.options import Tolerances

SHARP = 0.1  # two pieces that turn less than this are no corner, radians
SHOWN = 6  # places that the note lists
OUTSIDE = ("turning", "grooving", "parting", "face grooving")
INSIDE = ("boring", "inside grooving")


def run(case: Case) -> Iterator[Finding]:
    """A radius below the smallest nose each; sharp corners in one note."""
    yield from _too_small(case)
    yield from _sharp(case)


def smallest_nose(case: Case, role: str) -> float | None:
    """Smallest nose radius of the tools for a side of the part, mm; None when there is no tool."""
    kinds = INSIDE if role == "inside" else OUTSIDE
    return min((tool.nose_radius for tool in case.shop.tools_of(*kinds)), default=None)


def _too_small(case: Case) -> Iterator[Finding]:
    profile = case.part.profile
    for index, (segment, role) in enumerate(zip(profile.segments, profile.roles)):
        nose = smallest_nose(case, role)
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
    corners = list(sharp_corners(case.part.profile))
    noses = [nose for role in ("outside", "inside") if (nose := smallest_nose(case, role)) is not None]
    if not corners or not noses:
        return
    first = case.segments[corners[0]].start
    places = [spot(*case.segments[index].start) for index in corners[:SHOWN]]
    more = f" and {len(corners) - SHOWN} more" if len(corners) > SHOWN else ""
    one = len(corners) == 1
    yield Finding(
        code=CHECK.code,
        severity=Severity.NOTE,
        text=f"{'an inside corner is' if one else f'{len(corners)} inside corners are'} drawn sharp; the"
        f" nose radius stays there, at least {mm(min(noses))}: {'; '.join(places)}{more}",
        hint="Where another part must seat against the shoulder, ask for an undercut.",
        where=case.place(first.x, first.y, (corners[0],)),
        measured=0.0,
        limit=min(noses),
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
