"""Long parts of the pump: held by the tailstock, or run in a steady."""

from __future__ import annotations

from kit import Corner, Sheet, vertices


def draw_rod() -> Sheet:
    """Long rod without a centre hole: M12 at the front, a ring groove, a fit; half profile."""
    sheet = Sheet()
    half = vertices(
        [
            Corner(0, 0),
            Corner(0, 12, chamfer=1.25),
            Corner(-18, 12),
            Corner(-18.75, 9.7),
            Corner(-22, 9.7, radius=0.4),
            Corner(-22, 16, chamfer=0.5),
            Corner(-92, 16),
            Corner(-92, 15.2),
            Corner(-93.1, 15.2),
            Corner(-93.1, 16),
            Corner(-118, 16, radius=0.4),
            Corner(-118, 22, chamfer=1),
            Corner(-132, 22, chamfer=1),
            Corner(-132, 0),
        ]
    )
    sheet.loose(half)
    sheet.axis(6, -138)
    sheet.leader("M12 - 6g", (-9, 6), (2, 22))
    sheet.leader("%%c16 h7", (-55, 8), (-45, 26))
    sheet.leader("DIN 471 - 16x1", (-92.55, 7.6), (-84, 32))
    sheet.length(0, 6, -132, 11, -20)
    sheet.text("C45   ISO 2768-m", -130, -30)
    return sheet


def pump_column() -> Sheet:
    """Thick column that does not go into the spindle, with a bore in its front: tailstock, then a steady."""
    sheet = Sheet("R2013")
    half = vertices(
        [
            Corner(0, 24, chamfer=1),
            Corner(0, 52, chamfer=1),
            Corner(-70, 52),
            Corner(-74, 56),
            Corner(-216, 56, chamfer=1),
            Corner(-216, 0),
            Corner(-47.211, 0),
            Corner(-40, 24),
        ]
    )
    sheet.half = half
    sheet.loose(half)
    sheet.axis(6, -224)
    sheet.leader("%%c24 H8", (-20, 12), (-10, 44))
    sheet.length(0, 26, -216, 28, -20)
    sheet.text("11SMn30   ISO 2768-m", -200, -40)
    return sheet


LONG = {"draw_rod": draw_rod, "pump_column": pump_column}
