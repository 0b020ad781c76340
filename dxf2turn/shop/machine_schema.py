"""machine.toml as pydantic models, see `schema.py`."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from dxf2turn.shop.schema import Entry, Name, NotNegative, Pair, Positive, Share, Size, Text


class CentreEntry(Entry):
    """A live centre. nose_mm: diameter behind its point; body_mm: of the part with the bearings; tip_mm: of
    the flat at its very tip (from memory)."""

    nose_mm: Size
    nose_length_mm: Size
    body_mm: Size
    body_length_mm: Size
    tip_mm: Positive = 0.5


# Slim points for small work first; sizes of usual live centres, from memory.
USUAL_CENTRES = [
    CentreEntry(nose_mm=12.0, nose_length_mm=30.0, body_mm=45.0, body_length_mm=50.0),
    CentreEntry(nose_mm=25.0, nose_length_mm=35.0, body_mm=60.0, body_length_mm=60.0),
    CentreEntry(nose_mm=60.0, nose_length_mm=40.0, body_mm=90.0, body_length_mm=60.0),
]


class MachineEntry(Entry):
    """One lathe. torque_points: [rev/min, Nm] at the spindle, rising speeds."""

    name: Name
    power_kw: Positive
    efficiency: Share
    min_rpm: Positive
    max_rpm: Positive
    torque_points: Annotated[list[Pair], Field(min_length=1)]
    rapid_z_mm_per_min: Positive
    rapid_x_mm_per_min: Positive
    feed_max_mm_per_min: Positive
    thread_rate_max_mm_per_min: Positive
    acceleration_mm_per_s2: Positive
    max_swing_mm: Positive
    max_length_mm: Positive
    spindle_bore_mm: Positive
    chuck_mm: Positive
    jaw_length_mm: Positive
    jaw_height_mm: Positive
    grip_mm: Pair
    collet_mm: Positive | None = None
    inside_grip_mm: Pair | None = None
    inside_jaw_length_mm: Size = 20.0
    inside_jaw_height_mm: Size = 12.0
    mandrel_mm: Pair | None = None
    mandrel_length_mm: Size = 40.0
    mandrel_flange_height_mm: Size = 8.0
    mandrel_flange_length_mm: Size = 12.0
    tool_post: Literal["turret", "quick-change"]
    stations: Annotated[int, Field(ge=1, le=1000)]
    tool_change_s: NotNegative
    constant_surface_speed: bool
    tailstock: bool
    sleeve_mm: Size = 60.0
    centre: Annotated[list[CentreEntry], Field(min_length=1)] = USUAL_CENTRES
    steady_mm: Pair | None = None
    steady_width_mm: Size = 30.0
    steady_frame_mm: Size = 220.0
    bar_feed: bool
    source: Text

    @model_validator(mode="after")
    def makes_sense(self) -> MachineEntry:
        """Ranges rise."""
        if self.min_rpm >= self.max_rpm:
            raise ValueError("min_rpm must be below max_rpm")
        speeds = [rpm for rpm, _ in self.torque_points]
        if speeds != sorted(set(speeds)):
            raise ValueError("torque_points must have rising speeds")
        for name in ("grip_mm", "steady_mm", "inside_grip_mm", "mandrel_mm"):
            pair = getattr(self, name)
            if pair is not None and pair[0] >= pair[1]:
                raise ValueError(f"{name} must be [least, largest]")
        return self


class MachineFile(Entry):
    """machine.toml. default: name of the machine that plans use unless `--machine` says otherwise."""

    default: Name
    machine: Annotated[list[MachineEntry], Field(min_length=1)]
