"""Centre holes (ISO 6411): drawn ones by cone and pilot; notes such as `ISO 6411 - A 4/8.5`."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import replace

from dxf2turn import tables
from dxf2turn.contour.model import Contour, located
from dxf2turn.features.callouts import Callout
from dxf2turn.features.designation import plain
from dxf2turn.features.inch_sizes import INCH
from dxf2turn.features.model import CentreHole
from dxf2turn.features.outline import Outline, spread
from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.segment import Arc, Line
from dxf2turn.units import plain_text

_NOTE = re.compile(
    r"(?P<named>ISO\s*6411|DIN\s*332|CENT(?:RE|ER)\s*(?:HOLE|DRILL)\w*)?[\s:,-]*"
    r"(?<![A-Za-z])(?P<form>[ABR])\s?(?P<d>\d+(?:\.\d+)?)(?:\s*[/x]\s*(?P<D>\d+(?:\.\d+)?))?",
    re.I,
)
_NUMBERED = re.compile(
    r"(?:#|\bNo\.?)\s*(?P<ahead>\d{1,2})\s*(?:BELL(?:\s*TYPE)?|PLAIN)?\s*(?:COMB\w*\s*)?CENT(?:ER|RE)\s*(?:DRILL|HOLE)"
    r"|CENT(?:ER|RE)\s*(?:DRILL|HOLE)\w*[\s,:]*(?:#|No\.?)\s*(?P<behind>\d{1,2})",
    re.I,
)
_THREADED = re.compile(r"DIN\s*332(?:\s*-\s*[12])?\s*-?\s*(?:form\s*)?D[RSG]?\s*M\s*\d+", re.I)
_BOTH = re.compile(r"\bboth\b|^\s*2\s*x|\(2x\)", re.I)
CONE = math.radians(30.0)  # half of the 60 degree cone
PROTECTION = math.radians(60.0)  # half of the 120 degree protecting cone of form B
ANGLE_OFF = math.radians(1.5)
PILOT_LENGTH = 4.0  # a pilot is at most this many diameters long; ISO 6411 has 0.9 (form R 1.1)
SIZE_OFF = 0.06  # a drawn size within this share is the standard one


def find_centre_holes(
    outline: Outline, notes: tuple[Callout, ...], contour: Contour
) -> tuple[tuple[CentreHole, ...], tuple[Finding, ...]]:
    """Drawn and noted centre holes; a note for an end where one is drawn adds nothing."""
    holes = {hole.side: hole for hole in _drawn(outline)}
    findings: list[Finding] = []
    for callout in notes:
        if _THREADED.search(plain(callout.raw)):
            findings.append(_threaded(contour, callout))
            continue
        numbered = _by_number(callout)
        if numbered is not None:
            for side in _ends(outline, callout):
                holes.setdefault(side, _drilled(outline, numbered, side, callout.raw))
            continue
        match = _NOTE.search(plain(callout.raw))
        if match is None:
            continue
        row = _row(match["form"].upper(), float(match["d"]), float(match["D"]) if match["D"] else None)
        if row is None:
            if match["named"]:
                findings.append(_not_standard(contour, callout, match["form"].upper(), float(match["d"])))
            continue
        if not match["named"] and not match["D"]:
            continue  # "A4" alone is a paper size
        for side in _ends(outline, callout):
            holes.setdefault(side, _noted(outline, row, side, callout.raw))
    return tuple(holes.values()), tuple(findings)


def _row(form: str, d: float, large: float | None) -> tables.Row | None:
    for row in tables.rows("centre_holes"):
        sizes = {row.optional_number("D2_mm"), row.optional_number("D3_mm")}
        if row["form"] == form and row.number("d_mm") == d and (large is None or large in sizes):
            return row
    return None


def _ends(outline: Outline, callout: Callout) -> tuple[str, ...]:
    """Which ends a note means: both when it says so, else the nearer one."""
    if _BOTH.search(callout.raw):
        return "face", "end"
    middle = -0.5 * outline.profile.length
    return ("face",) if callout.places[0].x >= middle else ("end",)


def _size(row: tables.Row) -> str:
    large = row.optional_number("D3_mm") or row.number("D2_mm")
    return f"{plain_text(row.number('d_mm'))}/{plain_text(large)}"


def _by_number(callout: Callout) -> tables.Row | None:
    """The combined drill and countersink that a note names by its number (`#3 CENTER DRILL`)."""
    match = _NUMBERED.search(callout.raw)
    if match is None:
        return None
    number = match["ahead"] or match["behind"]
    return next((row for row in tables.rows("centre_drills_inch") if row["number"] == number), None)


def _drilled(outline: Outline, row: tables.Row, side: str, text: str) -> CentreHole:
    """The hole of a numbered drill: its pilot as deep as wide (common practice), the cone 60 degrees."""
    drill, mouth = row.number("drill_in") * INCH, row.number("countersink_in") * INCH
    depth = drill + 0.5 * (mouth - drill) / math.tan(CONE)
    hole = _over_the_face(outline, side, depth, 0.5 * mouth)
    return replace(hole, note=text.strip(), form=row["form"], size=f"#{row['number']}")


def _noted(outline: Outline, row: tables.Row, side: str, text: str) -> CentreHole:
    """A centre hole that only a note tells of: over the end face, as deep as the table says."""
    depth = row.optional_number("total_depth_t_min_mm")
    depth = row.number("d_mm") + row.number("cone_length_l_mm") if depth is None else depth
    hole = _over_the_face(outline, side, depth, 0.5 * (row.optional_number("D3_mm") or row.number("D2_mm")))
    return replace(hole, note=text.strip(), form=row["form"], size=_size(row))


def _over_the_face(outline: Outline, side: str, depth: float, radius: float) -> CentreHole:
    """A centre hole of a depth and a mouth radius in an end face, its form and size still blank."""
    role = "front" if side == "face" else "back"
    length = outline.profile.length
    return CentreHole(
        id="",
        side=side,
        z_front=0.0 if side == "face" else depth - length,
        z_back=-depth if side == "face" else -length,
        r_small=0.0,
        r_large=radius,
        segments=tuple(i for i in outline.profile.run(role) if outline.is_radial(i)),
        form="",
        size="",
    )


def _drawn(outline: Outline) -> Iterator[CentreHole]:
    """A 60 degree cone (or a concave arc, form R) between a pilot and an end face."""
    for index in outline.profile.run("inside"):
        for step, side in ((outline.after, "face"), (outline.before, "end")):
            hole = _at_end(outline, index, step, side)
            if hole is not None:
                yield hole


def _at_end(outline: Outline, pilot: int, step: Callable[[int], int | None], side: str) -> CentreHole | None:
    """The centre hole whose pilot is this cylinder, walking towards one end of the part."""
    cone = step(pilot)
    if not outline.is_axial(pilot) or cone is None or outline.role(cone) != "inside":
        return None
    wall = outline.segment(pilot)
    if not outline.profile.is_solid or wall.length > PILOT_LENGTH * 2.0 * wall.start.y:
        return None  # a bore with a countersink
    segments = [pilot, cone]
    following = step(cone)
    if following is not None and _has_half_angle(outline, following, PROTECTION):
        segments.append(following)
        following = step(following)
    form = _form(outline, cone, len(segments) == 3)
    at_end = following is not None and outline.role(following) in ("front", "back")
    if form is None or not at_end:
        return None
    z_front, z_back, _, r_large = spread(outline, tuple(segments))
    d = 2.0 * outline.segment(pilot).start.y
    row = _standard(form, d, 2.0 * r_large)
    if row is None:
        return None
    return CentreHole(
        id="",
        side=side,
        z_front=z_front,
        z_back=z_back,
        r_small=0.0,
        r_large=r_large,
        segments=tuple(sorted(segments)),
        note="ISO 6411, drawn",
        form=form,
        size=_size(row),
    )


def _has_half_angle(outline: Outline, index: int, half_angle: float) -> bool:
    """Whether a segment is an inside cone of this half angle."""
    line = outline.segment(index)
    if not isinstance(line, Line) or outline.role(index) != "inside":
        return False
    angle = math.atan2(abs(line.end.y - line.start.y), abs(line.end.x - line.start.x))
    return abs(angle - half_angle) <= ANGLE_OFF


def _form(outline: Outline, cone: int, protected: bool) -> str | None:
    if isinstance(outline.segment(cone), Arc):
        return "R"
    if not _has_half_angle(outline, cone, CONE):
        return None
    return "B" if protected else "A"


def _standard(form: str, d: float, large: float) -> tables.Row | None:
    """The table row whose pilot and largest diameter fit what is drawn."""
    for row in tables.rows("centre_holes"):
        if row["form"] != form or abs(row.number("d_mm") - d) > SIZE_OFF * d:
            continue
        wanted = row.optional_number("D3_mm") or row.number("D2_mm")
        if abs(wanted - large) <= SIZE_OFF * large:
            return row
    return None


def _not_standard(contour: Contour, callout: Callout, form: str, d: float) -> Finding:
    sizes = sorted(tables.rows("centre_holes"), key=lambda row: abs(row.number("d_mm") - d))
    near = ", ".join(dict.fromkeys(f"{row['form']} {_size(row)}" for row in sizes if row["form"] == form))
    place = callout.places[0]
    return Finding(
        code="features/centre-hole-not-standard",
        severity=Severity.FIX,
        text=f"{callout.raw.strip()!r}: ISO 6411 has no such size",
        hint=f"Sizes of form {form}, nearest first: {near}.",
        where=located(contour.frame, place.x, place.y, (callout.handle,) if callout.handle else ()),
        measured=d,
    )


def _threaded(contour: Contour, callout: Callout) -> Finding:
    """A centre hole with a thread (form D): not in the tables."""
    place = callout.places[0]
    return Finding(
        code="features/centre-hole-threaded",
        severity=Severity.FIX,
        text=f"{callout.raw.strip()!r}: centre holes with a thread are not in the tables, none is planned",
        hint="Draw the hole into the outline and write its thread beside it.",
        where=located(contour.frame, place.x, place.y, (callout.handle,) if callout.handle else ()),
    )
