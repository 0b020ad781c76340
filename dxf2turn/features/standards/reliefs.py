"""Thread reliefs: DIN 76-1 and GB/T 3 by pitch; ISO metric threads only."""

from __future__ import annotations

import math
from dataclasses import replace

from dxf2turn import tables
from dxf2turn.contour.model import Contour
from dxf2turn.features.model import Groove, Thread
from dxf2turn.features.standards.report import near_miss
from dxf2turn.findings import Finding
from dxf2turn.units import plain_text

FLOOR_DEEPER = 0.1  # times the pitch: a floor this much deeper than dg still counts (h13 of the standard)
FLOOR_HIGHER = 0.03  # times the pitch, rounding
WIDTH_OFF = 0.02  # times the pitch, rounding
RUN_OUT = math.radians(30.0)  # of the wall on the thread's side, DIN 76-1 (from memory)
NEAR = 0.5  # times the pitch: a relief that is off by more does not mean to follow a standard


def match_relief(contour: Contour, groove: Groove, thread: Thread) -> tuple[Groove, tuple[Finding, ...]]:
    """The relief with its standard; one that fits none gets a note with the standard sizes."""
    if thread.family != "M":
        return groove, ()
    rows = [row for row in tables.rows("thread_reliefs") if _for(row, thread)]
    names = [f"{row['standard']} form {row['form']}" for row in rows if _fits(groove, row, thread)]
    if names:
        return replace(groove, standard=f"{' / '.join(names)} for P {plain_text(thread.pitch)}"), ()
    if not rows:
        return groove, ()
    best = min(rows, key=lambda row: (_off(groove, row, thread), row["standard"]))
    if _off(groove, best, thread) > NEAR * thread.pitch:
        return groove, ()
    return groove, (_near(contour, groove, best, thread),)


def _for(row: tables.Row, thread: Thread) -> bool:
    side = "internal" if thread.side == "inside" else "external"
    return row["side"] == side and row.number("pitch_mm") == thread.pitch


def _name(row: tables.Row, thread: Thread) -> str:
    return f"{row['standard']} form {row['form']} for P {plain_text(thread.pitch)}"


def _floor(row: tables.Row, thread: Thread) -> float:
    return thread.major_diameter_mm + row.number("dg_offset_mm")


def _fits(groove: Groove, row: tables.Row, thread: Thread) -> bool:
    inside = thread.side == "inside"
    short = (2.0 * groove.floor_radius - _floor(row, thread)) * (-1.0 if inside else 1.0)
    floor = -FLOOR_DEEPER * thread.pitch <= short <= FLOOR_HIGHER * thread.pitch
    slack = WIDTH_OFF * thread.pitch
    least, most = _widths(groove, row)
    wide = (least is None or groove.width >= least - slack) and (most is None or groove.width <= most + slack)
    return floor and wide


def _widths(groove: Groove, row: tables.Row) -> tuple[float | None, float | None]:
    """Least and largest width of a form, mm. g1 is the floor's width, g2 the mouth's; with a run-out of 30
    degrees the least floor alone may reach a little beyond g2, and the table means both."""
    least, most = row.optional_number("g1_min_mm"), row.optional_number("g2_max_mm")
    if least is not None and most is not None:
        most = max(most, least + groove.depth / math.tan(RUN_OUT))
    return least, most


def _off(groove: Groove, row: tables.Row, thread: Thread) -> float:
    """How far a relief is from a form, mm: what its width is outside the form's range counts in full."""
    least, most = _widths(groove, row)
    narrow = max(0.0, least - groove.width) if least is not None else 0.0
    wide = max(0.0, groove.width - most) if most is not None else 0.0
    return abs(2.0 * groove.floor_radius - _floor(row, thread)) + narrow + wide


def _near(contour: Contour, groove: Groove, row: tables.Row, thread: Thread) -> Finding:
    drawn, floor = 2.0 * groove.floor_radius, _floor(row, thread)
    widths = [plain_text(row.number(c), 2) for c in ("g1_min_mm", "g2_max_mm") if row.optional_number(c)]
    text = (
        f"thread relief {plain_text(drawn)} mm diameter, {plain_text(groove.width, 2)} mm wide; "
        f"{_name(row, thread)} is {plain_text(floor)} mm, {' to '.join(widths)} mm wide"
    )
    return near_miss(contour, groove, text, (drawn, floor), row.source())
