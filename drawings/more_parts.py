"""More parts of the pump: inside threads and grooves, face grooves, long shafts, pipe threads."""

from __future__ import annotations

import math

from kit import Corner, Sheet, Vertex, vertices


def packing_nut() -> Sheet:
    """Packing nut: inside M30x1.5 with relief, knurled, through bore; section with both halves."""
    sheet = Sheet("R2018")
    upper = vertices(
        [
            Corner(0, 28.376, chamfer=1),
            Corner(0, 44, chamfer=1),
            Corner(-26, 44, chamfer=1),
            Corner(-26, 16, chamfer=0.5),
            Corner(-20, 16),
            Corner(-20, 30.8),
            Corner(-15, 30.8),
            Corner(-15, 28.376),
        ]
    )
    for mirror in (False, True):
        sheet.loose(upper, mirror=mirror)
        sheet.hatch(upper, mirror=mirror)
    sheet.edges([(0, 30.376), (-1, 28.376), (-15, 28.376), (-20, 30.8), (-25.5, 16), (-26, 17)])
    for sign in (1, -1):
        sheet.space.add_line((0, sign * 15.0), (-15, sign * 15.0), dxfattribs={"layer": "THIN"})
    sheet.axis(6, -32)
    sheet.diameter(-3, 30, 14, "M30x1.5 - 6H")
    sheet.leader("DIN 82 - RGE 1.0", (-12, 22), (-2, 34))
    sheet.length(0, 22, -26, 22, 44)
    sheet.text("CuZn39Pb3   ISO 2768-m", -30, -36)
    return sheet


def lift_spindle() -> Sheet:
    """Long spindle: Tr20x4, bearing seats with undercuts, centre holes; half profile, one polyline."""
    sheet = Sheet()
    half = vertices(
        [
            Corner(0, 0),
            Corner(0, 14, chamfer=1),
            Corner(-22, 14),
            Corner(-22.7464, 13.6),
            Corner(-24.5, 13.6, radius=0.6),
            Corner(-24.5, 20, chamfer=2.5),
            Corner(-150, 20),
            Corner(-150, 14.5, radius=0.6),
            Corner(-158, 14.5, radius=0.6),
            Corner(-158, 26, chamfer=1),
            Corner(-172, 26, chamfer=1),
            Corner(-172, 17, radius=0.8),
            Corner(-196, 17, chamfer=1),
            Corner(-196, 0),
        ]
    )
    sheet.polyline(half)
    sheet.axis(8, -204)
    sheet.leader("Tr20x4 - 7e", (-90, 10), (-80, 30))
    sheet.leader("%%c14 k6", (-10, 7), (0, 26))
    sheet.leader("%%c17 js6", (-184, 8.5), (-190, 30))
    sheet.leader("ISO 6411 - A2.5/5.3", (0, 0), (14, -14))
    sheet.length(0, 7, -196, 8.5, -24)
    sheet.text("C45   ISO 2768-m", -190, -34)
    return sheet


def hose_tail() -> Sheet:
    """Hose tail: three barbs, collar, G1/2 B outside with relief, drilled through; half section."""
    sheet = Sheet("R2007")
    half = vertices(
        [
            Corner(0, 9, chamfer=0.5),
            Corner(0, 12.4),
            Corner(-6, 15),
            Corner(-6, 13),
            Corner(-12, 15),
            Corner(-12, 13),
            Corner(-18, 15),
            Corner(-18, 13, radius=0.8),
            Corner(-30, 13, radius=1.0),
            Corner(-30, 27, chamfer=1),
            Corner(-38, 27, chamfer=1),
            Corner(-38, 18, radius=0.4),
            Corner(-42, 18),
            Corner(-43.7, 20.955),
            Corner(-54, 20.955, chamfer=1.5),
            Corner(-54, 9, chamfer=0.5),
        ]
    )
    sheet.polyline(half)
    sheet.hatch(half)
    sheet.axis(5, -60)
    sheet.leader("G1/2 B", (-48, 10.4775), (-58, 24))
    sheet.text("1.4305", -50, -12)
    return sheet


def pump_piston() -> Sheet:
    """Piston: O-ring grooves, blind stepped bore with a ring groove inside, dished front; R2004."""
    sheet = Sheet("R2004")
    half = vertices(
        [
            Corner(-6, 0),
            Corner(-6, 20, radius=2.0),
            Corner(0, 20, chamfer=0.5),
            Corner(0, 50, chamfer=1.5),
            Corner(-8, 50),
            Corner(-8, 44.6, radius=0.3),
            Corner(-11.6, 44.6, radius=0.3),
            Corner(-11.6, 50),
            Corner(-18, 50),
            Corner(-18, 44.6, radius=0.3),
            Corner(-21.6, 44.6, radius=0.3),
            Corner(-21.6, 50),
            Corner(-52, 50, chamfer=1),
            Corner(-52, 30, chamfer=1),
            Corner(-42, 30),
            Corner(-42, 31.4),
            Corner(-40.7, 31.4),
            Corner(-40.7, 30),
            Corner(-30, 30, radius=0.8),
            Corner(-30, 16),
            Corner(-20, 16),
            Corner(-20 + 8.0 / math.tan(math.radians(59)), 0),
        ]
    )
    sheet.loose(half)
    sheet.axis(8, -60)
    sheet.leader("%%c50 f7", (-30, 25), (-24, 38))
    sheet.text("EN AW-2007   ISO 2768-m", -50, -12)
    return sheet


