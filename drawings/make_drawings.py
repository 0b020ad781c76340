"""Makes the demo drawings: parts of the "Tarnbeck" hand-pump, a garden pump that never existed.

Run `python drawings/make_drawings.py` from the project folder. Each function is one drawing and says what it
shows. Sizes were chosen for this project; threads, ring grooves and reliefs follow the tables in
dxf2turn/data.
"""

from __future__ import annotations

import math
from pathlib import Path

from bored_parts import BORED
from kit import Corner, Sheet, Vertex, vertices
from long_parts import LONG
from more_parts import MORE
from tube_parts import TUBE

HERE = Path(__file__).resolve().parent


def pump_shaft() -> Sheet:
    """Stepped shaft, half view in loose lines and arcs: M20x1.5 with relief, ring groove, fit, chamfers."""
    sheet = Sheet()
    half = vertices(
        [
            Corner(0, 0),
            Corner(0, 20, chamfer=1.5),
            Corner(-24, 20),
            Corner(-24.75 * 1.0, 17.7),
            Corner(-28.0, 17.7, radius=0.8),
            Corner(-28.0, 25, chamfer=0.5),
            Corner(-50, 25),
            Corner(-50, 23.9),
            Corner(-51.3, 23.9),
            Corner(-51.3, 25),
            Corner(-62, 25, radius=0.8),
            Corner(-62, 32, chamfer=1),
            Corner(-90, 32, radius=1.0),
            Corner(-90, 40, chamfer=1.5),
            Corner(-118, 40, chamfer=1.5),
            Corner(-118, 0),
        ]
    )
    sheet.loose(half)
    sheet.axis(6, -124)
    sheet.leader("M20x1.5 - 6g", (-12, 10), (-2, 32))
    sheet.leader("%%c25 h6", (-40, 12.5), (-30, 34))
    sheet.leader("DIN 471 - 25x1.2", (-50.65, 11.95), (-62, 40))
    sheet.length(0, 0, -28, 12.5, -12)
    sheet.length(0, 0, -62, 16, -20, "<> %%p0.1")
    sheet.length(0, 0, -118, 0, -28)
    sheet.text("42CrMo4   ISO 2768-m   Ra 3.2", -118, -40)
    sheet.text("TARNBECK PUMP  SHAFT", -118, -48)
    return sheet


def flanged_bush() -> Sheet:
    """Flanged bush with a bore, closed half section as one polyline with its hatch, R2018."""
    sheet = Sheet("R2018")
    half = vertices(
        [
            Corner(0, 28, chamfer=1),
            Corner(0, 60, chamfer=1),
            Corner(-8, 60, chamfer=0.5),
            Corner(-8, 40, radius=1.0),
            Corner(-45, 40, chamfer=1),
            Corner(-45, 28, chamfer=1),
        ]
    )
    sheet.polyline(half)
    sheet.hatch(half)
    sheet.axis(5, -50)
    sheet.diameter(0, 28, 14, "%%c28 H7")
    sheet.diameter(-45, 40, -58, "%%c40 k6")
    sheet.length(0, 30, -8, 30, 42)
    sheet.length(0, 30, -45, 20, 50)
    sheet.text("CuSn8   ISO 2768-m", -45, -16)
    return sheet


def spray_nozzle() -> Sheet:
    """Nozzle with an outside taper, a stepped bore and rounded edges; half profile, upright axis."""
    sheet = Sheet()
    half = vertices(
        [
            Corner(0, 6),
            Corner(0, 12, radius=1.0),
            Corner(-30, 24),
            Corner(-38, 24, chamfer=0.5),
            Corner(-38, 30, chamfer=1),
            Corner(-50, 30, chamfer=1),
            Corner(-50, 16, chamfer=0.5),
            Corner(-24, 16),
            Corner(-24 + 5.0 / math.tan(math.radians(59)), 6),
        ]
    )
    sheet.half = half
    turned = [
        Vertex(-v.r, v.z, v.bulge) for v in half
    ]  # axis upright, front on top, right half mirrored left
    turned = [Vertex(-v.z, v.r, -v.bulge) for v in turned]
    sheet.loose(turned, bored=True)
    sheet.space.add_line((0, 6), (0, -56), dxfattribs={"layer": "AXIS"})
    sheet.text("CuZn39Pb3", 20, -48)
    return sheet


def belt_pulley() -> Sheet:
    """Belt pulley with a vee groove, a bore and rounded edges; half section, front at the left."""
    sheet = Sheet()
    half = vertices(
        [
            Corner(0, 20, chamfer=1),
            Corner(0, 36, chamfer=1),
            Corner(-6, 36, radius=2.0),
            Corner(-6, 80, chamfer=1),
            Corner(-9.5, 80, radius=0.5),
            Corner(-13.0, 58),
            Corner(-19.0, 58),
            Corner(-22.5, 80, radius=0.5),
            Corner(-26, 80, chamfer=1),
            Corner(-26, 20, chamfer=1),
        ]
    )
    sheet.half = half
    mirrored = [Vertex(-v.z, v.r, -v.bulge) for v in half]
    sheet.polyline(mirrored)
    sheet.axis(-5, 31)
    sheet.text("EN AW-2007   front at the left", 0, -12)
    return sheet


