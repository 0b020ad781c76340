"""Rows of lines across a part: handed on as they are drawn, left out of the contour."""

from __future__ import annotations

import pytest

from tests.contour.sketch import axis, both, chain, codes, contour, corners

BOLT = [(0, 0), (0, 9), (-1, 10), (-40, 10), (-40, 15), (-50, 15), (-50, 0)]
AS_PROFILE = [(float(x), float(y)) for x, y in BOLT]
VIEW = both(BOLT) + chain([(-1, 10), (-1, -10)]) + chain([(-40, 15), (-40, -15)]) + axis(5, -55)
PITCH, COUNT = 2.5, 10


def _crests(rise: float = 0.0, radius: float = 10.0, first: float = -4.0):
    """Lines from border to border, each a pitch behind the last one, slanted by half a `rise`."""
    return [
        stroke
        for i in range(COUNT)
        for stroke in chain([(first - i * PITCH, radius), (first - i * PITCH - 0.5 * rise, -radius)])
    ]


def _spacing(lines) -> list[float]:
    return [round(a.segment.start.x - b.segment.start.x, 6) for a, b in zip(lines, lines[1:])]


def _rows(found):
    numbers = sorted({line.row for line in found.cross_lines})
    return [[line for line in found.cross_lines if line.row == number] for number in numbers]


@pytest.mark.parametrize("rise", [0.0, PITCH, -PITCH])
def test_crest_lines_across_a_view_are_a_row(rise):
    """Straight or slanted, from border to border: one row, with its distances, and no other finding."""
    found = contour(VIEW + _crests(rise))
    (row,) = _rows(found)
    assert corners(found) == AS_PROFILE
    assert _spacing(row) == [PITCH] * (COUNT - 1)
    assert all(line.segment.start.y == pytest.approx(10.0) for line in row)
    assert codes(found) == []


def test_crest_lines_over_thread_roots_stay_whole():
    """The two thin lines of the root cut each crest line; it is handed on from the crest to the axis."""
    found = contour(VIEW + _crests(PITCH) + both([(-1, 8.5), (-30, 8.5)]))
    (row,) = _rows(found)
    assert [line.segment.end.y for line in row] == [0.0] * COUNT
    assert [round(thin.segment.start.y, 6) for thin in found.thin_lines] == [8.5]


def test_crests_and_roots_in_turn_are_two_rows():
    """Long lines and shorter ones between them, which end free."""
    found = contour(VIEW + _crests(PITCH) + _crests(PITCH, 8.5, -4.0 - 0.5 * PITCH))
    rows = _rows(found)
    assert corners(found) == AS_PROFILE
    assert [round(row[0].segment.start.y, 6) for row in rows] == [10.0, 8.5]
    assert [_spacing(row) for row in rows] == [[PITCH] * (COUNT - 1)] * 2


def test_a_zigzag_is_two_rows():
    """Flanks between the crest and the root of a plain outline, up and down in turn."""
    places = [(-2 - 0.5 * PITCH * i, 10.0 if i % 2 == 0 else 8.0) for i in range(2 * COUNT + 1)]
    found = contour(VIEW + both(places))
    rows = _rows(found)
    assert corners(found) == AS_PROFILE
    assert [_spacing(row) for row in rows] == [[PITCH] * (COUNT - 1)] * 2


def test_crest_lines_on_a_half_profile_are_a_row():
    """From the crest to the axis, on the half that is drawn."""
    half = [stroke for i in range(COUNT) for stroke in chain([(-2 - i * PITCH, 10), (-2 - i * PITCH, 0)])]
    found = contour(chain(BOLT) + half + axis(5, -55))
    assert corners(found) == AS_PROFILE
    assert _spacing(found.cross_lines) == [PITCH] * (COUNT - 1)


def test_edges_of_even_shoulders_are_no_row():
    """Lines across at corners of the outline are its edges, however evenly they follow each other."""
    steps = [place for i in range(8) for place in [(-5 * i, 10 + i), (-5 * (i + 1), 10 + i)]]
    outline = [(0, 0), *steps, (-40, 0)]
    edges = [stroke for i in range(1, 8) for stroke in chain([(-5 * i, 10 + i), (-5 * i, -10 - i)])]
    assert contour(both(outline) + edges + axis(5, -45)).cross_lines == ()


def test_uneven_lines_across_are_no_row():
    """Marks at unlike distances show no pitch."""
    lines = [s for z in (-3, -7, -8, -14, -16, -25) for s in chain([(z, 10), (z, -10)])]
    assert contour(VIEW + lines).cross_lines == ()
