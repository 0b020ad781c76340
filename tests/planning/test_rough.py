"""Facing and roughing, judged by an own replay of the moves."""

from __future__ import annotations

import math
import random

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line
from dxf2turn.planning.levels import Floor, levels
from dxf2turn.planning.model import MoveKind
from dxf2turn.planning.operations.face import face_moves
from dxf2turn.planning.operations.rough import rough_face_moves, rough_moves
from dxf2turn.planning.tool_space.sides import bores
from dxf2turn.planning.tool_space.space import covered, tool_space
from dxf2turn.planning.tool_space.sweep import after
from tests.planning.cutting import (
    HOME,
    ROUGH,
    bar,
    closed,
    feeds,
    insert,
    places,
    replay,
    thickness,
    work_on,
)
from tests.random_parts import random_profile

C80, D55, LEFT = insert(80, 95, 0.8), insert(55, 93, 0.4), insert(80, 95, 0.8, "left")
TOOLS = {"C80": C80, "D55": D55, "left C80": LEFT}
STEP = closed((0, 0), (0, 10), (-30, 10), (-30, 20), (-50, 20), (-50, 0))
ALLOWANCE = (0.3, 0.1)


def test_face_takes_equal_cuts_and_passes_the_centre():
    """4.5 mm in front of the face are three cuts of 1.5 mm, each to the nose centre on the axis."""
    work = work_on(STEP, shapely.box(-60, 0, 4.5, 22))
    moves = face_moves(work, C80, ROUGH)
    cuts = [b for _, b in feeds(moves)]
    assert [m.z for m in cuts] == pytest.approx([3.0, 1.5, 0.0])
    assert all(-0.8 - 0.2 <= m.r <= -0.8 for m in cuts)
    done = replay(work, C80, moves)
    assert not done.rapid_contacts and not done.holder_contacts
    assert shapely.intersection(done.stock, shapely.box(0.001, 0.2, 9, 30)).area < 1e-6


def test_face_of_a_pipe_ends_in_its_bore():
    """The cut ends just past the edge of the bore, not at the axis."""
    pipe = closed((0, 12), (0, 20), (-50, 20), (-50, 12))
    moves = face_moves(work_on(pipe, shapely.box(-50, 12, 1, 20)), C80, ROUGH)
    (cut,) = [b for _, b in feeds(moves)]
    assert 10.0 < cut.r < 12.0


def test_face_without_stock_is_no_step():
    """A face that is finished already gives no moves."""
    assert face_moves(work_on(STEP, shapely.box(-60, 0, 0, 22)), C80, ROUGH) == ()


def test_moves_start_and_end_at_the_tool_change():
    """The first move states the tool-change point and the last returns there."""
    work = work_on(STEP, shapely.box(-60, 0, 0, 22))
    moves = rough_moves(work, C80, ROUGH, ALLOWANCE)
    assert moves[0].end == HOME and moves[-1].end == HOME


def test_stepped_shaft_gets_passes_of_equal_depth():
    """From radius 22 down to 10.3 in passes that are level, fall, and are no deeper than asked."""
    work = work_on(STEP, shapely.box(-60, 0, 0, 22))
    moves = rough_moves(work, C80, ROUGH, ALLOWANCE)
    heights = sorted({round(b.r, 6) for a, b in feeds(moves) if a.r == b.r and a.z - b.z > 5.0}, reverse=True)
    gaps = [a - b for a, b in zip([22.0, *heights], heights)]
    assert max(gaps) <= ROUGH.depth + 1e-3
    assert heights[-1] == pytest.approx(10.3, abs=1e-6)
    assert len(heights) <= 1 + math.ceil((22.0 - 10.3) / ROUGH.depth)


def test_allowance_is_left_evenly():
    """After roughing 0.3 stay on the cylinders and 0.1 on the shoulder, the nose's fillet apart."""
    work = work_on(STEP, shapely.box(-60, 0, 0, 22))
    stock = replay(work, C80, rough_moves(work, C80, ROUGH, ALLOWANCE)).stock
    assert shapely.intersection(stock, shapely.box(-15, 0, -14, 30)).bounds[3] == pytest.approx(
        10.3, abs=1e-3
    )
    assert shapely.intersection(stock, shapely.box(-45, 0, -44, 30)).bounds[3] == pytest.approx(
        20.3, abs=1e-3
    )
    # The main edge leans back from the shoulder: 0.1 at the nose, nowhere less.
    above = shapely.intersection(stock, shapely.box(-29.99, 12, 0, 18))
    assert above.bounds[2] == pytest.approx(-29.9, abs=0.02)