def ball_handle() -> Sheet:
    """Crank handle: ball to the axis, tangent arc into the neck, taper, rounded end; R12, no unit."""
    sheet = Sheet("R12")
    ball, neck, sweep = 14.0, 7.0, 20.0  # radii of the ball, the neck and the concave arc between them
    dz = math.sqrt((ball + sweep) ** 2 - (neck + sweep) ** 2)
    touch = (-ball - dz * ball / (ball + sweep), (neck + sweep) * ball / (ball + sweep))
    half = [
        Vertex(0, 0, math.tan((math.pi - math.asin(touch[1] / ball)) / 4.0)),
        Vertex(*touch, -math.tan(math.atan2(dz, neck + sweep) / 4.0)),
        Vertex(-ball - dz, neck),
    ] + vertices(
        [
            Corner(-ball - dz, 2 * neck),
            Corner(-45, 2 * neck, radius=8.0),
            Corner(-78, 22),
            Corner(-90, 22, radius=3.0),
            Corner(-90, 0),
        ]
    )[1:]
    sheet.loose(half)
    sheet.axis(5, -97)
    sheet.text("11SMn30", -84, -14)
    return sheet


def collar_shaft() -> Sheet:
    """Shaft with a collar in the middle: both sides must be turned; full side view with edges across."""
    sheet = Sheet("R2000")
    half = vertices(
        [
            Corner(0, 0),
            Corner(0, 18, chamfer=1),
            Corner(-30, 18, radius=0.8),
            Corner(-30, 24, chamfer=0.5),
            Corner(-48, 24, radius=1.2),
            Corner(-48, 44, chamfer=1),
            Corner(-58, 44, chamfer=1),
            Corner(-58, 26, radius=1.2),
            Corner(-80, 26, chamfer=0.5),
            Corner(-80, 20, radius=0.8),
            Corner(-105, 20, chamfer=1),
            Corner(-105, 0),
        ]
    )
    open_half = [v for v in half if True]
    sheet.loose(open_half, close=False)
    sheet.loose(open_half, mirror=True, close=False)
    sheet.edges(
        [(-1, 18), (-30.5, 24), (-48, 26.4), (-49, 44), (-57, 44), (-58, 28.4), (-80, 25), (-104, 20)]
    )
    sheet.axis(6, -111)
    sheet.diameter(-10, 18, 12, "%%c18 g6")
    sheet.diameter(-98, 20, -118, "%%c20 k6")
    sheet.length(0, 9, -48, 22, 32)
    sheet.length(0, 9, -105, 10, 40)
    sheet.text("C45   ISO 2768-m", -100, -36)
    return sheet


def tie_rod() -> Sheet:
    """Inch drawing: rod with a unified thread and a relief, half polyline, R2000."""
    sheet = Sheet("R2000", unit=1, height=0.1)
    half = vertices(
        [
            Corner(0, 0),
            Corner(0, 0.5, chamfer=0.0625),
            Corner(-1.0, 0.5),
            Corner(-1.0, 0.39),
            Corner(-1.1875, 0.39, radius=0.03),
            Corner(-1.1875, 0.75, chamfer=0.03),
            Corner(-3.0, 0.75, chamfer=0.03),
            Corner(-3.0, 0),
        ]
    )
    sheet.polyline(half)
    sheet.axis(0.25, -3.25)
    sheet.text("1/2-13 UNC-2A", -0.9, 0.45)
    sheet.text("4140", -2.8, -0.3)
    return sheet


def valve_stem() -> Sheet:
    """Inch drawing: stem with an O-ring groove, a taper seat and 3/4-16 UNF; loose entities, R2007."""
    sheet = Sheet("R2007", unit=1, height=0.09)
    half = vertices(
        [
            Corner(0, 0),
            Corner(0, 0.25),
            Corner(-0.25, 0.5),
            Corner(-0.75, 0.5),
            Corner(-0.75, 0.394),
            Corner(-0.845, 0.394),
            Corner(-0.845, 0.5),
            Corner(-1.25, 0.5, radius=0.04),
            Corner(-1.25, 0.75, chamfer=0.05),
            Corner(-2.1, 0.75),
            Corner(-2.1, 0.65),
            Corner(-2.25, 0.65, radius=0.03),
            Corner(-2.25, 1.0, chamfer=0.03),
            Corner(-2.75, 1.0, chamfer=0.03),
            Corner(-2.75, 0),
        ]
    )
    sheet.loose(half)
    sheet.axis(0.2, -2.95)
    sheet.leader("3/4-16 UNF-2A", (-1.7, 0.375), (-1.5, 0.8))
    sheet.text("303 STAINLESS", -2.6, -0.4)
    return sheet


