"""Speed, feed and depth of steps, against worked examples and the machine's limits."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.planning.bench import Cell
from dxf2turn.planning.cutting import Task, choose, spindle_for
from dxf2turn.planning.times import spindle_rpm
from dxf2turn.shop.forces import cutting_force, cutting_torque, motor_power, torque_at
from dxf2turn.shop.load import load_shop

SHOP = load_shop(None)
CELL = Cell(SHOP, SHOP.machine(), SHOP.material())
LIGHT = Cell(SHOP, SHOP.machine("Wrenfell 160"), SHOP.material())
ROUGHER = next(t for t in SHOP.tools_of("turning") if t.insert == "CNMG120408" and t.hand == "right")
FINISHER = next(t for t in SHOP.tools_of("turning") if t.insert == "DNMG150604" and t.hand == "right")


@settings(derandomize=True, max_examples=60, deadline=None)
@given(st.floats(2.0, 80.0), st.sampled_from([CELL, LIGHT]))
def test_roughing_stays_within_power_and_torque(radius: float, cell: Cell) -> None:
    """Cutting force by Kienzle times speed and radius is never above what the machine gives there."""
    choice = choose(cell, ROUGHER, Task(operation="rough turn", radius=radius))
    kappa = min(ROUGHER.cutting_edge_angle, math.pi - ROUGHER.cutting_edge_angle)
    force = cutting_force(cell.material, choice.depth, choice.feed, kappa)
    rpm = spindle_rpm(choice.spindle, radius)
    speed = 2.0 * math.pi * radius * rpm / 1000.0
    assert motor_power(force, speed, cell.machine.efficiency) <= cell.machine.power_kw * 1.001
    assert cutting_torque(force, 2.0 * radius) <= torque_at(cell.machine, rpm) * 1.001


def test_a_slender_part_gets_lighter_cuts() -> None:
    """200 mm of 10 mm rod would bend, 1 N alone by 0.0259 mm (F L^3 / 3 E I): depth and feed go down, and the
    reason says so."""
    stiff = choose(CELL, ROUGHER, Task(operation="rough turn", radius=5.0))
    slender = choose(CELL, ROUGHER, Task(operation="rough turn", radius=5.0, give=lambda depth: 0.0259))
    assert slender.depth < stiff.depth and slender.feed < stiff.feed
    assert "bend" in slender.why


@pytest.mark.parametrize("ra_um", [0.8, 1.6, 3.2])
def test_the_finishing_feed_follows_the_roughness(ra_um: float) -> None:
    """f = sqrt(32 r Ra) with the margin for real surfaces, never above it."""
    choice = choose(CELL, FINISHER, Task(operation="finish turn", radius=20.0, depth=0.3, ra_um=ra_um))
    most = math.sqrt(32.0 * FINISHER.nose_radius * ra_um / SHOP.practice.cutting.roughness_factor / 1000.0)
    assert choice.feed <= most + 1e-4


def test_a_lathe_without_surface_speed_gets_one_spindle_speed() -> None:
    """The speed at the largest diameter that is cut: n = 1000 v / (pi D), rounded down."""
    spindle = spindle_for(LIGHT.machine, ROUGHER, 60.0, 25.0)
    assert spindle.mode == "rpm"
    assert spindle.value == math.floor(1000.0 * 60.0 / (math.pi * 50.0))


def test_the_spindle_never_passes_its_limit() -> None:
    """A thin drill would want more than the machine has."""
    drill = next(t for t in SHOP.tools_of("drill") if t.diameter_mm == 1.0)
    machine = replace(CELL.machine, max_rpm=2500.0)
    assert spindle_for(machine, drill, 60.0, 0.5).value == 2500.0


def test_every_choice_names_its_source() -> None:
    """The reason holds the material and where its data come from."""
    choice = choose(CELL, ROUGHER, Task(operation="rough turn", radius=20.0))
    assert CELL.material.name in choice.why
    assert "S36" in choice.why or "memory" in choice.why
