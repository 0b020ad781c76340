"""Cutting data: ranges of the table, rules on top, stand-ins that are said; limits of the machine."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from dxf2turn.errors import BadShopData
from dxf2turn.shop import forces
from dxf2turn.shop.choice import knurl_wheels, taps, threading_tools
from dxf2turn.shop.cutting import cutting_data, finishing_feed
from dxf2turn.shop.load import load_shop
from dxf2turn.shop.model import Tool
from dxf2turn.shop.roughness import mean_roughness

SHOP = load_shop(None)
STEEL = SHOP.material("C45E")
MILD = SHOP.material("S235JR")
LATHE = SHOP.machine()
assert STEEL and MILD and LATHE


def tool(name: str) -> Tool:
    return next(t for t in SHOP.tools if t.id == name)


def test_speed_lies_in_the_published_range() -> None:
    """Carbide roughing of mild steel (S36): 91 to 152 m/min, 0.20 to 0.51 mm/rev, to 3.81 mm."""
    data = cutting_data(SHOP, "rough turn", tool("LR CNMG120408"), MILD)
    assert data.speed_range == (91, 152) and data.feed_range == (0.2, 0.51)
    assert 91 <= data.speed_m_per_min <= 152
    assert data.depth == pytest.approx(3.81)
    assert "S36" in data.source


@pytest.mark.parametrize(
    "word", ["face", "finish face", "bore", "finish bore", "part off", "groove", "thread"]
)
@pytest.mark.parametrize("material", SHOP.materials, ids=lambda m: m.name)
def test_every_operation_has_data_for_every_material(word: str, material) -> None:
    """No material leaves an operation without a speed; each row says where it comes from."""
    data = cutting_data(SHOP, word, tool("LR CNMG120408"), material)
    assert data.speed_m_per_min > 0.0 and data.source


def test_depth_never_above_the_tool() -> None:
    """A small insert lowers the depth of the table."""
    assert cutting_data(SHOP, "rough turn", tool("JR DCMT11T302"), STEEL).depth == 1.0


def test_feed_never_above_half_the_nose() -> None:
    """Feed follows the nose radius (common practice): 0.2 mm nose, at most 0.1 mm/rev."""
    assert cutting_data(SHOP, "rough turn", tool("JR DCMT11T302"), STEEL).feed_mm_per_rev <= 0.1


def test_blade_feed_as_published() -> None:
    """A blade feeds at most 0.075 of its width (S39): 1 mm blade, 0.075 mm/rev."""
    data = cutting_data(SHOP, "groove", tool("GR 1 R0.1"), STEEL)
    assert data.feed_mm_per_rev == pytest.approx(0.075)


def test_roughness_lowers_the_finishing_feed() -> None:
    """Asking for Ra 0.8 gives a feed whose theoretical Ra leaves the practice factor of 1.5."""
    nose = tool("JR DNMG150608")
    data = cutting_data(SHOP, "finish turn", nose, STEEL)
    coarse, fine = (
        finishing_feed(data, nose, 6.3, SHOP.practice.cutting),
        finishing_feed(data, nose, 0.8, SHOP.practice.cutting),
    )
    assert fine < coarse <= 0.2
    assert mean_roughness(fine, nose.nose_radius) == pytest.approx(0.8 / 1.5)
    assert finishing_feed(data, nose, None, SHOP.practice.cutting) == data.feed_mm_per_rev


def test_drill_feed_grows_with_the_diameter() -> None:
    """Drills feed 0.01 to 0.02 diameters per turn (common practice in S37's note)."""
    for drill in (tool("D5"), tool("D12")):
        feed = cutting_data(SHOP, "drill", drill, STEEL).feed_mm_per_rev
        assert 0.01 <= feed / (drill.diameter_mm or 1.0) <= 0.02


def test_missing_row_is_stood_in_for_and_said() -> None:
    """Without a row for boring the turning row stands in, and the source says so."""
    rows = tuple(row for row in SHOP.cutting if not row.operation.startswith("bore"))
    data = cutting_data(replace(SHOP, cutting=rows), "bore", tool("B16 L CCMT09T304"), STEEL)
    assert "no row for bore rough: rough with carbide stands in" in data.source


def test_no_row_at_all_is_an_error() -> None:
    """A table without any row for the class is refused by name."""
    with pytest.raises(BadShopData, match="speed_class 'medium'"):
        cutting_data(replace(SHOP, cutting=()), "rough turn", tool("LR CNMG120408"), STEEL)


def test_torque_is_limited_by_curve_and_power() -> None:
    """At low speed the curve limits (150 Nm), at high speed the power: 9549 P / n Nm (kW, rev/min)."""
    assert forces.torque_at(LATHE, 100.0) == 150.0
    at_1000 = 9549.3 * LATHE.power_kw * LATHE.efficiency / 1000.0
    assert forces.torque_at(LATHE, 1000.0) == pytest.approx(min(at_1000, 150 - 130 * 400 / 3900), rel=1e-4)
    assert all(
        forces.power_at(LATHE, rpm) <= LATHE.power_kw * LATHE.efficiency + 1e-9 for rpm in range(40, 4501, 20)
    )


def test_largest_depth_uses_the_torque_exactly() -> None:
    """Cutting at the largest depth takes just the torque that the spindle gives."""
    depth = forces.largest_depth(STEEL, LATHE, 80.0, 150.0, 0.4)
    force = forces.cutting_force(STEEL, depth, 0.4)
    rpm = 1000.0 * 150.0 / (math.pi * 80.0)
    assert forces.cutting_torque(force, 80.0) == pytest.approx(forces.torque_at(LATHE, rpm))


def test_threading_tools_prefer_their_own_profile() -> None:
    """For M 1.5 the full profile comes first, the narrow partial range before the wide one."""
    found = [t.id for t in threading_tools(SHOP, False, "M", math.radians(60), 1.5) if t.hand == "right"]
    assert found == ["ER M 1.5", "ER partial 60 0.5-1.5", "ER partial 60 0.5-3"]


def test_pipe_and_inch_pitches_are_found() -> None:
    """R uses the 55 degree profile of G; inch pitches match their rounded file values."""
    assert threading_tools(SHOP, False, "R", math.radians(55), 25.4 / 14)[0].id == "ER G 14 tpi"
    assert threading_tools(SHOP, False, "UN", math.radians(60), 25.4 / 13)[0].id == "ER UN 13 tpi"
    assert threading_tools(SHOP, False, "NPT", math.radians(60), 25.4 / 11.5)[0].id == "ER NPT 11.5 tpi"
    assert not threading_tools(SHOP, False, "M", math.radians(60), 0.2)


def test_taps_by_size_pitch_and_hand() -> None:
    """M8 has a coarse and a fine tap; there is no left-hand one."""
    assert [t.id for t in taps(SHOP, 8.0, 1.25, "right")] == ["M8"]
    assert [t.id for t in taps(SHOP, 8.0, 1.0, "right")] == ["M8x1"]
    assert taps(SHOP, 8.0, 1.25, "left") == ()


def test_knurl_wheel_by_words_or_letters() -> None:
    """The feature's words and the letters of DIN 82 find the same wheel."""
    assert knurl_wheels(SHOP, "diamond raised", 1.0) == knurl_wheels(SHOP, "RGE", 1.0)
    assert [t.insert for t in knurl_wheels(SHOP, "straight", 0.8)] == ["RAA 0.8"]
    assert knurl_wheels(SHOP, "straight", 0.9) == ()
