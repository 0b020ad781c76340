"""Depths, volumes and thread room, each against a value worked out by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely
from shapely import Polygon

from dxf2turn.geometry.point import Point
from dxf2turn.removal.body import Frame, body_of, depth_in, frame_of, ring_volume
from tests.removal.plans import ROOT, stepped, threaded, two_sided

WALL = Polygon([(0.0, 0.0), (0.0, 10.0), (-20.0, 10.0), (-20.0, 0.0)])


def test_a_wedge_is_deepest_between_its_corners() -> None:
    """A wedge with all corners on the surface still has a depth: the middle of a chord across a corner."""
    wedge = Polygon([(0.0, 10.0), (-1.0, 10.0), (0.0, 9.0)])
    depth, at = depth_in(WALL.boundary, wedge)
    assert depth == pytest.approx(0.5, abs=0.02)
    assert at.x == pytest.approx(-0.5, abs=0.02)


def test_a_region_with_a_very_short_edge_has_a_depth() -> None:
    """An edge of 3e-16, as cutting leaves it, must not make the region vanish."""
    corners = [(-0.5799999999999997, 9.08), (0.0110168803326727, 8.488983119667328)]
    corners += [(0.0005071092087636, 0.1999556336930636), (0.0, 0.2), (0.0, 8.5), (-0.5800000000000001, 9.08)]
    depth, _ = depth_in(Polygon([(0, 0), (0, 8.5), (-1.5, 10), (-9, 10), (-9, 0)]), Polygon(corners))
    assert depth == pytest.approx(0.011, abs=0.001)


def test_the_axis_is_no_surface() -> None:
    """A cut down to the axis of a solid bar is as deep as the bar's radius, not as near as the axis."""
    body = body_of(stepped()[0])
    slot = Polygon([(-30.0, 0.0), (-31.0, 0.0), (-31.0, 15.0), (-30.0, 15.0)])
    depth, at = depth_in(body.plain.surface, slot)
    assert depth > 5.0
    assert at.y < 10.0


def test_the_core_is_the_part_less_the_tolerance_but_whole_at_the_axis() -> None:
    """0.002 off every face; the edge on the axis stays on it."""
    core = body_of(stepped()[0]).plain.core
    assert core.bounds == pytest.approx((-39.998, 0.0, -0.002, 14.998))


def test_a_frustum_turned() -> None:
    """Volume of a cone's frustum: pi h (R^2 + R r + r^2) / 3."""
    trapezium = Polygon([(0.0, 0.0), (6.0, 0.0), (6.0, 3.0), (0.0, 5.0)])
    assert ring_volume(trapezium) == pytest.approx(math.pi * 6.0 * (25.0 + 15.0 + 9.0) / 3.0)


def test_a_ring_with_a_hole_turned() -> None:
    """A square ring about the axis less a smaller one: Pappus for each."""
    ring = shapely.box(0, 10, 4, 14).difference(shapely.box(1, 11, 3, 13))
    assert ring_volume(ring) == pytest.approx(math.tau * 12.0 * (16.0 - 4.0))


def test_a_turned_frame_there_and_back() -> None:
    """z -10 of a 50 long part is z -40 after the flip, and back."""
    frame = frame_of(two_sided()[0], flipped=True)
    assert frame.point_in_setup(Point(-10.0, 3.0)) == Point(-40.0, 3.0)
    assert frame.point_on_part(Point(-40.0, 3.0)) == Point(-10.0, 3.0)
    region = shapely.box(-10.0, 1.0, -5.0, 2.0)
    assert frame.to_part(frame.to_setup(region)).equals(region)
    assert Frame(1.0, 0.0).to_setup(region).equals(region)


def test_room_for_a_thread_ends_at_the_root_and_beyond_the_run_out() -> None:
    """0.01 below the root, and run-in, run-out and 0.6 pitch along z."""
    (zone,) = body_of(threaded()[0]).zones
    z_low, r_low, z_high, _ = zone.room.bounds
    assert r_low == pytest.approx(ROOT - 0.01)
    assert (z_low, z_high) == pytest.approx((-20.0 - 2.5 - 0.9, -1.5 + 4.0 + 0.9))


def test_endless_room_beyond_a_thread() -> None:
    """Room in the open is infinite; the zone stays a polygon with finite corners."""
    part, _ = threaded()
    feature = replace(part.features[0], run_in=math.inf)
    (zone,) = body_of(replace(part, features=(feature,))).zones
    assert zone.room.is_valid and math.isfinite(zone.room.area)
