"""Finishing, judged by an own replay of the moves."""

from __future__ import annotations

import random

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line
from dxf2turn.planning.model import MoveKind
from dxf2turn.planning.operations.finish import finish_moves
from dxf2turn.planning.operations.rough import rough_moves
from dxf2turn.planning.tool_space.space import covered, tool_space, unreached
from dxf2turn.planning.work import Work
from dxf2turn.shop.model import Tool
from tests.planning.cutting import FINE, HOME, ROUGH, bar, closed, feeds, insert, replay, thickness, work_on
from tests.planning.odd_shapes import SHAPES
from tests.random_parts import random_profile

C80, D55, V35, LEFT = (
    insert(80, 95, 0.8),
    insert(55, 93, 0.4),
    insert(35, 93, 0.4),
    insert(55, 93, 0.4, "left"),
)
TOOLS = {"C80": C80, "D55": D55, "V35": V35, "left D55": LEFT}
FLATTENING = 0.003  # of tool outlines and arcs in the replay, mm
LEFT_OVER = 0.01  # the most that may be left where the tool gets to, mm
SKIN = 0.5  # beside what a tool does not reach, roughing's allowance stays, mm
BALL = (
    Line(Point(-40, 0), Point(0, 0)),
    Arc(Point(0, 0), Point(-10, 10), Point(-10, 0), False),
    Line(Point(-10, 10), Point(-20, 10)),
    Arc(Point(-20, 10), Point(-23, 13), Point(-20, 13), True),
    Line(Point(-23, 13), Point(-40, 13)),
    Line(Point(-40, 13), Point(-40, 0)),
)


def skinned(target: tuple, by: float = 0.3) -> Work:
    """Work with an even layer of stock about the part, open at the back."""
    part = work_on(target, shapely.box(0, 0, 1, 1)).part
    low = part.bounds[0]
    stock = shapely.buffer(part, by).intersection(shapely.box(low, 0, 99, 99))
    return work_on(target, stock.union(shapely.box(low - 20, 0, low, part.bounds[3] + by)))


def left_by(work: Work, tool: Tool, stock: BaseGeometry, low: float) -> float:
    """Greatest thickness of what is left where the tool gets to, apart from beside what it does not reach."""
    space = tool_space(work, tool, behind=low)
    rest = shapely.intersection(shapely.difference(stock, work.part), covered(space))
    rest = shapely.intersection(rest, shapely.box(low + 1.0, 0, 99, 999))
    rest = shapely.difference(rest, shapely.buffer(unreached(space, work.stock), SKIN))
    return thickness(shapely.buffer(shapely.buffer(rest, -FLATTENING), FLATTENING), work.part)


def test_ball_end_is_one_cut_with_true_arcs():
    """The ball is cut by one arc of 10.8, begun past the centre, the hollow by one of 2.2."""
    work = skinned(BALL)
    moves = finish_moves(work, C80, FINE, "outside", (-42.0, 99.0))
    arcs = [(a, b) for a, b in feeds(moves) if b.kind is MoveKind.ARC]
    radii = [round(b.end.distance(b.centre), 6) for _, b in arcs]
    assert 10.8 in radii and 2.2 in radii
    ball = next(pair for pair in arcs if round(pair[1].end.distance(pair[1].centre), 6) == 10.8)
    assert min(a.r for a, b in arcs if b.centre == ball[1].centre) <= -0.8
    cuts = sum(a.kind is MoveKind.RAPID and b.kind is not MoveKind.RAPID for a, b in zip(moves, moves[1:]))
    assert cuts == 1


def test_ball_end_comes_out_clean():
    """No gouge, no contact, nothing left where the nose gets to."""
    work = skinned(BALL)
    moves = finish_moves(work, C80, FINE, "outside", (-42.0, 99.0))
    done = replay(work, C80, moves, 0.02)
    assert done.gouge < FLATTENING and not done.rapid_contacts and not done.holder_contacts
    assert left_by(work, C80, done.stock, -42.0) < LEFT_OVER


def test_step_is_followed_by_straight_lines():
    """Beside straight sides the moves are on the drawn lines; corners are rolled round with the nose."""
    target = closed((0, 0), (0, 9), (-1, 10), (-30, 10), (-30, 20), (-50, 20), (-50, 0))
    moves = finish_moves(skinned(target), C80, FINE, "outside", (-52.0, 99.0))
    level = [b for a, b in feeds(moves) if abs(a.r - b.r) < 1e-9 and a.z - b.z > 5.0]
    assert sorted(round(m.r, 9) for m in level) == [10.0, 20.0]
    rolled = {round(b.end.distance(b.centre), 9) for _, b in feeds(moves) if b.kind is MoveKind.ARC}
    assert rolled == {0.8}


def test_runs_in_and_out_in_the_air():
    """Each cut starts where the tool touches no stock and its first feed is through air."""
    work = skinned(BALL)
    moves = finish_moves(work, C80, FINE, "outside", (-42.0, 99.0))
    assert moves[0].end == HOME and moves[-1].end == HOME
    starts = [
        a for a, b in zip(moves, moves[1:]) if a.kind is MoveKind.RAPID and b.kind is not MoveKind.RAPID
    ]
    cutter = shapely.Polygon(C80.outline)
    for start in starts:
        placed = shapely.affinity.translate(cutter, start.z, start.r)
        assert placed.distance(work.stock) > 0.2


def test_finished_part_needs_no_step():
    """Where no stock stands beside the part there is nothing to finish."""
    target = closed((0, 0), (0, 10), (-30, 10), (-30, 0))
    part = work_on(target, shapely.box(0, 0, 1, 1)).part
    assert finish_moves(work_on(target, part), C80, FINE) == ()


