"""Retaining-ring grooves: DIN 471 on shafts, DIN 472 in bores."""

from __future__ import annotations

from dataclasses import dataclass, replace

from dxf2turn import tables
from dxf2turn.contour.model import Contour
from dxf2turn.features.model import Groove
from dxf2turn.features.standards.report import near_miss
from dxf2turn.findings import Finding
from dxf2turn.units import plain_text

SAME_SHAFT = 0.005  # the shaft or bore is the ring's nominal size within this share
WIDE = 0.14  # mm: H13 for widths up to 3 mm (ISO 286-2), the wider ones have more
WIDTH_OFF = 0.011  # mm, drawn narrower than the least width by rounding
FLOOR_OFF = 0.25  # the floor is the standard one within this share of the groove depth
NEAR_WIDTH = 0.45  # a width within this share of the standard one is a near miss
NEAR_FLOOR = 1.0  # a floor within this share of the depth is a near miss


@dataclass(frozen=True, slots=True)
class Ring:
    """A ring groove of the table, mm. depth: t on the radius."""

    standard: str
    nominal: float
    floor: float
    width: float
    depth: float
    thickness: float
    source: str
    note: str = ""  # e.g. that a value is disputed

    @property
    def name(self) -> str:
        """E.g. "DIN 471 - 25x1.2"."""
        return f"{self.standard} - {plain_text(self.nominal)}x{plain_text(self.thickness)}"


def match_ring(contour: Contour, groove: Groove) -> tuple[Groove, tuple[Finding, ...]]:
    """The groove with its ring, or a note when width or floor fits a ring and the other nearly does."""
    mouth = (
        groove.floor_radius + groove.depth if groove.opens == "out" else groove.floor_radius - groove.depth
    )
    candidates = rings_for(groove.opens, 2.0 * mouth)
    for ring in candidates:
        if _width_fits(groove, ring) and _floor_fits(groove, ring):
            return replace(groove, purpose="retaining ring", standard=ring.name, note=ring.note), ()
    for ring in candidates:
        width, floor = _width_fits(groove, ring), _floor_fits(groove, ring)
        if floor and abs(groove.width - ring.width) <= NEAR_WIDTH * ring.width:
            text = (
                f"groove {plain_text(groove.width, 2)} mm wide; {plain_text(ring.width, 2)} mm fits the ring "
                f"of {plain_text(ring.nominal)} mm ({ring.name})"
            )
            return groove, (near_miss(contour, groove, text, (groove.width, ring.width), ring.source),)
        drawn = 2.0 * groove.floor_radius
        if width and abs(drawn - ring.floor) <= 2.0 * NEAR_FLOOR * ring.depth:
            text = (
                f"groove floor {plain_text(drawn)} mm; {plain_text(ring.floor)} mm fits the ring of "
                f"{plain_text(ring.nominal)} mm ({ring.name})"
            )
            return groove, (near_miss(contour, groove, text, (drawn, ring.floor), ring.source),)
    return groove, ()


def rings_for(opens: str, diameter: float) -> tuple[Ring, ...]:
    """The rings of a shaft (opens "out") or bore ("in") of this diameter."""
    kind = "external" if opens == "out" else "internal"
    found = []
    for row in tables.rows("retaining_rings"):
        nominal = row.number("nominal_d1_mm")
        if row["type"].startswith(kind) and abs(nominal - diameter) <= SAME_SHAFT * nominal:
            found.append(
                Ring(
                    row["type"].split(" ", 1)[1],
                    nominal,
                    row.number("groove_diameter_d2_mm"),
                    row.number("groove_width_m_min_mm"),
                    row.number("groove_depth_t_mm"),
                    row.number("ring_thickness_s_mm"),
                    row.source(),
                    row["note"],
                )
            )
    return tuple(found)


def _width_fits(groove: Groove, ring: Ring) -> bool:
    return ring.width - WIDTH_OFF <= groove.width <= ring.width + WIDE


def _floor_fits(groove: Groove, ring: Ring) -> bool:
    return abs(groove.floor_radius - 0.5 * ring.floor) <= FLOOR_OFF * ring.depth
