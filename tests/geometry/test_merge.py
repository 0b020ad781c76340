"""Parts of one line or circle are put together, and nothing else is."""

from __future__ import annotations

from dxf2turn.geometry.merge import merged
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, arc_through, circle_arcs

SAME = 1e-6


def _exact(_: Point) -> float:
    return SAME


def test_split_lines_and_arcs_become_one_again():
    """A slot shape whose lower line and right arc were cut in two: four pieces, exact centre."""
    right = Arc(Point(10, 0), Point(10, 4), Point(10, 2), False)
    loop = [
        Line(Point(0, 0), Point(3, 0)),
        Line(Point(3, 0), Point(10, 0)),
        right.part(0.0, 0.3),
        right.part(0.3, 1.0),
        Line(Point(10, 4), Point(0, 4)),
        Arc(Point(0, 4), Point(0, 0), Point(0, 2), False),
    ]
    found = merged(loop, _exact)
    assert [type(s).__name__ for s in found] == ["Line", "Arc", "Line", "Arc"]
    assert found[0] == Line(Point(0, 0), Point(10, 0))
    assert found[1] == right


def test_a_short_arc_before_a_long_one_of_another_circle_stays():
    """Two arcs that only turn the same way: the longer one does not swallow the shorter one."""
    short = arc_through(Point(0, 0), Point(0, 2), 0.2)
    long = arc_through(Point(0, 2), Point(0, 0), 2.0)
    assert len(merged([short, long], _exact)) == 2
    assert len(merged([long, short], _exact)) == 2


def test_a_circle_in_many_pieces_is_never_one_arc():
    """A whole circle has no arc of its own: at least two pieces stay."""
    upper, lower = circle_arcs(Point(0, 0), 5.0)
    pieces = [half.part(i / 4, (i + 1) / 4) for half in (upper, lower) for i in range(4)]
    joined = [Arc(a.start, b.start, a.centre, a.clockwise) for a, b in zip(pieces, pieces[1:] + pieces[:1])]
    found = merged(joined, _exact)
    assert len(found) >= 2
    assert all(segment.length > 0.0 for segment in found)


def test_a_kink_within_the_tolerance_of_its_place_goes():
    """A corner 0.003 off the straight line is a corner, unless something was joined there."""
    loop = [
        Line(Point(0, 0), Point(5, 0.003)),
        Line(Point(5, 0.003), Point(10, 0)),
        Line(Point(10, 0), Point(10, 5)),
        Line(Point(10, 5), Point(0, 0)),
    ]
    assert len(merged(loop, _exact)) == 4
    assert len(merged(loop, lambda place: 0.01 if place == Point(5, 0.003) else SAME)) == 3
