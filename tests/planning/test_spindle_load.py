"""No step asks for more torque than the spindle has, nor for a quicker slide; what was lowered is said."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.planning.bench import Cell
from dxf2turn.planning.cutting import Task, choose
from dxf2turn.planning.model import Move, MoveKind, Spindle
from dxf2turn.planning.rates import within_rates
from dxf2turn.shop.forces import fastest_with, tapping_torque, threading_torque, torque_at
from dxf2turn.shop.load import load_shop
from dxf2turn.shop.model import Tool

SHOP = load_shop(None)
MATERIALS = ["C45E", "EN AW-6082", "X5CrNi18-10", "EN-GJL-250", "TiAl6V4", "POM", "Hardened 60 HRC"]
CELLS = [Cell(SHOP, machine, SHOP.material(name)) for machine in SHOP.machines for name in MATERIALS]
BLADES = {"grooving": "groove", "parting": "part off", "inside grooving": "inside groove"}


def torque(cell: Cell, tool: Tool, feed: float, radius: float) -> float:
    """Nm by the published formula, written out: kc1.1 h^-mc times the section times the radius (S32, S89).

    A blade cuts its width; a drill of two lips the ring of its point, M = kc f D^2 / 8 (from memory).
    """
    kc11, mc = cell.material.kc11, cell.material.mc
    if tool.width is not None:
        return kc11 * feed**-mc * tool.width * feed * radius / 1000.0
    thickness = 0.5 * feed * math.sin(0.5 * (tool.point_angle or math.pi))
    return kc11 * thickness**-mc * feed * tool.diameter_mm**2 / 8.0 / 1000.0


def there(cell: Cell, rpm: float) -> float:
    """What the spindle gives: its printed curve, and no more than P = 2 pi n M leaves."""
    (n0, m0), *more = cell.machine.torque_points
    curve = m0
    for n1, m1 in more:
        curve = m0 + (m1 - m0) * (min(max(rpm, n0), n1) - n0) / (n1 - n0) if rpm >= n0 else curve
        n0, m0 = n1, m1
    power = 1000.0 * cell.machine.power_kw * cell.machine.efficiency
    return min(curve, power / (2.0 * math.pi * rpm / 60.0))


def rpm_at(spindle: Spindle, radius: float) -> float:
    if spindle.mode == "rpm":
        return spindle.value
    return min(spindle.limit_rpm, 1000.0 * spindle.value / (2.0 * math.pi * radius))


@settings(derandomize=True, max_examples=150, deadline=None)
@given(st.sampled_from(CELLS), st.sampled_from(SHOP.tools_of(*BLADES)), st.floats(2.0, 80.0))
def test_blades_stay_within_the_torque(cell: Cell, tool: Tool, radius: float) -> None:
    """A groove cut with the whole width at its largest radius, on both lathes in all sorts of materials."""
    choice = choose(cell, tool, Task(operation=BLADES[tool.kind], radius=radius))
    rpm = rpm_at(choice.spindle, radius)
    assert cell.machine.min_rpm <= rpm <= cell.machine.max_rpm
    if choice.turns:
        assert torque(cell, tool, choice.feed, radius) <= 1.002 * there(cell, rpm)


@settings(derandomize=True, max_examples=150, deadline=None)
@given(st.sampled_from(CELLS), st.sampled_from(SHOP.tools_of("drill", "flat drill", "centre drill")))
def test_drills_stay_within_the_torque(cell: Cell, tool: Tool) -> None:
    """A drill into the full."""
    choice = choose(cell, tool, Task(operation=tool.kind, radius=0.5 * tool.diameter_mm))
    if choice.turns:
        assert torque(cell, tool, choice.feed, 0.0) <= 1.002 * there(cell, choice.spindle.value)


def test_what_was_lowered_is_said() -> None:
    """A blade of 6 mm at 60 mm diameter in stainless steel is more than 1.5 kW turn at its usual feed."""
    blade = next(t for t in SHOP.tools_of("grooving") if t.width == 6.0)
    steel = SHOP.material("X5CrNi18-10")
    light, strong = (Cell(SHOP, SHOP.machine(name), steel) for name in ("Wrenfell 160", None))
    lowered, usual = (choose(c, blade, Task(operation="groove", radius=30.0)) for c in (light, strong))
    assert "what the spindle turns" in lowered.why and "what the spindle turns" not in usual.why


def test_what_no_speed_turns_is_refused() -> None:
    """A drill of 40 mm in hardened steel needs over 200 Nm at the least feed: it is not to be used."""
    drill = max(SHOP.tools_of("drill"), key=lambda t: t.diameter_mm)
    cell = Cell(SHOP, SHOP.machine("Wrenfell 160"), SHOP.material("Hardened 60 HRC"))
    assert not choose(cell, drill, Task(operation="drill", radius=20.0)).turns


@settings(derandomize=True, max_examples=80, deadline=None)
@given(st.sampled_from(SHOP.machines), st.floats(0.5, 150.0), st.floats(60.0, 4500.0))
def test_the_fastest_speed_for_a_torque(machine, asked: float, limit: float) -> None:  # noqa: ANN001
    """It is there at that speed, and at none of a hundred higher ones up to the limit."""
    limit = min(limit, machine.max_rpm)
    found = fastest_with(machine, asked, limit)
    low = found or machine.min_rpm
    steps = [low + i * (limit - low) / 100 for i in range(1, 101)]
    assert found is None or (found <= limit and torque_at(machine, found) >= 0.999999 * asked)
    if found is None or found < limit:
        assert all(torque_at(machine, n) < 1.000001 * asked for n in steps)


def test_the_torque_of_a_thread_and_of_a_tap() -> None:
    """Worked out by hand (formula S32): kc1.1 2000, mc 0.25, mean diameter 20 mm.

    One pass 0.5 deep with a sharp 60 degree tip: area 0.25 tan 30 = 0.14434, contact 0.5 / cos 30 = 0.57735,
    h = 0.25, kc = 2828.4, F = 408.2 N, M = 4.082 Nm. A tap for pitch 1.5, 0.8 deep: groove
    0.8 (1.3125 - 0.8 tan 30) = 0.6805, h = 0.08, kc = 3760.6, M = 25.59 Nm.
    """
    steel = replace(SHOP.material(), kc11=2000.0, mc=0.25)
    half = math.radians(30.0)
    assert threading_torque(steel, [0.5], half, 0.0, 20.0) == pytest.approx(4.082, abs=0.002)
    assert tapping_torque(steel, 1.5, 0.8, half, 20.0) == pytest.approx(25.59, abs=0.01)


def test_a_long_slim_bar_gets_lighter_cuts_and_says_so() -> None:
    """A bar of ten diameters bends a thousand times as much as one of a single diameter (S72)."""
    cell = CELLS[0]
    roughing = [t for t in SHOP.tools_of("boring") if t.max_depth > 0.5]  # Fine tips take light cuts anyway.
    long = max(roughing, key=lambda t: t.overhang**3 / t.bar_mm**4 / t.bar_modulus)
    short = replace(long, overhang=0.25 * long.overhang)
    lighter, usual = (choose(cell, t, Task(operation="bore", radius=20.0)) for t in (long, short))
    assert lighter.depth < usual.depth
    assert "the bar would bend" in lighter.why and "the bar would bend" not in usual.why


def test_a_quick_feed_is_held_to_the_slide() -> None:
    """1000 mm/min at 2000 rev/min leave 0.5 mm a turn; slower feeds and rapids stay as they are."""
    machine = SHOP.machine("Wrenfell 160")
    spindle = Spindle(mode="rpm", value=2000.0, limit_rpm=2000.0, direction="M04")
    moves = (
        Move(MoveKind.RAPID, 1.0, 5.0), Move(MoveKind.FEED, 0.0, 5.0, feed=0.8),
        Move(MoveKind.FEED, -1.0, 5.0, feed=0.2), Move(MoveKind.RAPID, 1.0, 9.0),
    )  # fmt: skip
    held = within_rates(moves, spindle, machine)
    assert [m.feed for m in held] == [None, pytest.approx(0.5, abs=1e-3), 0.2, None]
    assert held[1].feed * 2000.0 <= 1000.0
