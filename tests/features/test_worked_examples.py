"""Recognition and tables against the worked examples about cones, chamfers, grooves and fits.

Each case is copied from the reference table of worked examples with its id, standing and source key (see
docs/tables.md); those about speeds, forces and times are in tests/shop and tests/planning.
"""

from __future__ import annotations

import math

import pytest

from dxf2turn import tables
from dxf2turn.features.fits import it_width
from dxf2turn.features.model import Chamfer, Groove, Taper
from dxf2turn.features.recognise import recognise
from dxf2turn.options import DrawingOptions
from tests.features.shapes import C, contour

INCH = 25.4


def only(kind: type, outer: list[C]):  # noqa: ANN201
    """The single feature of a kind on a solid part."""
    part = recognise(contour(outer), DrawingOptions())
    (found,) = [f for f in part.features if isinstance(f, kind)]
    return found


def cone(large: float, small: float, length: float) -> Taper:
    """The taper of a part that is a cone between two short cylinders; all mm."""
    end = -9.0 - length
    corners = [(0, 0), (0, small), (-9, small), (end, large), (end - 9, large), (end - 9, 0)]
    return only(Taper, [C(z, d) for z, d in corners])


CONES = [
    ("taper-1, published S48", lambda: math.degrees(cone(50, 30, 60).half_angle), 9.46, 0.005),
    ("taper-2, published S48", lambda: 1000.0 * cone(50, 30, 60).ratio, 333.33, 0.01),
    # Set-over of a tailstock: half of what the diameter gains over the whole length.
    ("taper-3, published S48", lambda: 0.5 * cone(50, 30, 60).ratio * 60.0, 10.0, 0.001),
    ("taper-4, published S49", lambda: 0.5 * cone(3 * INCH, 2 * INCH, 12 * INCH).ratio * 12.0, 0.5, 0.0001),
    ("taper-5, published S49", lambda: 0.5 * cone(2.5 * INCH, 2 * INCH, 6 * INCH).ratio * 6.0, 0.25, 0.0001),
    ("taper-6, published S71", lambda: math.degrees(cone(42, 40, 80).half_angle), 0.716, 0.0005),
]


@pytest.mark.parametrize(
    ("value", "expected", "within"), [pytest.param(*case[1:], id=case[0]) for case in CONES]
)
def test_a_drawn_cone_has_the_published_angle(value, expected: float, within: float) -> None:  # noqa: ANN001
    """Half angle and ratio of recognised cones, and the set-over that follows from the ratio."""
    assert value() == pytest.approx(expected, abs=within)


def test_a_chamfer_between_two_programmed_points() -> None:
    """chamfer-angle (published, forum post S73): X 0.875 to 1.025, Z -0.518 to -0.593 inch are 45 degrees."""
    outer = [(0, 0), (0, 0.875), (-0.518, 0.875), (-0.593, 1.025), (-1.2, 1.025), (-1.2, 0)]
    part = recognise(contour([C(z * INCH, d * INCH) for z, d in outer]), DrawingOptions())
    (found,) = [f for f in part.features if isinstance(f, Chamfer | Taper)]
    angle = found.angle if isinstance(found, Chamfer) else found.half_angle
    assert math.degrees(angle) == pytest.approx(45.0, abs=0.01)


def test_the_squeeze_of_an_o_ring() -> None:
    """oring-squeeze (published S74): a cord of 3 mm in a groove 2.3 mm deep is squeezed by 0.7 mm."""
    outer = [(0, 0), (0, 59), (-9, 59), (-9, 54.4), (-13, 54.4), (-13, 59), (-30, 59), (-30, 0)]
    groove = only(Groove, [C(z, d) for z, d in outer])
    assert 3.0 - groove.depth == pytest.approx(0.7, abs=0.001)
    for row in tables.rows("orings"):  # The same relation in the table, rounded there.
        cord = row.number("cord_diameter_d2_mm")
        depth = 0.5 * (row.number("groove_depth_min_mm") + row.number("groove_depth_max_mm"))
        squeeze = row.number("squeeze_percent_at_mean_depth")
        assert 100.0 * (cord - depth) / cord == pytest.approx(squeeze, abs=0.15)


def test_the_standard_tolerance_of_a_size() -> None:
    """it-1 (published table value S1, S2, S3): IT7 over 18 to 30 mm is 21 um, 16 (0.45 D^1/3 + 0.001 D)."""
    middle = math.sqrt(18.0 * 30.0)
    assert 1000.0 * (it_width(24.0, 7) or 0.0) == pytest.approx(21.0, abs=0.0)
    assert 16.0 * (0.45 * middle ** (1 / 3) + 0.001 * middle) == pytest.approx(21.0, abs=0.6)


@pytest.mark.parametrize(
    ("size", "width"), [pytest.param(10.0, 0.36, id="iso-wiki-1"), pytest.param(100.0, 0.87, id="iso-wiki-2")]
)
def test_it14_of_an_encyclopedia(size: float, width: float) -> None:
    """Published, S75: IT14 at 10 and at 100 mm."""
    assert it_width(size, 14) == pytest.approx(width, abs=1e-9)


def test_the_undercut_of_a_designation() -> None:
    """undercut-example (published S13): E 0,8 x 0,3 is 2.5 mm wide."""
    rows = tables.rows("undercuts")
    (row,) = [r for r in rows if r["form"] == "E" and (r.number("r_mm"), r.number("t1_mm")) == (0.8, 0.3)]
    assert row.number("f_mm") == pytest.approx(2.5)
