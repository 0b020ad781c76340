"""Insert designations (ISO 1832) and holder styles (ISO 5608) as numbers.

>>> found = insert("CNMG120408")
>>> found.letter, found.nose_radius, found.inscribed_circle
('C', 0.8, 12.7)
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.tables import Row, rows

DESIGNATION = re.compile(r"([A-Z])([A-Z])([A-Z])([A-Z])(\d\d)([0-9T]\d)(M0|\d\d)")
TENTH = 0.1  # the code of a corner radius counts tenths of a millimetre
TRIGON_BLUNT = math.radians(160.0)  # the other three corners of a trigon; 3 x 80 + 3 x 160 = 720 degrees
BUILT = "CDRSTVW"  # letters whose outline is built here


@dataclass(frozen=True, slots=True)
class Insert:
    """One insert. corner_angle in radians, None for a round one; lengths mm."""

    designation: str
    letter: str
    corner_angle: float | None
    inscribed_circle: float
    nose_radius: float


@dataclass(frozen=True, slots=True)
class Style:
    """A holder style. cutting_edge_angle (kappa): between main cutting edge and feed, radians."""

    letter: str
    cutting_edge_angle: float
    geometry: str

    @property
    def end_cutting(self) -> bool:
        """For facing only: the feed is across the axis."""
        return self.geometry.startswith("end cutting")


def insert(designation: str) -> Insert:
    """The insert of an ISO 1832 designation. Raises ValueError with a sentence for people."""
    match = DESIGNATION.fullmatch(designation)
    if match is None:
        raise ValueError(f"{designation!r} is no ISO 1832 designation such as 'CNMG120408'")
    letter, size, radius_code = match[1], match[5], match[7]
    shape = _shape(letter)
    circle = float(size) if (letter, radius_code) == ("R", "M0") else _inscribed_circle(letter, size)
    radius = 0.5 * circle if letter == "R" else _corner_radius(designation, radius_code)
    angle = shape.optional_number("corner_angle_deg")
    if 2.0 * radius >= circle and letter != "R":
        raise ValueError(f"{designation!r}: corner radius {radius} mm is too big for its size")
    return Insert(designation, letter, None if angle is None else math.radians(angle), circle, radius)


def style(letter: str) -> Style:
    """The holder style of an ISO 5608 letter. Raises ValueError with a sentence for people."""
    found = {row.text("style"): row for row in rows("holder_styles")}
    if letter not in found:
        raise ValueError(f"{letter!r} is no holder style of ISO 5608; known are {', '.join(found)}")
    row = found[letter]
    return Style(letter, math.radians(row.number("cutting_edge_angle_deg")), row.text("geometry"))


def core_of(found: Insert, corner: Point, main: Vector, trailing: Vector) -> tuple[Point, ...]:
    """The insert less its corner radius: convex, counter-clockwise, controlled corner first.

    corner: centre of the nose; main, trailing: unit directions of the two edges away from it, `main`
    to the left of `trailing`. Grown by the nose radius this is the exact ISO 1832 outline.
    """
    inner = 0.5 * found.inscribed_circle - found.nose_radius  # radius of the core's inscribed circle
    if found.corner_angle is None:
        return (corner,)
    if found.letter == "T":
        side = 2.0 * math.sqrt(3.0) * inner
        return (corner, corner + trailing * side, corner + main * side)
    if found.letter == "W":
        return _trigon(found, corner, trailing, inner)
    side = 2.0 * inner / math.sin(found.corner_angle)
    return (corner, corner + trailing * side, corner + (trailing + main) * side, corner + main * side)


def _trigon(found: Insert, corner: Point, trailing: Vector, inner: float) -> tuple[Point, ...]:
    """Six sides that touch the inscribed circle, corners of 80 and 160 degrees in turn."""
    assert found.corner_angle is not None
    side = inner * (1.0 / math.tan(0.5 * found.corner_angle) + 1.0 / math.tan(0.5 * TRIGON_BLUNT))
    points, heading = [corner], trailing.angle
    for turn in (math.pi - TRIGON_BLUNT, math.pi - found.corner_angle) * 2 + (math.pi - TRIGON_BLUNT,):
        points.append(points[-1] + Vector.from_angle(heading, side))
        heading += turn
    return tuple(points)


def _shape(letter: str) -> Row:
    found = {row.text("letter"): row for row in rows("insert_shapes")}
    if letter not in found or letter not in BUILT:
        known = ", ".join(sorted(BUILT))
        raise ValueError(f"insert shape {letter!r} is not known here; known are {known}")
    return found[letter]


def _inscribed_circle(letter: str, size: str) -> float:
    found = {row.text("size_code"): row for row in rows("insert_sizes") if row.text("letter") == letter}
    if size not in found:
        near = min(found, key=lambda known: abs(int(known) - int(size)) if size.isdigit() else 0)
        raise ValueError(f"insert size {letter}{size} is not in the table; nearest is {letter}{near}")
    return found[size].number("inscribed_circle_mm")


def _corner_radius(designation: str, code: str) -> float:
    if not code.isdigit() or int(code) == 0:
        raise ValueError(f"{designation!r}: corner radius code {code!r} gives no radius (01, 02, 04, 08 ...)")
    return round(int(code) * TENTH, 3)
