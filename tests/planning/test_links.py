"""Rapids between cuts, checked by an own replay."""

from __future__ import annotations

import shapely

from dxf2turn.geometry.point import Point
from dxf2turn.planning.model import Move, MoveKind
from dxf2turn.planning.tool_space.links import approach, rapids, retract, route, surroundings
from dxf2turn.planning.tool_space.sweep import after, swept
from tests.planning.cutting import HOME, bar, closed, insert, replay, work_on

C80 = insert(80, 95, 0.8)
DUMBBELL = closed((0, 0), (0, 20), (-15, 20), (-15, 8), (-45, 8), (-45, 20), (-60, 20), (-60, 0))
PIPE = closed((0, 12), (0, 20), (-50, 20), (-50, 12))


def clean(work, tool, start: Point, way: tuple[Point, ...]) -> bool:
    """Whether rapids along a way touch nothing."""
    return not replay(work, tool, rapids((start, *way))).rapid_contacts


def test_approach_starts_at_home_and_ends_at_the_cut():
    """The first move states the tool-change point, the last is the start of the cut; all are rapids."""
    work = work_on(DUMBBELL, work_on(DUMBBELL, shapely.box(0, 0, 1, 1)).part)
    moves = approach(work, C80, Point(2.0, 15.0))
    assert moves is not None and moves[0].end == HOME and moves[-1].end == Point(2.0, 15.0)
    assert all(move.kind is MoveKind.RAPID for move in moves)
    assert not replay(work, C80, moves).rapid_contacts


def test_route_goes_over_a_collar():
    """From behind a collar to its front the tool climbs over it, a clearance above."""
    work = work_on(DUMBBELL, work_on(DUMBBELL, shapely.box(0, 0, 1, 1)).part)
    start, end = Point(-35.0, 12.0), Point(2.0, 12.0)
    way = route(surroundings(work, C80), start, end)
    assert way is not None and way[-1] == end
    assert clean(work, C80, start, way)
    assert max(p.y for p in way) >= 20.0 + work.clearance


def test_way_out_of_a_bore_is_along_z_first():
    """A bar leaves a bore through its mouth, however far the tool-change point is."""
    work, tool = work_on(PIPE, shapely.box(-50, 12, 0, 20)), bar(12.0, 60.0)
    moves = retract(work, tool, Point(-45.0, 12.0))
    assert moves is not None
    path = [Move(MoveKind.RAPID, -45.0, 12.0), *moves]
    assert not replay(work, tool, tuple(path)).rapid_contacts
    inside = [m.r for m in path if m.z < 0.0]
    assert all(9.0 <= r <= 12.0 for r in inside)


def test_a_bar_little_thinner_than_its_bore_comes_out_without_touching():
    """0.6 mm to the far wall: it lifts off by less than that and leaves in rapid, not along its cut."""
    work, tool = work_on(PIPE, shapely.box(-50, 12, 0, 20)), bar(22.4, 60.0)
    start = Point(-45.0, 12.0)
    way = route(surroundings(work, tool), start, HOME)
    assert way is not None and clean(work, tool, start, way)
    assert all(11.4 < p.y < 11.9 for p in way if p.x < 0.0)


def test_no_way_is_said_to_be_none():
    """A start inside solid stock has no clear way."""
    work = work_on(DUMBBELL, shapely.box(-60, 0, 0, 20))
    assert approach(work, C80, Point(-30.0, 5.0)) is None


def test_lift_off_a_finished_surface_is_no_contact():
    """The tool may leave from a place where it touches the part."""
    work = work_on(DUMBBELL, work_on(DUMBBELL, shapely.box(0, 0, 1, 1)).part)
    moves = retract(work, C80, Point(-5.0, 20.0))
    assert moves is not None and clean(work, C80, Point(-5.0, 20.0), tuple(m.end for m in moves))


def test_jaws_are_kept_clear_of():
    """A way past the jaws keeps the clearance from them."""
    jaws = shapely.box(-90, 0, -62, 60)
    work = work_on(DUMBBELL, shapely.box(-62, 0, 0, 20), jaws)
    start = Point(-60.0, 21.5)
    way = route(surroundings(work, C80), start, HOME)
    assert way is not None and clean(work, C80, start, way)


def test_sweep_of_a_straight_move_is_exact():
    """A square of 2 mm drawn out over 10 mm covers 2 x 12 mm."""
    square = (Point(-1, -1), Point(1, -1), Point(1, 1), Point(-1, 1))
    moves = (Move(MoveKind.RAPID, 0.0, 5.0), Move(MoveKind.FEED, 10.0, 5.0, feed=0.1))
    assert swept(moves, [square]).area == 24.0


def test_sweep_below_the_axis_is_folded():
    """What a tool covers below the axis it covers above it as well."""
    square = (Point(0, 0), Point(1, 0), Point(1, 1), Point(0, 1))
    moves = (Move(MoveKind.RAPID, 0.0, -3.0), Move(MoveKind.FEED, 4.0, -3.0, feed=0.1))
    assert swept(moves, [square]).bounds == (0.0, 2.0, 5.0, 3.0)


def test_rapids_cut_nothing():
    """Only feed moves take stock away."""
    work = work_on(DUMBBELL, shapely.box(-60, 0, 0, 22))
    through = (Move(MoveKind.RAPID, 5.0, 21.0), Move(MoveKind.RAPID, -70.0, 21.0))
    assert after(work, through, C80).stock.equals(work.stock)
    fed = (through[0], Move(MoveKind.FEED, -70.0, 21.0, feed=0.2))
    assert after(work, fed, C80).stock.bounds[3] < 21.01


def test_chip_that_comes_loose_is_gone():
    """A small ring that a cut leaves without connection falls off; the part never does."""
    work = work_on(PIPE, shapely.box(-50, 12, 0.5, 20))
    cut = (Move(MoveKind.RAPID, 0.0, 25.0), Move(MoveKind.FEED, 0.0, 12.5, feed=0.1))
    crumb = shapely.box(0.2, 12.0, 0.4, 12.3)
    left = after(work.with_stock(shapely.MultiPolygon([work.part, crumb])), cut, C80).stock
    assert shapely.intersection(left, shapely.box(0.1, 11, 1, 14)).is_empty
    assert left.area > 0.99 * work.part.area
