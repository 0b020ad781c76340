"""The proportions by which features are told apart, in one frozen record. docs/features.md explains each.

All are ratios or angles, never sizes: a watch part and a mill roll are read by the same rules.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


def _deg(value: float) -> float:
    return math.radians(value)


@dataclass(frozen=True, slots=True)
class Proportion:
    """How wide a pocket may be to count as a groove: against its depth and against its mouth diameter."""

    width_per_depth: float
    width_per_diameter: float


@dataclass(frozen=True, slots=True)
class Rules:
    """Angles in radians, the rest ratios."""

    # Corners and directions.
    corner: float = _deg(3.0)  # a smaller turn between two pieces is no corner
    tangent: float = _deg(3.0)  # an arc meets its neighbour smoothly within this
    straight_share: float = 0.02  # a line off an axis by less than `gap` and this share lies on it

    # Pockets that are grooves; a wider one is a neck and is turned.
    outside_groove: Proportion = Proportion(7.5, 0.5)  # DIN 471 for 5 mm: 0.7 wide, 0.1 deep
    shoulder_groove: Proportion = Proportion(6.0, 0.8)  # beside a shoulder: DIN 76-1 A for M1.6: 1.2 wide
    undercut: Proportion = Proportion(15.0, 0.7)  # beside a shoulder, run-out no steeper than `shallow`
    inside_groove: Proportion = Proportion(7.5, 1.2)
    inside_shoulder_groove: Proportion = Proportion(9.0, 1.2)  # DIN 76-1 C for P 6: 30 wide, 3.5 deep
    inside_undercut: Proportion = Proportion(15.0, 1.2)
    face_groove: Proportion = Proportion(4.0, 0.2)
    compound: float = 2.0  # a stepped pocket is one groove up to this width against its mean depth
    shallow: float = _deg(20.0)
    undercut_radius: float = 0.9  # least corner radius of an undercut against its depth
    pocket_wall: float = _deg(70.0)  # walls of a groove lean at most this much,
    wide_floor: float = 0.3  # but for one whose flat floor has at least this share of its width
    floor_rise: float = 0.5  # a floor rises less than this share of the depth
    same_wall: float = 0.2  # walls that differ by less than this share of the depth are equal
    break_per_depth: float = 1.5  # reach of a mouth chamfer or round along the surface
    break_per_width: float = 0.5
    break_slope: float = _deg(15.0)

    # Forms of grooves.
    square_wall: float = _deg(7.0)  # a wall this near to upright is upright
    flat_floor: float = _deg(10.0)
    vee_floor: float = 0.5  # a vee with even walls may have a flat or a root radius up to this share
    even_walls: float = _deg(5.0)
    round_floor: float = 0.1  # a round groove may have a flat up to this share of its width

    # Chamfers, rounds and fillets against tapers and free arcs.
    chamfer_least: float = _deg(8.0)  # to the axis
    chamfer_share: float = 0.3  # either leg against the larger diameter
    chamfer_neighbour: float = 1.5  # length against the longer neighbour
    cone_most: float = _deg(28.0)  # a slighter slope that goes on behind a groove is a taper, not a chamfer
    groove_pieces: int = 9  # a groove has at most this many pieces
    same_way: float = _deg(0.06)
    corner_turn: float = _deg(35.0)  # a chamfer breaks a corner that turns at least this much
    round_sweep: float = _deg(136.0)
    corner_sweep: float = _deg(170.0)  # an arc that sweeps less between two lines lies in a corner of theirs
    round_share: float = 1.0  # radius against the larger diameter

    # Bores.
    point_least: float = _deg(80.0)  # full angle of a drill point
    point_most: float = _deg(150.0)
    drilled_length: float = 3.0  # a plain through hole longer than this many diameters is drilled


RULES = Rules()
