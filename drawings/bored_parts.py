"""Parts of the pump with a bore and no plain outside cylinder to grip: held in the bore at last."""

from __future__ import annotations

from kit import Corner, Sheet, vertices


def drive_pulley() -> Sheet:
    """Pulley of the drive, two vee grooves over all of its rim, hub in front, H7 bore; half section."""
    sheet = Sheet("R2013")
    half = vertices(
        [
            Corner(0, 24, chamfer=1),
            Corner(0, 52, chamfer=1),
            Corner(-12, 52, radius=2.0),
            Corner(-12, 120, chamfer=1),
            Corner(-15, 120, radius=0.5),
            Corner(-18.5, 98),
            Corner(-24.5, 98),
            Corner(-28, 120, radius=0.5),
            Corner(-31, 120, radius=0.5),
            Corner(-34.5, 98),
            Corner(-40.5, 98),
            Corner(-44, 120, radius=0.5),
            Corner(-47, 120, chamfer=1),
            Corner(-47, 24, chamfer=1),
        ]
    )
    sheet.polyline(half)
    sheet.hatch(half)
    sheet.axis(6, -53)
    sheet.diameter(0, 24, 14, "%%c24 H7")
    sheet.length(0, 26, -47, 60, 78)
    sheet.length(0, 26, -12, 60, 70)
    sheet.text("EN AW-6082   ISO 2768-m   Ra 3.2", -47, -12)
    sheet.text("TARNBECK PUMP  DRIVE PULLEY", -47, -20)
    return sheet


BORED = {"drive_pulley": drive_pulley}
