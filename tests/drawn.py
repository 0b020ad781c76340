"""The reader's `Drawing` of a view without a file, and contours held against the truth."""

from __future__ import annotations

from dataclasses import replace

from dxf2turn.contour.model import Profile
from dxf2turn.geometry.segment import Arc
from dxf2turn.reading.model import Curve, Drawing, Header, Origin, Role
from tests.strokes import View

LAYERS = {  # name -> (colour, linetype)
    "PART": (7, "CONTINUOUS"),
    "AXIS": (1, "CENTER"),
    "HIDDEN": (4, "DASHED"),
    "THIN": (3, "CONTINUOUS"),
    "SECTION": (8, "CONTINUOUS"),
    "SHEET": (9, "CONTINUOUS"),
    "NOTES": (2, "CONTINUOUS"),
}
ROLES = {"CENTER": Role.CENTRE, "DASHED": Role.HIDDEN}
EXACT = 1e-6  # mm
MM, INCH = 4, 1  # $INSUNITS


def drawing_of(view: View, insunits: int | None = MM, measurement: int | None = 1) -> Drawing:
    """What reading makes of a view's strokes, without a file."""
    curves = []
    for number, stroke in enumerate(view.strokes):
        handle = f"{number + 0x20:X}"
        linetype = stroke.linetype or LAYERS[stroke.layer][1]
        kind = "LWPOLYLINE" if len(stroke.segments) > 1 else type(stroke.segments[0]).__name__.upper()
        origin = Origin(handle, kind, stroke.layer, linetype)
        segments = tuple(replace(segment, origin=(handle,)) for segment in stroke.segments)
        curves.append(Curve(segments, origin, ROLES.get(linetype, Role.OUTLINE), stroke.closed))
    for number, hatch in enumerate(view.hatches):
        origin = Origin(f"H{number}", "HATCH", "SECTION")
        curves.append(Curve(hatch, origin, Role.HATCH, closed=True))
    header = Header("AC1024", insunits, measurement)
    return Drawing("part.dxf", "0" * 64, b"", header, tuple(curves))


def assert_same_profile(found: Profile | None, true: Profile, tolerance: float = EXACT) -> None:
    """Whether a contour equals the truth: same pieces in the same order, places within `tolerance`."""
    assert found is not None, "no profile was found"
    pairs = list(zip(found.segments, true.segments))
    assert [type(s).__name__ for s in found.segments] == [type(s).__name__ for s in true.segments]
    for index, (a, b) in enumerate(pairs):
        assert a.start.distance(b.start) <= tolerance, (index, a, b)
        if isinstance(a, Arc) and isinstance(b, Arc):
            assert a.clockwise == b.clockwise, (index, a, b)
            assert a.point_at(0.5).distance(b.point_at(0.5)) <= tolerance, (index, a, b)
            if tolerance <= EXACT:
                assert a.centre.distance(b.centre) <= tolerance, (index, a, b)
    assert found.roles == true.roles
