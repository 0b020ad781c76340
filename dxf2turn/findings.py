"""Findings and repairs: what the program noticed and what it mended, each with its place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum

from dxf2turn.geometry.point import Point


class Severity(IntEnum):
    """How bad a finding is. Ordered: a larger value is worse."""

    NOTE = 1  # good to know
    FIX = 2  # the part can be made, but somebody should look at it
    STOP = 3  # no plan can be written

    @property
    def word(self) -> str:
        """The word of the JSON document: `note`, `fix` or `stop`."""
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class Location:
    """Where a finding lies. Everything is optional; what is known is given.

    drawing_xy: in the drawing's own coordinates and unit. z, r: mm in the part's plane (r a radius).
    """

    drawing_xy: Point | None = None
    z: float | None = None
    r: float | None = None
    handles: tuple[str, ...] = ()
    layer: str | None = None
    line: int | None = None  # line number in the DXF text


NOWHERE = Location()


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing noticed about a drawing, a part or a plan.

    code: stable, `stage/short-name`, for machines; text: for people; hint: what to do about it.
    measured/limit: the value found and the value it is held against, in `unit`.
    source: the table or rule behind the limit, with its standing where it comes from a table.
    """

    code: str
    severity: Severity
    text: str
    hint: str = ""
    where: Location = NOWHERE
    measured: float | None = None
    limit: float | None = None
    unit: str = "mm"
    source: str = ""


@dataclass(frozen=True, slots=True)
class Repair:
    """One thing that was mended in the drawing.

    code: `stage/short-name`; moved: how far geometry moved, mm; at: drawing coordinates and unit.
    """

    code: str
    text: str
    moved: float = 0.0
    handles: tuple[str, ...] = ()
    at: Point | None = None


def worst(findings: Iterable[Finding]) -> Severity | None:
    """The worst severity among `findings`, None when there are none."""
    return max((finding.severity for finding in findings), default=None)


def stops(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings that prevent a plan."""
    return tuple(finding for finding in findings if finding.severity is Severity.STOP)
