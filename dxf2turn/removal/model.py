"""The verdict of the removal check."""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.findings import Finding
from dxf2turn.geometry.point import Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """One thing that went wrong in one step.

    kind: "gouge", "rapid contact", "holder contact", "jaw contact", "support contact" (centre or steady);
    also "support" (it has no seat, or the work is parted off in it), "stock" (the stock a setup states is
    not what is there), "grip" (what holds the work stands in it, lies too little on it, in a bore that is not
    finished, or on a thread, a knurl, a groove or a taper), "cut loose" (the part comes off what holds it),
    "loose ring" (waste falls off in one piece), "thread" (not cut to its root, a wrong lead, too few starts),
    "knurl" (not made), "path" (a step that starts or ends off the tool-change point, or an arc that is none).
    step 0: the setup as a whole.
    """

    kind: str
    setup: int
    step: int
    move: int
    at: Point  # setup coordinates
    size: float  # mm (depth) or mm2 (area), see text
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Removal:
    """What is left after the plan, measured. gouge and left are volumes in mm3; max_* are depths in mm.

    gouge and max_gouge count only what is deeper than the gouge tolerance; contacts count moves.
    left_areas: polygons (part z, r) of material that should be gone. after: per step the outline polygons
    of the remaining stock (setup coordinates), for the preview: (setup no, step no, polygons), each polygon
    its outer ring followed by its inner rings.
    piece: the part as the plan makes it, polygons like those of `after`, part coordinates.
    max_left_unexplained: as max_left, outside the areas that the plan itself declares unreached; `ok` goes
    by this one.
    """

    gouge_mm3: float
    max_gouge: float
    left_mm3: float
    max_left: float
    rapid_contacts: int
    holder_contacts: int
    jaw_contacts: int
    ok: bool
    troubles: tuple[Trouble, ...] = ()
    left_areas: tuple[tuple[Point, ...], ...] = ()
    findings: tuple[Finding, ...] = ()
    after: tuple[tuple[int, int, tuple[tuple[tuple[Point, ...], ...], ...]], ...] = ()
    piece: tuple[tuple[tuple[Point, ...], ...], ...] = ()
    max_left_unexplained: float = 0.0
