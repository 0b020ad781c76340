"""Blades: plunges and finishing runs, with blades drawn by hand."""

from __future__ import annotations

import math

import pytest
import shapely
from shapely.geometry import box

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import polygon
from dxf2turn.geometry.segment import arc_through
from dxf2turn.planning.model import MoveKind
from dxf2turn.planning.operations.plunge import Plunges, Zone, plunge
from dxf2turn.planning.tool_space.axes import INSIDE, OUTSIDE
from dxf2turn.planning.work import Work
from dxf2turn.shop.load import load_shop
from tests.planning.hand_tools import blade, inside_blade

HOME = Point(30.0, 40.0)
PRACTICE = load_shop(None).practice.grooving
OUTLINE = 0.003  # outlines of tools are flattened to 0.002 mm
CORNER = -math.tan(math.pi / 8)


def closed(points, bulges=None):
    corners = [Point(*p) for p in points]
    ends = corners[1:] + corners[:1]
    return tuple(arc_through(a, b, (bulges or {}).get(i, 0.0)) for i, (a, b) in enumerate(zip(corners, ends)))


def square(width: float, depth: float, chamfer: float = 0.0, corner: float = 0.2, radius: float = 12.0):
    """A square groove in a cylinder, z -10 - width to -10, with chamfers at its mouth and rounded corners."""
    a, b, floor = -10.0, -10.0 - width, radius - depth
    mouth = radius - chamfer
    points = [
        (0, 0),
        (0, radius),
        (a + chamfer, radius),
        (a, mouth),
        (a, floor + corner),
        (a - corner, floor),
    ]
    points += [
        (b + corner, floor),
        (b, floor + corner),
        (b, mouth),
        (b - chamfer, radius),
        (-40, radius),
        (-40, 0),
    ]
    if chamfer == 0.0:
        points = [p for i, p in enumerate(points) if i not in (3, 8)]
        return closed(points, {3: CORNER, 5: CORNER})
    return closed(points, {4: CORNER, 6: CORNER})


def work_of(profile, stock=None) -> Work:
    part = polygon(profile, 0.0005)
    low, _, high, top = part.bounds
    return Work(profile, part, stock or box(low, 0, high, top), shapely.Polygon(), HOME, 1.0)


def zone(**more) -> Zone:
    values = {
        "axes": OUTSIDE, "lo": -30.0, "hi": -1.0, "base": -1.0, "practice": PRACTICE, "feed": 0.1,
        "finish_feed": 0.06, "clearance": 1.0,
    }  # fmt: skip
    return Zone(**{**values, **more})


def left_and_gouge(work: Work, result: Plunges) -> tuple[float, float]:
    """Largest distance of what is left from the part, and area cut out of the part."""
    rest = shapely.difference(result.stock, work.part.buffer(OUTLINE))
    return rest.area, shapely.difference(work.part, result.stock).area


@pytest.mark.parametrize("width", [3.0, 3.3, 4.0, 7.5, 12.0])
@pytest.mark.parametrize("chamfer", [0.0, 0.5])
def test_a_square_groove_is_cut_to_size(width: float, chamfer: float) -> None:
    """Whatever its width, nothing stays and nothing of the part is cut (checked with shapely's polygons)."""
    work = work_of(square(width, 2.5, chamfer))
    left, gouge = left_and_gouge(work, plunge(work, blade(3.0), zone()))
    assert left < 1e-6
    assert gouge < 2e-3


def test_a_blade_wider_than_the_groove_does_nothing() -> None:
    """A blade that does not fit gives no moves."""
    assert plunge(work_of(square(2.5, 2.0)), blade(3.0), zone()).moves == ()


def test_neighbouring_plunges_overlap() -> None:
    """In a wide groove the places of the plunges are no further apart than the blade less the overlap."""
    result = plunge(work_of(square(14.0, 4.0)), blade(3.0), zone())
    deep = sorted(m.z for m in result.moves if m.kind is MoveKind.FEED and abs(m.r - 8.1) < 1e-6)
    places = sorted({round(z, 6) for z in deep})
    assert len(places) == result.plunges > 3
    assert max(b - a for a, b in zip(places, places[1:])) <= 3.0 - PRACTICE.overlap_mm + 1e-6


def test_the_blade_lifts_along_x_before_it_moves_along_z() -> None:
    """No rapid along z happens below the mouth of the groove."""
    result = plunge(work_of(square(8.0, 3.0)), blade(3.0), zone())
    rapids = [(a, b) for a, b in zip(result.moves, result.moves[1:]) if b.kind is MoveKind.RAPID]
    assert all(a.r >= 12.0 for a, b in rapids if abs(b.z - a.z) > 1e-9)


def test_a_deep_plunge_is_pecked() -> None:
    """No cut goes deeper than two blade widths without a lift."""
    result = plunge(work_of(square(3.0, 9.0, radius=15.0)), blade(2.0, reach=20.0), zone())
    reached, cuts = 15.0, []
    for a, b in zip(result.moves, result.moves[1:]):
        if b.kind is MoveKind.FEED and abs(b.z - a.z) < 1e-9 and b.r < reached:
            cuts.append(reached - b.r)
            reached = b.r
    assert len(cuts) > 1
    assert max(cuts) <= PRACTICE.peck_widths * 2.0 + 1e-6


def test_corner_radii_come_out_as_true_arcs() -> None:
    """A floor corner larger than the blade's is followed by an arc of the difference of both radii."""
    result = plunge(work_of(square(8.0, 3.0, corner=0.6)), blade(3.0, nose=0.2), zone())
    arcs = [m for m in result.moves if m.kind is MoveKind.ARC and m.centre is not None]
    radii = {round(math.hypot(m.z - m.centre.x, m.r - m.centre.y), 3) for m in arcs}
    assert 0.4 in radii


@pytest.mark.parametrize("half", [20.0, 35.0, 60.0])
def test_a_vee_groove_keeps_its_walls(half: float) -> None:
    """Sloping walls are finished by the blade's corners; only the round at the bottom stays."""
    wide = 4.0 * math.tan(math.radians(half))
    a, b = -12.0, -13.2
    profile = closed([(0, 0), (0, 12), (a + wide, 12), (a, 8), (b, 8), (b - wide, 12), (-40, 12), (-40, 0)])
    work = work_of(profile)
    result = plunge(work, blade(1.0, nose=0.1, reach=8.0), zone())
    rest = shapely.difference(result.stock, work.part.buffer(OUTLINE))
    assert rest.area < 0.02
    assert shapely.difference(work.part, result.stock).area < 2e-3


def test_an_inside_groove_is_cut_from_the_bore() -> None:
    """The same run mirrored: a groove in a bore, with a bar that passes the bore."""
    profile = closed([(0, 10), (0, 20), (-30, 20), (-30, 10), (-14.2, 10), (-14.2, 12), (-11, 12), (-11, 10)])
    stock = box(-30, 10, 0, 20)
    work = work_of(profile, stock)
    result = plunge(work, inside_blade(2.0, nose=0.1), zone(axes=INSIDE, base=-12.3, clearance=0.4, lo=-25.0))
    rest = shapely.difference(result.stock, work.part.buffer(0.05))
    assert result.moves
    assert rest.area < 1e-3
    assert shapely.difference(work.part, result.stock).area < 2e-3


def test_steps_start_and_end_at_the_tool_change() -> None:
    """The moves begin and end at the tool-change point."""
    moves = plunge(work_of(square(4.0, 2.0)), blade(3.0), zone()).moves
    assert (moves[0].z, moves[0].r) == (moves[-1].z, moves[-1].r) == tuple(HOME)