def seal_ring() -> Sheet:
    """Ring with a face groove for an O-ring, through bore; half section, upright axis."""
    sheet = Sheet()
    half = vertices(
        [
            Corner(0, 40, chamfer=0.5),
            Corner(0, 52),
            Corner(-2.4, 52, radius=0.3),
            Corner(-2.4, 60, radius=0.3),
            Corner(0, 60),
            Corner(0, 80, chamfer=1),
            Corner(-16, 80, chamfer=1),
            Corner(-16, 40, chamfer=0.5),
        ]
    )
    sheet.half = half
    upright = [Vertex(v.r, v.z, -v.bulge) for v in half]
    sheet.polyline(upright)
    sheet.space.add_line((0, 6), (0, -22), dxfattribs={"layer": "AXIS"})
    sheet.text("S355J2", 8, -30)
    return sheet


def drain_plug() -> Sheet:
    """Inch drawing: plug with 1/2-14 NPT taper thread and a hand grip; half profile as loose lines."""
    sheet = Sheet("R2010", unit=1, height=0.08)
    small, large = 0.8156, 0.8156 + 0.75 / 16.0  # D0 = E0 + 0.8 P = 0.7584 + 0.8 / 14
    half = vertices(
        [
            Corner(0, 0),
            Corner(0, small - 0.12),
            Corner(-0.06, small + 0.06 / 16),
            Corner(-0.75, large),
            Corner(-0.95, large, radius=0.03),
            Corner(-0.95, 1.25, chamfer=0.05),
            Corner(-1.45, 1.25, chamfer=0.05),
            Corner(-1.45, 0),
        ]
    )
    sheet.loose(half)
    sheet.axis(0.25, -1.7)
    sheet.leader("1/2-14 NPT", (-0.4, 0.5 * (small + 0.4 / 16)), (-0.3, 0.8))
    sheet.text("BRASS C360", -1.4, -0.3)
    return sheet


def taper_arbor() -> Sheet:
    """Arbor with a 1:20 taper and a left-hand thread M16; full view, no centre line."""
    sheet = Sheet()
    half = vertices(
        [
            Corner(0, 0),
            Corner(0, 16, chamfer=2),
            Corner(-20, 16),
            Corner(-20, 13, radius=0.8),
            Corner(-24.5, 13, radius=0.8),
            Corner(-24.5, 24, chamfer=0.5),
            Corner(-40, 24),
            Corner(-40, 36, chamfer=1),
            Corner(-48, 36, chamfer=1),
            Corner(-48, 22),
            Corner(-108, 19, chamfer=1),
            Corner(-108, 0),
        ]
    )
    sheet.loose(half, close=False)
    sheet.loose(half, mirror=True, close=False)
    sheet.edges(
        [(-2, 16), (-20, 14.6), (-24.5, 23), (-40, 34), (-41, 36), (-47, 36), (-48, 34), (-107, 19.05)]
    )
    sheet.leader("M16 LH - 6g", (-10, 8), (2, 26))
    sheet.leader("1:20", (-78, 10.25), (-70, 28))
    sheet.length(0, 8, -108, 9.5, -30)
    sheet.text("16MnCr5", -60, -42)
    return sheet


def gland_cover() -> Sheet:
    """Cover: wide shallow counterbore for a seal, small bore with both edges broken; half section."""
    sheet = Sheet("R2013")
    half = vertices(
        [
            Corner(0, 52, chamfer=0.5),
            Corner(0, 66, chamfer=1),
            Corner(-9, 66, radius=0.8),
            Corner(-9, 44, radius=0.8),
            Corner(-22, 44, chamfer=1),
            Corner(-22, 18, chamfer=0.8),
            Corner(-6, 18, chamfer=0.5),
            Corner(-6, 52, radius=0.5),
        ]
    )
    sheet.polyline(half)
    sheet.hatch(half)
    sheet.axis(6, -28)
    sheet.diameter(-3, 52, 14, "%%c52 +0.1")
    sheet.length(0, 26, -6, 26, 40)
    sheet.length(0, 33, -22, 22, 46)
    sheet.text("CuSn8   ISO 2768-m", -26, -14)
    sheet.text("TARNBECK PUMP  GLAND COVER", -26, -22)
    return sheet


MORE = {
    "gland_cover": gland_cover,
    "packing_nut": packing_nut,
    "lift_spindle": lift_spindle,
    "hose_tail": hose_tail,
    "pump_piston": pump_piston,
    "seal_ring": seal_ring,
    "drain_plug": drain_plug,
    "taper_arbor": taper_arbor,
}