def bearing_spacer_sheet() -> Sheet:
    """A whole sheet: frame, title block, end view of circles, full section with hatching and dimensions."""
    sheet = Sheet("R2013")
    upper = vertices(
        [
            Corner(0, 30, chamfer=1),
            Corner(0, 52, chamfer=1),
            Corner(-14, 52),
            Corner(-14, 47),
            Corner(-16, 47),
            Corner(-16, 52),
            Corner(-40, 52, chamfer=1),
            Corner(-40, 35, chamfer=1),
            Corner(-26, 35, radius=0.5),
            Corner(-26, 30),
        ]
    )
    for mirror in (False, True):
        sheet.loose(upper, mirror=mirror)
        sheet.hatch(upper, mirror=mirror)
    for z, d in ((0, 30), (-1, 30), (-40, 35), (-26, 30)):
        sheet.space.add_line((z, -d / 2 + 0.0), (z, d / 2), dxfattribs={"layer": "PART"})
    sheet.axis(6, -46)
    for radius in (15, 26):
        sheet.space.add_circle((60, 0), radius, dxfattribs={"layer": "PART"})
    sheet.axis(30, 90)
    sheet.space.add_line((60, -31), (60, 31), dxfattribs={"layer": "AXIS"})
    sheet.diameter(0, 30, 14, "%%c30 H7")
    sheet.length(0, 26, -40, 26, 36, "<> -0.1")
    sheet.frame((-110, -100), 297, 210, "TARNBECK PUMP  SPACER", ("S355J2", "ISO 2768-m", "SCALE 1:1   A4"))
    return sheet


def clamp_screw_full() -> Sheet:
    """Screw blank from outside with thread root lines (ISO 6410), no unit, no centre line."""
    sheet = Sheet("R2004", unit=0)
    half = vertices(
        [
            Corner(0, 0),
            Corner(0, 12, chamfer=1.2),
            Corner(-22, 12),
            Corner(-22, 9.5),
            Corner(-26, 9.5, radius=0.6),
            Corner(-26, 22, chamfer=1),
            Corner(-34, 22, radius=2.0),
            Corner(-34, 0),
        ]
    )
    sheet.loose(half, close=False)
    sheet.loose(half, mirror=True, close=False)
    for sign in (1, -1):
        sheet.space.add_line((0, sign * 5.1), (-22, sign * 5.1), dxfattribs={"layer": "THIN"})
    sheet.edges([(-1.2, 12), (-22, 12), (-27, 22), (-26, 10.7)])
    sheet.diameter(-4, 12, 8, "M12")
    sheet.length(0, 6, -26, 11, 18)
    sheet.length(0, 6, -34, 0, 26)
    return sheet


def blocked_spool() -> Sheet:
    """A part that can't be made: a groove 0.4 wide and 6 deep, narrower than any blade."""
    sheet = Sheet()
    half = vertices(
        [
            Corner(0, 0),
            Corner(0, 30, chamfer=1),
            Corner(-12, 30),
            Corner(-12, 18),
            Corner(-12.4, 18),
            Corner(-12.4, 30),
            Corner(-40, 30, chamfer=1),
            Corner(-40, 0),
        ]
    )
    sheet.loose(half)
    sheet.axis(5, -45)
    sheet.text("S235JR", -38, -12)
    return sheet


def open_outline() -> Sheet:
    """A faulty drawing: the outline has a gap of 0.6 mm."""
    sheet = Sheet()
    half = vertices(
        [
            Corner(0, 0),
            Corner(0, 24, chamfer=1),
            Corner(-30, 24),
            Corner(-30, 36),
            Corner(-50, 36),
            Corner(-50, 0),
        ]
    )
    sheet.loose(half[:4], close=False)
    moved = [Vertex(half[4].z, half[4].r, 0.0) if i == 0 else v for i, v in enumerate(half[4:])]
    sheet.space.add_line((-30, 12), (-30, 17.4), dxfattribs={"layer": "PART"})
    sheet.loose(moved, close=False)
    sheet.axis(5, -55)
    return sheet


GOOD = {
    "pump_shaft": pump_shaft,
    "flanged_bush": flanged_bush,
    "spray_nozzle": spray_nozzle,
    "belt_pulley": belt_pulley,
    "ball_handle": ball_handle,
    "collar_shaft": collar_shaft,
    "tie_rod": tie_rod,
    "valve_stem": valve_stem,
    "bearing_spacer_sheet": bearing_spacer_sheet,
    "clamp_screw_full": clamp_screw_full,
}
BROKEN = {"blocked_spool": blocked_spool, "open_outline": open_outline}


def main() -> None:
    for folder, makers in (("good", GOOD | MORE | LONG | BORED | TUBE), ("broken", BROKEN)):
        (HERE / folder).mkdir(exist_ok=True)
        for name, make in makers.items():
            make().save(HERE / folder / f"{name}.dxf")


if __name__ == "__main__":
    main()