def test_only_where_stock_remains():
    """With stock on one shoulder alone the cut stays near that shoulder."""
    target = closed((0, 0), (0, 10), (-30, 10), (-30, 20), (-60, 20), (-60, 0))
    part = work_on(target, shapely.box(0, 0, 1, 1)).part
    work = work_on(target, part.union(shapely.box(-30, 12, -29.8, 18)))
    cut = [b for _, b in feeds(finish_moves(work, C80, FINE))]
    assert cut and all(-32.0 < m.z < -27.0 and 9.0 < m.r < 21.0 for m in cut)


def test_feed_is_the_data_s():
    """Every cutting move carries the feed of the cutting data."""
    moves = finish_moves(skinned(BALL), C80, FINE, "outside", (-42.0, 99.0))
    assert {b.feed for _, b in feeds(moves)} == {FINE.feed_mm_per_rev}


def test_bore_is_finished_to_its_floor():
    """A stepped blind bore comes out to size; the bar stays clear of the far wall."""
    target = closed(
        (0, 15), (0, 25), (-50, 25), (-50, 0), (-40, 0), (-40, 10), (-20, 10), (-20, 14), (-1, 14)
    )
    stock = shapely.box(-50, 0, 0, 25).difference(shapely.box(-39.8, 0, 0, 9.7))
    stock = stock.difference(shapely.box(-19.9, 0, 0, 13.7))
    work, tool = work_on(target, stock), bar(12.0, 60.0)
    moves = finish_moves(work, tool, FINE, "inside", (-40.0, 99.0))
    done = replay(work, tool, moves)
    assert done.gouge < FLATTENING and not done.rapid_contacts and not done.holder_contacts
    walls = [b.r for a, b in feeds(moves) if abs(a.r - b.r) < 1e-9 and a.z - b.z > 5.0]
    assert sorted(round(r, 9) for r in walls) == [10.0, 14.0]
    seen = shapely.box(-50, 5.0, -0.9, 14.5).difference(shapely.box(-40, 9, -39, 10))
    rest = shapely.intersection(done.stock, seen.difference(shapely.box(-20, 13, -19, 14)))
    assert thickness(shapely.difference(rest, work.part), work.part) < LEFT_OVER


def test_face_recess_under_a_collar():
    """An outside that is no function of z: the sides a tool gets to are finished, the others stay."""
    target = closed((0, 0), (0, 8), (-20, 8), (-24, 12), (-20, 16), (-20, 20), (-40, 20), (-40, 0))
    work = skinned(target, 0.2)
    moves = finish_moves(work, V35, FINE, "outside", (-42.0, 99.0))
    done = replay(work, V35, moves)
    assert done.gouge < FLATTENING and not done.rapid_contacts and not done.holder_contacts
    assert left_by(work, V35, done.stock, -42.0) < LEFT_OVER


@pytest.mark.parametrize("hole", ["solid", "bore"])
@settings(max_examples=8, deadline=None, derandomize=True)
@given(seed=st.integers(0, 10_000), name=st.sampled_from(sorted(TOOLS)))
def test_random_parts_come_out_to_size(hole, seed, name):
    """Roughed and finished with one tool: no gouge, no contact, at most 0.01 mm left where it gets to."""
    tool, profile = TOOLS[name], random_profile(random.Random(seed), hole=hole)
    box = profile.bounds
    low = box.min_x - 3.0
    stock = shapely.box(box.min_x - 40, 0, 0, box.max_y + 1.5)
    raw = work_on(profile.segments, stock, shapely.box(low - 100, 0, low - 42, box.max_y + 25))
    roughed = replay(raw, tool, rough_moves(raw, tool, ROUGH, (0.3, 0.1), "outside", (low, 99.0))).stock
    work = raw.with_stock(roughed)
    done = replay(work, tool, finish_moves(work, tool, FINE, "outside", (low, 99.0)))
    assert done.gouge < FLATTENING and not done.rapid_contacts and not done.holder_contacts
    outside = shapely.difference(done.stock, shapely.box(-999, 0, 99, profile_bore(profile)))
    assert left_by(work, tool, outside, low) < LEFT_OVER


@pytest.mark.parametrize("name", sorted(SHAPES))
def test_odd_shapes_come_out_to_size(name):
    """Shapes at the edge of what turning can do are cut without gouge, contact or rest where D55 gets to."""
    target = tuple(SHAPES[name])
    part = work_on(target, shapely.box(0, 0, 1, 1)).part
    low = part.bounds[0] - 3.0
    raw = work_on(target, shapely.box(low - 30, 0, 0, part.bounds[3] + 1.5))
    roughed = replay(raw, D55, rough_moves(raw, D55, ROUGH, (0.3, 0.1), "outside", (low, 99.0)))
    work = raw.with_stock(roughed.stock)
    done = replay(work, D55, finish_moves(work, D55, FINE, "outside", (low, 99.0)))
    assert not roughed.rapid_contacts and not roughed.holder_contacts and roughed.gouge == 0.0
    assert not done.rapid_contacts and not done.holder_contacts and done.gouge < FLATTENING
    assert left_by(work, D55, done.stock, low) < LEFT_OVER


def profile_bore(profile) -> float:
    """Largest radius of the bore, 0 for a solid part."""
    inside = [s for s, role in zip(profile.segments, profile.roles) if role == "inside"]
    return max((max(s.start.y, s.end.y) for s in inside), default=0.0)
