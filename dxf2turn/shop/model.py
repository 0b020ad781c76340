"""What the workshop has, as frozen values. Tool shapes are in the (z, r) plane, relative to the
controlled point, as the tool stands on the machine for outside work (shank towards +r)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from dxf2turn.geometry.point import Point
from dxf2turn.shop.practice import Practice


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """One tool in the crib.

    kind: "turning", "grooving", "parting", "threading", "boring", "inside grooving", "inside threading",
    "face grooving", "centre drill", "drill", "flat drill", "reamer", "tap", "knurl".
    The cutting part is `core` (convex polygon, counter-clockwise) grown by `nose_radius` all round: a
    rhombic insert is a smaller rhombus grown by its corner radius. `nose_centre` is the centre of the nose
    arc at the controlled corner (= a vertex of core). For nose_radius 0 the core is the cutting part.
    The core of a round insert is one point, of a full-radius blade two; a centre drill is not convex.
    outline: that shape flattened to 0.002 mm (chords inside). holder: convex polygons of what must never
    touch (shank, insert seat, blade support); empty when none lies in the plane.
    controlled: which point is programmed, for people ("imaginary tip", "left corner", "right corner", "tip").
    reach: how deep it may go: blade depth for grooving, overhang for boring and drills, mm.
    least_bore_mm: smallest bore diameter it enters. hand: "right", "left", "neutral".
    direction: "M03" or "M04" spindle direction for normal cutting.
    overhang: how far an inside tool's bar sticks out of its clamp, mm. bar_mm: diameter of that bar.
    bar_modulus: Young's modulus of the bar, N/mm2. point_length: along z from the tip to the full diameter
    of a drill, tap or reamer, mm. first_groove_mm: outer diameters at which a face grooving blade may enter.
    thread_profile: "M", "UN", "G", "NPT", "Tr", "ACME", "Rd" or "partial" (any pitch in range). tip_flat:
    width of the flat at the tip of a trapezoidal tool, mm. round_radius: of the arc in place of the cone of
    a centre drill of form R, mm. edges_only: a bar that only breaks the far edges of bores.
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
    overhang: float | None = None
    bar_mm: float | None = None
    bar_modulus: float | None = None
    point_length: float = 0.0
    first_groove_mm: tuple[float, float] | None = None
    thread_profile: str | None = None
    tip_flat: float = 0.0
    round_radius: float = 0.0
    edges_only: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A work material with what its cutting force and mass need. kc11 N/mm2, density kg/m3, E N/mm2.

    also: other designations of the same material, as they may stand on a drawing (number, foreign name).
    """

    name: str
    group: str  # ISO 513 letter
    description: str
    kc11: float
    mc: float
    density: float
    youngs_modulus: float
    speed_class: str
    source: str = ""
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingRow:
    """One row of the cutting table: ranges for a speed class, an operation and a tool material.

    None where the table gives no range (the feed of a thread is its lead). Depths mm on the radius.
    """

    speed_class: str
    operation: str
    tool_material: str
    speed_m_per_min: tuple[float, float]
    feed_mm_per_rev: tuple[float, float] | None
    depth: tuple[float, float] | None
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingData:
    """Cutting data for one operation, tool material and work material, with source and standing.

    speed_range, feed_range, depth_range: what the table allows; None where it gives none.
    """

    speed_m_per_min: float
    feed_mm_per_rev: float
    depth: float
    source: str = ""
    speed_range: tuple[float, float] | None = None
    feed_range: tuple[float, float] | None = None
    depth_range: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class LiveCentre:
    """A centre that turns with the work: a 60 degree point, a nose of its diameter, the body behind; mm.

    tip_mm: diameter of the flat at its very tip.
    """

    nose_mm: float
    nose_length: float
    body_mm: float
    body_length: float
    tip_mm: float = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """One lathe. power kW at the motor; torque_points: (rev/min, Nm) of the spindle; rates mm/min;
    acceleration mm/s2; jaw sizes mm.

    tool_post: "turret" or "quick-change". chuck_mm: outer diameter of the chuck. grip_mm: least and largest
    diameter that the jaws hold. collet_mm: largest bar in a collet, None without one. steady_mm: least and
    largest diameter in the steady, None without one. bar_feed: bar may come through the spindle.
    sleeve_mm: diameter of the tailstock's sleeve; centres: for it, slimmest first. steady_width: of its
    pads and frame along z; steady_frame_mm: outer diameter of the frame.
    inside_grip_mm: least and largest bore that the jaws hold from inside, opening outward; None without such
    jaws. inside_jaw_length_mm: how far they reach into the part; inside_jaw_height_mm: of one on the radius.
    mandrel_mm: least and largest bore on an expanding mandrel, None without one; mandrel_length_mm: of its
    sleeve; its flange behind the part is larger than the bore by mandrel_flange_height_mm on the radius.
    """

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
    tool_post: str = "turret"
    chuck_mm: float = 200.0
    grip_mm: tuple[float, float] = (5.0, 160.0)
    collet_mm: float | None = None
    inside_grip_mm: tuple[float, float] | None = None
    inside_jaw_length_mm: float = 20.0
    inside_jaw_height_mm: float = 12.0
    mandrel_mm: tuple[float, float] | None = None
    mandrel_length_mm: float = 40.0
    mandrel_flange_height_mm: float = 8.0
    mandrel_flange_length_mm: float = 12.0
    steady_mm: tuple[float, float] | None = None
    bar_feed: bool = True
    sleeve_mm: float = 60.0
    centres: tuple[LiveCentre, ...] = ()
    steady_width: float = 30.0
    steady_frame_mm: float = 220.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Everything that planning may choose from.

    bar_diameters_mm: round bars, rising; inch_bar_diameters_mm: inch sizes for drawings in inch, in mm.
    tubes_mm: (outside diameter, bore) of tube, rising, in materials of the ISO 513 groups tube_groups.
    practice: how much is left, pecked and kept clear here.
    """

    machines: tuple[Machine, ...]
    tools: tuple[Tool, ...]
    materials: tuple[Material, ...]
    bar_diameters_mm: tuple[float, ...]
    default_machine: str
    default_material: str
    practice: Practice
    sources: tuple[tuple[str, str], ...] = field(default=())
    cutting: tuple[CuttingRow, ...] = ()
    inch_bar_diameters_mm: tuple[float, ...] = ()
    tubes_mm: tuple[tuple[float, float], ...] = ()
    tube_groups: tuple[str, ...] = ()

    def tools_of(self, *kinds: str) -> tuple[Tool, ...]:
        """The tools of these kinds, in crib order."""
        return tuple(tool for tool in self.tools if tool.kind in kinds)

    def without(self, names: Iterable[str]) -> Shop:
        """The shop with these tools left out of the crib."""
        left_out = frozenset(names)
        return replace(self, tools=tuple(tool for tool in self.tools if tool.id not in left_out))

    def machine(self, name: str | None = None) -> Machine | None:
        """The machine of that name (any case), the default one for None; None when there is none."""
        wanted = (name or self.default_machine).casefold()
        return next((machine for machine in self.machines if machine.name.casefold() == wanted), None)

    def material(self, name: str | None = None) -> Material | None:
        """The material of that name or other designation (any case and spacing), the default for None."""
        wanted = _plain(name or self.default_material)
        exact = (material for material in self.materials if _plain(material.name) == wanted)
        other = (m for m in self.materials if any(_plain(designation) == wanted for designation in m.also))
        return next(exact, None) or next(other, None)


def _plain(name: str) -> str:
    """A designation without spaces and case."""
    return "".join(name.split()).casefold()