def test_nothing_to_cut_is_no_step():
    """Stock that is no more than part and allowance gives no moves."""
    work = work_on(STEP, work_on(STEP, shapely.box(0, 0, 1, 1)).part)
    assert rough_moves(work, C80, ROUGH, ALLOWANCE) == ()


def test_lower_limit_is_kept():
    """The controlled point never goes below the lower z, and the stock behind stays whole."""
    work = work_on(STEP, shapely.box(-90, 0, 0, 24))
    moves = rough_moves(work, C80, ROUGH, ALLOWANCE, "outside", (-53.0, 100.0))
    assert min(m.z for m in moves) >= -53.0
    stock = replay(work, C80, moves).stock
    behind = shapely.box(-90, 0, -53.001, 24)
    assert shapely.intersection(stock, behind).area == pytest.approx(behind.area, rel=1e-4)


def test_pocket_between_collars_is_entered_along_its_slope():
    """Between two collars the tool ramps down no steeper than its trailing edge and clears the floor."""
    target = closed((0, 0), (0, 20), (-10, 20), (-25, 12), (-60, 12), (-60, 20), (-70, 20), (-70, 0))
    work = work_on(target, shapely.box(-80, 0, 0, 21))
    moves = rough_moves(work, D55, ROUGH, ALLOWANCE, "outside", (-72.0, 100.0))
    done = replay(work, D55, moves)
    assert not done.rapid_contacts and not done.holder_contacts
    pocket = shapely.box(-59, 12, -25, 20)
    rest = shapely.difference(shapely.intersection(done.stock, pocket), shapely.buffer(work.part, 0.32))
    assert shapely.buffer(rest, -0.15).is_empty


def test_no_feed_in_the_air():
    """On a plain shaft less than 8 % of the feed travel does not touch stock."""
    work = work_on(STEP, shapely.box(-60, 0, 0, 22))
    moves = rough_moves(work, C80, ROUGH, ALLOWANCE)
    cutter = shapely.Polygon(C80.outline).buffer(0.002)
    idle = total = 0.0
    for before, move in feeds(moves):
        way = places(before, move, 0.5)
        length = shapely.LineString(way).length
        count = max(1, round(length))
        for i in range(count):
            at = shapely.LineString(way).interpolate((i + 0.5) / count, normalized=True)
            inside = shapely.affinity.translate(cutter, at.x, at.y).intersects(work.stock)
            total += length / count
            idle += 0.0 if inside else length / count
        work = after(work, (before, move), C80)
    assert idle < 0.08 * total


def test_bore_is_roughed_from_the_front():
    """A drilled hole is bored to a stepped bore, with the bar and its head clear of everything."""
    target = closed((0, 14), (0, 25), (-50, 25), (-50, 9), (-20, 9), (-20, 14))
    stock = shapely.box(-50, 8, 0, 25)
    work = work_on(target, stock)
    tool = bar(12.0, 60.0)
    moves = rough_moves(work, tool, ROUGH, (0.2, 0.1), "inside", (-51.0, 100.0))
    done = replay(work, tool, moves)
    assert not done.rapid_contacts and not done.holder_contacts and done.gouge == 0.0
    rest = shapely.difference(shapely.intersection(done.stock, shapely.box(-50, 0, 0, 13)), work.part)
    assert thickness(rest, work.part) < 0.7


def test_facewise_roughing_clears_a_disc():
    """Passes across the axis clear a flange whose shoulder is far in."""
    target = closed((0, 0), (0, 10), (-6, 10), (-6, 40), (-20, 40), (-20, 0))
    work = work_on(target, shapely.box(-20, 0, 0, 42))
    moves = rough_face_moves(work, C80, ROUGH, ALLOWANCE, "outside", (-6.0, 100.0))
    levels_z = sorted(
        {round(b.z, 3) for a, b in feeds(moves) if abs(a.z - b.z) < 1e-9 and a.r - b.r > 5.0}, reverse=True
    )
    assert levels_z[-1] == -5.9 and len(levels_z) == 3
    done = replay(work, C80, moves)
    assert not done.rapid_contacts and not done.holder_contacts
    rest = shapely.intersection(done.stock, shapely.box(-5.8, 11.2, 0, 45))
    assert rest.area < 0.01


