"""A lathe and a material written by hand, so that planning can be tested without the shop's data."""

from __future__ import annotations

from dxf2turn.shop.model import Machine, Material

LATHE = Machine(
    name="test lathe",
    power_kw=7.5,
    efficiency=0.8,
    min_rpm=30.0,
    max_rpm=3500.0,
    torque_points=((30.0, 200.0), (350.0, 200.0), (3500.0, 20.0)),
    rapid_z_mm_per_min=12000.0,
    rapid_x_mm_per_min=8000.0,
    feed_max_mm_per_min=3000.0,
    thread_rate_max_mm_per_min=4000.0,
    acceleration_mm_per_s2=1000.0,
    max_swing_mm=300.0,
    max_length_mm=500.0,
    spindle_bore_mm=52.0,
    jaw_length=30.0,
    jaw_height=25.0,
    tool_change_s=3.0,
    stations=12,
)

STEEL = Material(
    name="test steel",
    group="P",
    description="medium carbon steel",
    kc11=2110.0,
    mc=0.17,
    density=7850.0,
    youngs_modulus=210000.0,
    speed_class="medium",
)
