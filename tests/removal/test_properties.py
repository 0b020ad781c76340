"""Properties of the replayed stock on random cuts: what was cut and what is left make up the bar."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon

from dxf2turn.planning.model import Move, Plan, Step
from dxf2turn.removal.body import ring_volume
from dxf2turn.removal.model import Removal
from dxf2turn.removal.verify import verify
from tests.removal.faults import shifted
from tests.removal.kit import (
    bar,
    blade,
    changed,
    drill,
    feed,
    jaws,
    lines,
    part_of,
    plan_of,
    rapid,
    round_nosed,
    setup,
    sharp_insert,
    step,
)
from tests.removal.plans import GOOD
from tests.replay_shapes import fold, sweep

SLUG = part_of(lines((0.0, 0.0), (0.0, 2.0), (-90.0, 2.0), (-90.0, 0.0)))
TOOLS = (sharp_insert(), blade(), drill(12.0), round_nosed(2.0, pieces=400))
BAR = Polygon([(1.0, 0.0), (1.0, 16.0), (-100.0, 16.0), (-100.0, 0.0)])
FINAL = ("face", "finish turn", "groove")
PLACES = st.lists(st.tuples(st.floats(-50.0, 3.0), st.floats(2.5, 20.0)), min_size=1, max_size=8)


@settings(max_examples=60, derandomize=True, deadline=None)
@given(places=PLACES, which=st.integers(0, len(TOOLS) - 1))
def test_bar_is_chips_and_rest(places: list[tuple[float, float]], which: int) -> None:
    """Volume of the bar = volume swept (by the outsider's sweep) + volume left, for any run of feeds."""
    used = TOOLS[which]
    moves = (rapid(*places[0]), *(feed(z, r) for z, r in places))
    removal = verify(
        SLUG, plan_of(setup(1, bar(16.0), jaws(-99.0, 16.0), step(10, "rough turn", used, *moves)))
    )
    outline = Polygon(used.outline)
    cut = shapely.union_all([fold(sweep(outline, leg)) for leg in zip(places, places[1:] or places)])
    rest = max(BAR.difference(cut).geoms, key=lambda p: p.area) if _split(BAR, cut) else BAR.difference(cut)
    assert _rest(removal) == pytest.approx(ring_volume(rest), rel=1e-5)


@settings(max_examples=25, derandomize=True, deadline=None)
@given(name=st.sampled_from(sorted(GOOD)), share=st.floats(0.1, 0.9))
def test_splitting_moves_changes_nothing(name: str, share: float) -> None:
    """A straight move made in two gives the same piece and the same verdict."""
    part, plan = GOOD[name]()
    whole, split = verify(part, plan), verify(part, _each_step(plan, lambda one: _split_moves(one, share)))
    assert split.ok and split.troubles == ()
    assert _piece(split).symmetric_difference(_piece(whole)).area < 1e-6


@settings(max_examples=25, derandomize=True, deadline=None)
@given(name=st.sampled_from(sorted(GOOD)), deeper=st.floats(0.003, 0.2), which=st.integers(0, 30))
def test_a_step_shifted_into_the_part_gouges(name: str, deeper: float, which: int) -> None:
    """Facing shifted along z, any finishing or grooving step shifted along r: gouged just so deep."""
    part, plan = GOOD[name]()
    steps = [(s.no, one) for s in plan.setups for one in s.steps if one.operation in FINAL]
    setup_no, spoilt = steps[which % len(steps)]
    dz, dr = (-deeper, 0.0) if spoilt.operation == "face" else (0.0, -deeper)
    removal = verify(part, changed(plan, setup_no, spoilt.no, shifted(dz, dr)))
    in_steps = {(t.kind, t.setup, t.step) for t in removal.troubles if t.step != 0}
    assert in_steps == {("gouge", setup_no, spoilt.no)}
    assert removal.max_gouge == pytest.approx(deeper, abs=0.0015)


def test_cutting_twice_is_cutting_once() -> None:
    """A plan whose every cutting step is done twice leaves the same piece."""
    part, plan = GOOD["grooved"]()
    one = plan.setups[0]
    twice = tuple(s for pair in zip(one.steps[:-1], one.steps[:-1]) for s in pair) + one.steps[-1:]
    again = verify(part, replace(plan, setups=(replace(one, steps=twice),)))
    assert again.ok
    assert _piece(again).symmetric_difference(_piece(verify(part, plan))).area < 1e-9


def _split(bar_: Polygon, cut: Polygon) -> bool:
    return bar_.difference(cut).geom_type == "MultiPolygon"


def _rest(removal: Removal) -> float:
    return ring_volume(_union(removal.piece))


def _piece(removal: Removal) -> Polygon:
    return _union(removal.piece)


def _union(polygons):  # type: ignore[no-untyped-def]
    return shapely.union_all([Polygon(rings[0], rings[1:]) for rings in polygons])


def _each_step(plan: Plan, change) -> Plan:  # type: ignore[no-untyped-def]
    setups = tuple(replace(s, steps=tuple(change(one) for one in s.steps)) for s in plan.setups)
    return replace(plan, setups=setups)


def _split_moves(one: Step, share: float) -> Step:
    moves: list[Move] = [one.moves[0]]
    for last, move in zip(one.moves, one.moves[1:]):
        if move.centre is None:
            middle = last.end.towards(move.end, share)
            moves.append(replace(move, z=middle.x, r=middle.y))
        moves.append(move)
    return replace(one, moves=tuple(moves))
