"""Insert designations, holder styles and the exact shapes that follow from them."""

from __future__ import annotations

import math

import pytest
import shapely

from dxf2turn.geometry.path import signed_area
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.shop.inserts import core_of, insert, style
from dxf2turn.shop.outline import OUTLINE_SAGITTA, flat_outline, grown
from dxf2turn.shop.roughness import tip_shift

# Edge lengths and inscribed circles as toolmakers' tables print them (reference key S26, copied there).
PRINTED = [
    ("CNMG120408", 12.9, 12.7, 0.8),
    ("DNMG150604", 15.5, 12.7, 0.4),
    ("DCMT11T304", 11.6, 9.525, 0.4),
    ("VBMT160404", 16.6, 9.525, 0.4),
    ("SNMG120408", 12.7, 12.7, 0.8),
    ("TNMG160408", 16.5, 9.525, 0.8),
    ("WNMG080408", 8.7, 12.7, 0.8),
]


def outline_of(designation: str, letter: str) -> tuple[shapely.Polygon, Point, float]:
    """The insert in a right-hand holder, its nose centre and nose radius."""
    found, holder = insert(designation), style(letter)
    assert found.corner_angle is not None
    nose = Point(found.nose_radius, found.nose_radius)
    main = math.pi - holder.cutting_edge_angle
    ways = (Vector.from_angle(main), Vector.from_angle(main - found.corner_angle))
    core = core_of(found, nose, *ways)
    return shapely.Polygon(flat_outline(core, found.nose_radius)), nose, found.nose_radius


@pytest.mark.parametrize(("designation", "edge", "circle", "radius"), PRINTED)
def test_designation_gives_printed_sizes(designation: str, edge: float, circle: float, radius: float) -> None:
    """A designation is read as inscribed circle and corner radius."""
    found = insert(designation)
    assert found.inscribed_circle == circle
    assert found.nose_radius == radius


@pytest.mark.parametrize(("designation", "edge", "circle", "radius"), PRINTED)
def test_sharp_edge_length_is_the_printed_one(
    designation: str, edge: float, circle: float, radius: float
) -> None:
    """The edge of the core, prolonged for the radius it lacks, is the printed edge length (S26, rounded)."""
    found = insert(designation)
    assert found.corner_angle is not None
    core = core_of(found, Point(0, 0), Vector(0, 1), Vector.from_angle(math.pi / 2 - found.corner_angle))
    lengths = [a.distance(b) for a, b in zip(core, core[1:] + core[:1])]
    scale = circle / (circle - 2.0 * radius)  # the core is the sharp insert, scaled about its centre
    assert min(lengths) * scale == pytest.approx(edge, abs=0.06)


@pytest.mark.parametrize(("designation", "edge", "circle", "radius"), PRINTED)
def test_inscribed_circle_touches_every_side(
    designation: str, edge: float, circle: float, radius: float
) -> None:
    """The largest circle inside the grown outline is the inscribed circle of the designation (ISO 1832)."""
    polygon, _, _ = outline_of(designation, "J" if designation[0] in "DVT" else "B")
    centre = shapely.maximum_inscribed_circle(polygon, tolerance=1e-4)
    assert shapely.length(centre) == pytest.approx(circle / 2.0, abs=0.005)


def test_nose_is_tangent_to_both_axes() -> None:
    """The imaginary tip lies at (0, 0): the nose touches z 0 and r 0, exactly."""
    polygon, _, radius = outline_of("CNMG120408", "L")
    assert polygon.bounds[0] == 0.0
    assert polygon.bounds[1] == 0.0
    assert (radius, 0.0) in polygon.exterior.coords
    assert (0.0, radius) in polygon.exterior.coords


def test_edges_stand_at_kappa_and_corner_angle() -> None:
    """CNMG in style L: main edge 95 degrees to the feed, trailing edge 5 degrees free (table S28, S29)."""
    polygon, nose, radius = outline_of("CNMG120408", "L")
    upper, right = Vector.from_angle(math.radians(85.0)), Vector.from_angle(math.radians(5.0))
    on_main = nose + upper.left * radius + upper * 6.0
    on_trailing = nose + -right.left * radius + right * 6.0
    assert polygon.exterior.distance(shapely.Point(on_main)) < 1e-9
    assert polygon.exterior.distance(shapely.Point(on_trailing)) < 1e-9


