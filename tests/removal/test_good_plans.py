"""Plans that are right by hand pass, with exactly the volumes that follow from their sketches."""

from __future__ import annotations

import math

import pytest
import shapely
from scipy.integrate import quad

from dxf2turn.features.model import TurnedPart
from dxf2turn.geometry.path import revolved_volume
from dxf2turn.geometry.point import Point
from dxf2turn.planning.model import Plan
from dxf2turn.removal.body import ring_volume
from dxf2turn.removal.verify import verify
from tests.removal.document import document
from tests.removal.plans import GOOD, rounded, stepped, two_sided
from tests.replay import replay


@pytest.mark.parametrize("name", GOOD)
def test_a_good_plan_passes(name: str) -> None:
    """No gouge, no contact and nothing left in any of the hand-made plans."""
    removal = verify(*GOOD[name]())
    assert removal.troubles == ()
    assert removal.findings == ()
    assert removal.ok
    assert removal.gouge_mm3 == removal.max_gouge == 0.0
    assert removal.max_left <= 0.0025


@pytest.mark.parametrize("name", GOOD)
def test_the_outsider_agrees(name: str) -> None:
    """The replay of the document finds nothing either."""
    verdict = replay(document(*GOOD[name]()))
    assert verdict["troubles"] == []
    assert verdict["ok"]


@pytest.mark.parametrize("name", GOOD)
def test_what_remains_has_the_volume_of_the_part(name: str) -> None:
    """Bar less chips is the part: the last outline's volume is the target's, in closed form."""
    part, plan = GOOD[name]()
    assert _made(part, plan) == pytest.approx(revolved_volume(part.target.segments), rel=1e-4)


def test_volume_of_the_rounded_knob_by_quadrature() -> None:
    """Outside reference: the knob's volume integrated numerically with scipy from its equations."""

    def outside(z: float) -> float:
        if z > -10.0:
            return 2.0 + math.sqrt(100.0 - (z + 10.0) ** 2)
        if z > -27.0:
            return 12.0
        return 15.0 - math.sqrt(9.0 - (z + 27.0) ** 2) if z > -30.0 else 16.0

    stops = [-40.0, -30.0, -27.0, -10.0, 0.0]
    expected = sum(quad(lambda z: math.pi * outside(z) ** 2, a, b)[0] for a, b in zip(stops, stops[1:]))
    part, plan = rounded()
    assert revolved_volume(part.target.segments) == pytest.approx(expected, rel=1e-9)
    assert _made(part, plan) == pytest.approx(expected, rel=1e-4)


def test_each_step_of_the_shaft_takes_its_volume() -> None:
    """Cylinders worked out by hand: facing takes 1 mm of the bar; turning leaves the two diameters."""
    removal = verify(*stepped())
    volumes = {step: sum(_volume(p) for p in polygons) for _, step, polygons in removal.after}
    bar = math.pi * 16.0**2
    assert volumes[10] == pytest.approx(100.0 * bar, rel=1e-12)
    chamfer = math.pi * (9.0**2 + 9.0 * 10.0 + 10.0**2) / 3.0
    turned = chamfer + math.pi * (24.0 * 10.0**2 + 19.0 * 15.0**2) + 56.0 * bar
    assert volumes[30] == pytest.approx(turned, rel=1e-9)
    # Parting off takes a ring of 3 (1 of radius 15 is beyond the blade) and lets the part go.
    assert volumes[90] == pytest.approx(56.0 * bar + math.pi * 15.0**2, rel=1e-9)


def test_the_second_setup_starts_from_the_parted_piece() -> None:
    """After the flip nothing of the bar is left: only the piece is in the machine."""
    removal = verify(*two_sided())
    first = next(polygons for setup, step, polygons in removal.after if (setup, step) == (2, 10))
    outline = [point for polygon in first for point in polygon[0]]
    assert max(point.x for point in outline) == pytest.approx(0.0)
    assert min(point.x for point in outline) == pytest.approx(-50.0)


def test_ring_volume_of_a_torus() -> None:
    """Pappus: a circle of radius a about the axis at distance R has the volume 2 pi^2 R a^2."""
    circle = shapely.Point(3.0, 10.0).buffer(2.0, quad_segs=256)
    assert ring_volume(circle) == pytest.approx(2.0 * math.pi**2 * 10.0 * 4.0, rel=1e-4)


def _made(part: TurnedPart, plan: Plan) -> float:
    return sum(_volume(polygon) for polygon in verify(part, plan).piece)


def _volume(polygon: tuple[tuple[Point, ...], ...]) -> float:
    return ring_volume(shapely.Polygon(polygon[0], polygon[1:]))
