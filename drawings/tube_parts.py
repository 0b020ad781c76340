"""Parts of the pump that come out of tube."""

from __future__ import annotations

from kit import Corner, Sheet, vertices


def cylinder_liner() -> Sheet:
    """Liner: long through bore with a fit, lead-in taper, collar, two O-ring grooves; half section."""
    sheet = Sheet("R2010")
    half = vertices(
        [
            Corner(0, 60),
            Corner(0, 78, chamfer=1),
            Corner(-8, 78, chamfer=0.5),
            Corner(-8, 72, radius=0.8),
            Corner(-60, 72),
            Corner(-60, 66.6, radius=0.4),
            Corner(-64.9, 66.6, radius=0.4),
            Corner(-64.9, 72),
            Corner(-76, 72),
            Corner(-76, 66.6, radius=0.4),
            Corner(-80.9, 66.6, radius=0.4),
            Corner(-80.9, 72),
            Corner(-92, 72, chamfer=1.5),
            Corner(-92, 56, chamfer=0.5),
            Corner(-7.5, 56),
        ]
    )
    sheet.polyline(half)
    sheet.hatch(half)
    sheet.axis(6, -98)
    sheet.diameter(-30, 56, 16, "%%c56 H8")
    sheet.diameter(-40, 72, 30, "%%c72 f7")
    sheet.length(0, 39, -8, 36, 48)
    sheet.length(0, 39, -92, 36, 56, "<> -0.1")
    sheet.text("C45E   ISO 2768-m", -88, -16)
    sheet.text("TARNBECK PUMP  LINER", -88, -24)
    return sheet


TUBE = {"cylinder_liner": cylinder_liner}