def test_outline_lies_inside_the_true_shape() -> None:
    """Chords never leave the exact shape and miss it by at most the stated sagitta."""
    core = (Point(0, 0), Point(5, 0), Point(4, 3))
    exact = signed_area(grown(core, 1.2))
    flat = shapely.Polygon(flat_outline(core, 1.2))
    assert 0.0 <= exact - flat.area <= OUTLINE_SAGITTA * 2.0 * math.pi * 1.2
    # Area of a grown convex shape: A + perimeter * r + pi r^2 (Steiner's formula).
    triangle = shapely.Polygon(core)
    assert exact == pytest.approx(triangle.area + triangle.length * 1.2 + math.pi * 1.44, rel=1e-12)


def test_round_insert_is_a_circle() -> None:
    """RCMT0803M0 is a circle of 8 mm."""
    found = insert("RCMT0803M0")
    assert found.corner_angle is None
    core = core_of(found, Point(4, 4), Vector(0, 1), Vector(1, 0))
    assert core == (Point(4, 4),)
    assert shapely.Polygon(flat_outline(core, found.nose_radius)).bounds == pytest.approx((0, 0, 8, 8))


# Tip shift for a change of corner radius, mm per mm: published by S29 (rows nose-PCLN to nose-PSBN).
TIP_SHIFTS = [
    (80, 95, 0.100, 0.100),
    (60, 91, 0.714, 0.030),
    (55, 93, 0.866, 0.099),
    (55, 107.5, 0.531, 0.531),
    (35, 95, 2.072, 0.273),
    (35, 117.5, 1.351, 1.351),
    (90, 75, 0.225, -0.293),
]
ROWS = (
    "nose-PCLN-x and nose-PCLN-z",
    "nose-PTGN-x and nose-PTGN-z",
    "nose-PDJN-x and nose-PDJN-z",
    "nose-PDHN-x and nose-PDHN-z",
    "nose-PVLN-x and nose-PVLN-z",
    "nose-PVPN-x and nose-PVPN-z",
    "nose-PSBN-x and nose-PSBN-z",
)


@pytest.mark.parametrize(("corner", "kappa", "x", "z"), TIP_SHIFTS, ids=ROWS)
def test_tip_shift_as_published(corner: float, kappa: float, x: float, z: float) -> None:
    """The tip moves as the toolmaker's table says when the corner radius changes (S29)."""
    found_z, found_r = tip_shift(math.radians(corner), math.radians(kappa))
    assert found_r == pytest.approx(x, abs=6e-4)
    assert found_z == pytest.approx(z, abs=6e-4)


@pytest.mark.parametrize(("corner", "kappa", "x", "z"), TIP_SHIFTS[:1] + TIP_SHIFTS[2:6])
def test_shapes_show_the_published_tip_shift(corner: float, kappa: float, x: float, z: float) -> None:
    """Two outlines with nose 0.8 and 0.4, edges laid on each other, have tips apart as published (S29)."""
    half = math.radians(corner / 2.0)
    main = math.pi - math.radians(kappa)
    bisector = Vector.from_angle(main - half)
    # Both noses touch the same two edges: their centres lie on the bisector, r / sin(e/2) from the corner.
    centres = [Point(0, 0) + bisector * (r / math.sin(half)) for r in (0.8, 0.4)]
    tips = [centre + Vector(-r, -r) for centre, r in zip(centres, (0.8, 0.4))]
    assert (tips[0].y - tips[1].y) / 0.4 == pytest.approx(x, abs=6e-4)
    assert (tips[0].x - tips[1].x) / 0.4 == pytest.approx(z, abs=6e-4)


@pytest.mark.parametrize(
    ("designation", "words"),
    [
        ("CNMG", "no ISO 1832 designation"),
        ("CNMG130408", "nearest is C12"),
        ("ANMG120408", "insert shape 'A' is not known"),
        ("CNMG1204M0", "gives no radius"),
        ("CNMG120400", "gives no radius"),
        ("CNMG060499", "too big"),
    ],
)
def test_bad_designation_says_what_is_wrong(designation: str, words: str) -> None:
    """A designation that can't be read names its fault."""
    with pytest.raises(ValueError, match=words):
        insert(designation)


def test_unknown_style_lists_the_known_ones() -> None:
    """A holder style outside the table is refused with the list."""
    with pytest.raises(ValueError, match="A, B, C"):
        style("Q")
