"""The demo drawings' contours against outside references: SciPy's quadrature and shapely's polygon."""

from __future__ import annotations

import importlib.util
import math
import sys
from pathlib import Path

import pytest
from scipy.integrate import quad
from shapely import Polygon

from dxf2turn import pipeline
from dxf2turn.geometry.path import signed_area
from dxf2turn.options import DrawingOptions
from dxf2turn.units import Unit

DRAWINGS = Path(__file__).resolve().parents[1] / "drawings"
OPTIONS = {
    "belt_pulley": DrawingOptions(front="left"),
    "ball_handle": DrawingOptions(units=Unit.MM),
    "clamp_screw_full": DrawingOptions(units=Unit.MM),
}
SHARE = 1e-6  # relative


def _makers() -> dict:
    sys.path.insert(0, str(DRAWINGS))
    try:
        spec = importlib.util.spec_from_file_location("make_drawings", DRAWINGS / "make_drawings.py")
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
    finally:
        sys.path.remove(str(DRAWINGS))
    return module.GOOD | module.MORE | module.LONG | module.BORED | module.TUBE


MAKERS = _makers()


def _side(a, b):
    """A side of the outline as (z(t), r(t), dz/dt), t from 0 to 1; arcs by their bulge."""
    if a.bulge == 0.0:
        return (lambda t: a.r + (b.r - a.r) * t), (lambda t: b.z - a.z)
    turn = 4.0 * math.atan(a.bulge)
    chord = complex(b.z - a.z, b.r - a.r)
    centre = complex(a.z, a.r) + chord / 2.0 + 1j * chord / (2.0 * math.tan(turn / 2.0))
    arm = complex(a.z, a.r) - centre

    def at(t: float) -> complex:
        return arm * complex(math.cos(turn * t), math.sin(turn * t))

    return (lambda t: centre.imag + at(t).imag), (lambda t: (1j * turn * at(t)).real)


def _volume(half, scale: float) -> float:
    """Volume of the turned outline by SciPy's quadrature, mm3."""
    total = 0.0
    for a, b in zip(half, half[1:] + half[:1]):
        r, dz = _side(a, b)
        total += quad(lambda t, r=r, dz=dz: r(t) ** 2 * dz(t), 0.0, 1.0, epsrel=1e-12, epsabs=1e-12)[0]
    return abs(math.pi * total) * scale**3


def _area(half, scale: float) -> float:
    """Area of the outline by shapely, arcs as 4,000 chords, mm2."""
    points = []
    for a, b in zip(half, half[1:] + half[:1]):
        points.append((a.z, a.r))
        if a.bulge:
            turn = 4.0 * math.atan(a.bulge)
            chord = complex(b.z - a.z, b.r - a.r)
            centre = complex(a.z, a.r) + chord / 2.0 + 1j * chord / (2.0 * math.tan(turn / 2.0))
            arm = complex(a.z, a.r) - centre
            for i in range(1, 4000):
                p = centre + arm * complex(math.cos(turn * i / 4000), math.sin(turn * i / 4000))
                points.append((p.real, p.imag))
    return Polygon(points).area * scale**2


def _job(name: str):
    options = OPTIONS.get(name, DrawingOptions())
    return pipeline.recognise(pipeline.read(DRAWINGS / "good" / f"{name}.dxf", options), options)


@pytest.mark.parametrize("name", sorted(MAKERS))
def test_volume_and_area_of_the_demo_contour_agree_with_outside_references(name: str) -> None:
    """The contour read from the drawing has the volume (SciPy quad) and area (shapely) of what was drawn."""
    sheet = MAKERS[name]()
    scale = 25.4 if sheet.unit == 1 else 1.0

    job = _job(name)
    profile = job.contour.profile

    assert profile is not None, [f.text for f in job.findings]
    assert profile.volume == pytest.approx(_volume(sheet.half, scale), rel=SHARE)
    assert signed_area(profile.segments) == pytest.approx(_area(sheet.half, scale), rel=SHARE)


@pytest.mark.parametrize("name", sorted(MAKERS))
def test_every_corner_that_was_drawn_is_a_corner_of_the_contour(name: str) -> None:
    """Each vertex of the true outline lies within 1e-6 mm of an end of a contour segment."""
    sheet = MAKERS[name]()
    scale = 25.4 if sheet.unit == 1 else 1.0

    job = _job(name)
    ends = [segment.start for segment in job.contour.profile.segments]

    for vertex in sheet.half:
        nearest = min(math.hypot(p.x - vertex.z * scale, p.y - vertex.r * scale) for p in ends)
        assert nearest < 1e-6, (vertex, nearest)