def test_a_counterbore_is_cleared_across_the_axis():
    """Passes run from the hole to the wall and climb it; the bar clears the far side at every one."""
    target = closed((0, 34), (0, 50), (-30, 50), (-30, 10), (-5, 10), (-5, 34))
    work = work_on(target, shapely.box(-30, 9.7, 0, 50))
    tool = bar(12.0, 60.0)
    moves = rough_face_moves(work, tool, ROUGH, ALLOWANCE, "inside", (-5.0, 100.0))
    across = [b for a, b in feeds(moves) if abs(a.z - b.z) < 1e-9 and b.r - a.r > 5.0]
    assert len(across) == 3 and across[-1].z == pytest.approx(-4.9)
    done = replay(work, tool, moves)
    assert not done.rapid_contacts and not done.holder_contacts and done.gouge == 0.0
    rest = shapely.intersection(done.stock, shapely.box(-4.8, 0, 0, 33.2))
    assert rest.area < 0.01


def test_a_round_corner_is_followed_across_the_axis():
    """The way climbs a fillet between floor and wall as an arc: nothing thicker than the allowance stays."""
    fillet = Arc(Point(-5, 32), Point(-3, 34), Point(-3, 32), True)
    corners = [(-3, 34), (0, 34), (0, 50), (-30, 50), (-30, 10), (-5, 10), (-5, 32)]
    sides = [Line(Point(*a), Point(*b)) for a, b in zip(corners, corners[1:])]
    target = (*sides, fillet)
    work = work_on(target, shapely.box(-30, 9.7, 0, 50))
    tool = bar(12.0, 60.0)
    moves = rough_face_moves(work, tool, ROUGH, (0.2, 0.2), "inside", (-5.0, 100.0))
    assert any(move.kind is MoveKind.ARC for move in moves)
    done = replay(work, tool, moves)
    assert not done.rapid_contacts and not done.holder_contacts and done.gouge == 0.0
    rest = shapely.difference(shapely.intersection(done.stock, shapely.box(-6, 11, 0, 50)), work.part)
    assert thickness(rest, work.part) < 0.25


def test_levels_are_never_deeper_than_allowed_and_skip_no_floor_thinly():
    """Steps are at most the depth, and no pass cuts a long floor by a hair only."""
    found = levels(20.0, 10.0, 2.0, [Floor(15.9, 30.0), Floor(10.0, 20.0)], lambda height: 40.0)
    gaps = [a - b for a, b in zip((20.0, *found), found)]
    assert max(gaps) <= 2.0 + 1e-9 and found[-1] == 10.0
    above = min(height for height in (20.0, *found) if height > 15.9 + 1e-9)
    assert above - 15.9 > 0.2 * 2.0 or any(abs(height - 15.9) < 1e-9 for height in found)


def test_even_levels_on_a_plain_cylinder():
    """Five millimetres at a depth of two are three equal passes."""
    assert levels(25.0, 20.0, 2.0, [Floor(20.0, 50.0)], lambda height: 50.0) == pytest.approx(
        (25.0 - 5.0 / 3.0, 25.0 - 10.0 / 3.0, 20.0)
    )


def test_recess_off_the_axis_is_outside():
    """A bore belongs to the inside, a ring cut into the face does not."""
    target = closed((0, 5), (0, 10), (-5, 10), (-5, 15), (0, 15), (0, 20), (-30, 20), (-30, 5))
    work = work_on(target, shapely.box(-30, 0, 0, 20))
    assert bores(work.part).bounds == pytest.approx((-30, 0, 0, 5))


@settings(max_examples=10, deadline=None, derandomize=True)
@given(seed=st.integers(0, 10_000), name=st.sampled_from(sorted(TOOLS)))
def test_random_parts_are_roughed_safely(seed, name):
    """No contact, no cut into the allowance, and no more left than the allowance where the tool gets to."""
    tool, profile = TOOLS[name], random_profile(random.Random(seed), hole="solid")
    box = profile.bounds
    stock = shapely.box(box.min_x - 40, 0, 0, box.max_y + 2)
    jaws = shapely.box(box.min_x - 100, 0, box.min_x - 42, box.max_y + 25)
    work, low = work_on(profile.segments, stock, jaws), box.min_x - 3.0
    moves = rough_moves(work, tool, ROUGH, ALLOWANCE, "outside", (low, 100.0))
    done = replay(work, tool, moves)
    assert not done.rapid_contacts and not done.holder_contacts
    cut = shapely.difference(stock, done.stock)
    assert shapely.distance(cut, work.part) > 0.09
    space = tool_space(work, tool, ALLOWANCE, low)
    rest = shapely.intersection(shapely.intersection(done.stock, covered(space)), shapely.box(low, 0, 9, 99))
    assert shapely.buffer(rest, -0.17).is_empty
