"""Faces of linework: counted by hand, and against shapely's polygonizer."""

from __future__ import annotations

import math

import pytest
import shapely

from dxf2turn.geometry.path import signed_area
from dxf2turn.geometry.planar_map import bounding_edges, planar_map
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, circle_arcs

A, B, C, D = Point(0, 0), Point(4, 0), Point(4, 3), Point(0, 3)
SQUARE = [Line(A, B), Line(B, C), Line(C, D), Line(D, A)]


def _areas(edges) -> list[float]:
    found = planar_map(edges)
    return sorted(signed_area(found.path(loop)) for loop in found.faces)


def test_a_rectangle_has_one_face_in_any_direction_of_its_sides():
    """Sides may be drawn either way round; the face is counter-clockwise."""
    turned = [SQUARE[0].reversed(), SQUARE[1], SQUARE[2].reversed(), SQUARE[3]]
    assert _areas(turned) == [12.0]


def test_a_diagonal_makes_two_faces_that_know_each_other():
    """Both sides of the diagonal have a face to their left, the outer sides have none to their right."""
    found = planar_map([*SQUARE, Line(A, C)])
    assert len(found.faces) == 2
    assert {found.face_of[8], found.face_of[9]} == {0, 1}
    assert sum(face is None for face in found.face_of) == 4


def test_free_ends_bound_nothing():
    """A chain that hangs on a rectangle is left out of its face."""
    stub = [Line(C, Point(6, 4)), Line(Point(6, 4), Point(7, 4))]
    assert bounding_edges([*SQUARE, *stub]) == [0, 1, 2, 3]
    assert _areas([*SQUARE, *stub]) == [12.0]


def test_separate_groups_have_their_own_borders():
    """Two circles give two faces and two clockwise borders."""
    found = planar_map([*circle_arcs(Point(0, 0), 2.0), *circle_arcs(Point(9, 0), 1.0)])
    assert len(found.faces) == len(found.borders) == 2
    assert _areas(found.edges) == pytest.approx([math.pi, 4.0 * math.pi])


def test_tangent_arcs_are_told_apart_at_their_common_point():
    """Three half discs that all leave one point upwards: the order is that of their radii."""
    start = Point(0, 0)
    edges = []
    for radius in (1.0, 2.0, 4.0):
        end = Point(2.0 * radius, 0.0)
        edges.append(Arc(start, end, Point(radius, 0.0), True))
    edges += [Line(start, Point(2, 0)), Line(Point(2, 0), Point(4, 0)), Line(Point(4, 0), Point(8, 0))]
    half = 0.5 * math.pi
    assert _areas(edges) == pytest.approx(sorted([half, half * 4 - half, half * 16 - half * 4]))


def test_a_grid_agrees_with_shapelys_polygonizer():
    """Number of faces and total area of a 7 x 5 grid of lines, against shapely.polygonize."""
    edges = [Line(Point(x, y), Point(x + 1, y)) for x in range(7) for y in range(6)]
    edges += [Line(Point(x, y), Point(x, y + 1)) for x in range(8) for y in range(5)]
    outside = shapely.polygonize([shapely.LineString([e.start, e.end]) for e in edges])
    areas = _areas(edges)
    assert len(areas) == len(outside.geoms) == 35
    assert math.fsum(areas) == pytest.approx(outside.area)


def test_edges_vertices_and_faces_keep_eulers_formula():
    """V - E + F = C for bounded faces F and C connected groups (Euler's polyhedron formula)."""
    edges = [*SQUARE, Line(A, C), *circle_arcs(Point(20, 0), 1.0)]
    vertices = {end for edge in edges for end in (edge.start, edge.end)}
    found = planar_map(edges)
    assert len(vertices) - len(edges) + len(found.faces) == len(found.borders) == 2
