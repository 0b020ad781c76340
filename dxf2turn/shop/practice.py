"""The shop's practice: how much is left, how deep is pecked, how much room is kept.

The values, each with its standing, are in `practice.toml`; a shop folder may have its own. Lengths in mm, on
the radius unless a docstring says diameters; `share` keys are parts of one.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from dxf2turn.shop.schema import Entry, NotNegative, Pair, Positive, Share

Count = Annotated[int, Field(ge=0, le=20)]


class StockPractice(Entry):
    """What the stock is larger than the part."""

    face_mm: NotNegative
    oversize_mm: Annotated[list[Pair], Field(min_length=1)]
    tube_undersize_mm: Annotated[list[Pair], Field(min_length=1)]
    thin_wall_share: NotNegative
    least_wall_share: NotNegative
    tube_worth_s: NotNegative
    least_grip_mm: Positive
    load_s: NotNegative

    def parted_length(self, part: float, blade: float) -> float:
        """The shortest stock that a part of a length can be parted off from with a blade of a width, mm."""
        return part + 2.0 * self.face_mm + blade + 0.5 * self.least_grip_mm


class HoldingPractice(Entry):
    """How the work is held and turned over."""

    jaw_room_mm: Positive
    jaw_relief_mm: Positive
    face_room_mm: Positive
    turn_over_s: NotNegative
    mandrel_s: NotNegative
    lifted_kg: Positive
    pull_out_s: NotNegative
    tailstock_s: NotNegative
    steady_s: NotNegative
    centring_out_mm: Positive
    steady_from_face_mm: Positive
    tool_change_room_mm: Positive
    overhang_diameters: Positive
    least_hold: Share
    least_hold_near: Share
    good_hold: Share
    short_part_share: Share
    blank_share: Share
    bridged_tail_mm: NotNegative
    least_seat_mm: Positive
    stub_wall_share: Share
    stub_wall_mm: Positive


class TravelPractice(Entry):
    """Room that rapids keep."""

    clearance_mm: Positive
    inside_clearance_mm: Positive


class TurningPractice(Entry):
    """Outside turning and facing."""

    leave_radius_mm: NotNegative
    leave_along_mm: NotNegative
    leave_face_mm: NotNegative
    leave_measuring_mm: NotNegative
    usual_ra_um: Positive
    usual_nose_mm: Positive
    rough_nose_mm: Positive
    measured_grade: Count
    blade_hollow_mm: NotNegative
    blade_time_s: NotNegative
    hollow_gain_s: NotNegative
    thick_face_mm: Positive
    most_bending_mm: Positive
    most_finish_bending_mm: Positive
    most_free_bending_mm: Positive


class BoringPractice(Entry):
    """Inside turning."""

    leave_radius_mm: NotNegative
    leave_along_mm: NotNegative


class GroovingPractice(Entry):
    """Blades in grooves."""

    leave_mm: NotNegative
    overlap_mm: Positive
    peck_widths: Positive


class PartingPractice(Entry):
    """Parting off."""

    centre_feed_share: Share
    peck_widths: Positive
    most_widths: Positive
    neck_mm: NotNegative
    neck_share: Share

    def neck_of(self, largest_radius: float) -> float:
        """Radius that stays at the back of a part until it is parted off, mm."""
        return min(self.neck_mm, self.neck_share * largest_radius)


class DrillingPractice(Entry):
    """Holes along the axis. Diameters mm."""

    first_diameters: Positive
    later_diameters: Positive
    leave_mm: NotNegative
    least_grade: Count
    least_ra_um: Positive
    pilot_from_mm: Positive
    pilot_share: Share
    deep_bore_diameters: Positive
    past_through_mm: NotNegative
    countersink_share: Share
    largest_centre_mm: Positive
    feed_share: Positive
    feed_most_mm_per_rev: Positive
    centre_feed_share: Share


class ReamingPractice(Entry):
    """Holes that are reamed. Diameters mm."""

    largest_mm: Positive
    least_mm: Positive
    most_mm: Positive
    feed_share: Positive
    back_feed_share: Positive


class TappingPractice(Entry):
    """Threads that are tapped."""

    run_in_pitches: NotNegative
    least_run_in_mm: NotNegative


class ThreadingPractice(Entry):
    """Threads that are cut pass by pass."""

    first_passes: NotNegative
    passes_per_mm: Positive
    flat_depth_mm: Positive
    least_depth_mm: Positive
    least_passes: Count
    straight_passes: Count
    flank_relief_deg: NotNegative
    spring_passes: Count
    run_in_pitches: NotNegative


class KnurlingPractice(Entry):
    """Pressing a knurl in."""

    depth_share: Positive
    feed_mm_per_rev: Positive


class CuttingPractice(Entry):
    """How the cutting table is read."""

    start_share: Share
    nose_share: Positive
    blade_feed_share: Positive
    blade_depth_share: Positive
    roughness_factor: Positive
    least_depth_mm: Positive


class Practice(Entry):
    """All of practice.toml, a field a table."""

    stock: StockPractice
    holding: HoldingPractice
    travel: TravelPractice
    turning: TurningPractice
    boring: BoringPractice
    grooving: GroovingPractice
    parting: PartingPractice
    drilling: DrillingPractice
    reaming: ReamingPractice
    tapping: TappingPractice
    threading: ThreadingPractice
    knurling: KnurlingPractice
    cutting: CuttingPractice
