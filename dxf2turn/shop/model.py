"""What the workshop has, as frozen values. Tool shapes are in the (z, r) plane, relative to the
controlled point, as the tool stands on the machine for outside work (shank towards +r)."""

from __future__ import annotations

from dataclasses import dataclass, field

from dxf2turn.geometry.point import Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """One tool in the crib.

    kind: "turning", "grooving", "parting", "threading", "boring", "inside grooving", "inside threading",
    "face grooving", "centre drill", "drill", "reamer", "tap", "knurl".
    The cutting part is `core` (convex polygon, counter-clockwise) grown by `nose_radius` all round: a
    rhombic insert is a smaller rhombus grown by its corner radius. `nose_centre` is the centre of the nose
    arc at the controlled corner (= a vertex of core). For nose_radius 0 the core is the cutting part.
    outline: that shape flattened to 0.002 mm (chords inside). holder: convex polygons of what must never
    touch (shank, insert seat, blade support); empty when none lies in the plane.
    controlled: which point is programmed, for people ("imaginary tip", "left corner", "right corner", "tip").
    reach: how deep it may go: blade depth for grooving, overhang for boring and drills, mm.
    least_bore_mm: smallest bore diameter it enters. hand: "right", "left", "neutral".
    direction: "M03" or "M04" spindle direction for normal cutting.
    """

    id: str
    kind: str
    insert: str
    holder_style: str | None
    nose_radius: float
    nose_centre: Point
    core: tuple[Point, ...]
    outline: tuple[Point, ...]
    holder: tuple[tuple[Point, ...], ...] = ()
    width: float | None = None
    hand: str = "right"
    cutting_edge_angle: float | None = None  # kappa, radians
    corner_angle: float | None = None  # epsilon, radians
    controlled: str = "imaginary tip"
    reach: float | None = None
    least_bore_mm: float | None = None
    diameter_mm: float | None = None  # drills, reamers, taps
    point_angle: float | None = None  # drills, radians
    form_angle: float | None = None  # threading, radians
    pitch_range: tuple[float, float] | None = None  # threading, mm
    max_depth: float | None = None  # depth of cut, mm
    direction: str = "M04"
    material: str = "carbide"  # "carbide" or "HSS"
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A work material with what its cutting force and mass need. kc11 N/mm2, density kg/m3, E N/mm2."""

    name: str
    group: str  # ISO 513 letter
    description: str
    kc11: float
    mc: float
    density: float
    youngs_modulus: float
    speed_class: str
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingData:
    """Cutting data for one operation, tool material and work material, with source and standing."""

    speed_m_per_min: float
    feed_mm_per_rev: float
    depth: float
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """One lathe. power kW at the motor; torque_points: (rev/min, Nm) of the spindle; rates mm/min;
    acceleration mm/s2; jaw sizes mm."""

    name: str
    power_kw: float
    efficiency: float
    min_rpm: float
    max_rpm: float
    torque_points: tuple[tuple[float, float], ...]
    rapid_z_mm_per_min: float
    rapid_x_mm_per_min: float
    feed_max_mm_per_min: float
    thread_rate_max_mm_per_min: float
    acceleration_mm_per_s2: float
    max_swing_mm: float
    max_length_mm: float
    spindle_bore_mm: float
    jaw_length: float  # along z
    jaw_height: float  # radial, beyond the gripped diameter
    tool_change_s: float
    stations: int
    constant_surface_speed: bool = True
    tailstock: bool = True
    steady: bool = False
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Everything that planning may choose from."""

    machines: tuple[Machine, ...]
    tools: tuple[Tool, ...]
    materials: tuple[Material, ...]
    bar_diameters_mm: tuple[float, ...]
    default_machine: str
    default_material: str
    sources: tuple[tuple[str, str], ...] = field(default=())

    def tools_of(self, *kinds: str) -> tuple[Tool, ...]:
        """The tools of these kinds, in crib order."""
        return tuple(tool for tool in self.tools if tool.kind in kinds)
