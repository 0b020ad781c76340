"""What the user asked for, as frozen records: one for reading a drawing, one for planning."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from dxf2turn.units import Unit


@dataclass(frozen=True, slots=True)
class Tolerances:
    """The tolerances of the whole program. No bare small number stands in the code.

    gap: largest gap between two ends that is closed, mm.
    same_point: two points closer than this are one point, mm.
    same_angle: two directions closer than this are one direction, radians.
    fit: largest distance of fitted arcs from a spline or an ellipse, mm.
    tiny: a piece shorter than this is dirt, mm.
    """

    gap: float = 0.01
    same_point: float = 1e-6
    same_angle: float = 1.7e-4
    fit: float = 0.002
    tiny: float = 1e-4


@dataclass(frozen=True, slots=True)
class ReadLimits:
    """Bounds on what one drawing may cost. A file above a bound is refused by name.

    second_reading_tags: a larger file is read once only, which is said; 0 = never read twice.
    """

    max_bytes: int = 100_000_000
    max_entities: int = 1_000_000
    max_coordinate: float = 1e7  # drawing units
    max_string: int = 100_000
    max_block_depth: int = 32
    second_reading_tags: int = 200_000


@dataclass(frozen=True, slots=True)
class DrawingOptions:
    """Options that all drawing commands share.

    units: None = from the header. axis: "auto", "horizontal", "vertical" or (x0, y0, x1, y1) in drawing
    coordinates. front: "auto", "right", "left", "top", "bottom". scale: None = auto (1 unless noted).
    layers: outline only from these (empty = all). part: number of the part on a sheet with several.
    thread: extra thread designations, e.g. "M20x1.5@-5..-25" (z range of the part, mm).
    """

    units: Unit | None = None
    axis: str | tuple[float, float, float, float] = "auto"
    front: str = "auto"
    layers: tuple[str, ...] = ()
    scale: float | None = None
    part: int | None = None
    threads: tuple[str, ...] = ()
    strict: bool = False
    tolerances: Tolerances = field(default_factory=Tolerances)
    limits: ReadLimits = field(default_factory=ReadLimits)


@dataclass(frozen=True, slots=True)
class StockOption:
    """`--stock DIAMETERxLENGTH[xBORE]`, mm. bore 0 = solid."""

    diameter: float
    length: float
    bore: float = 0.0


@dataclass(frozen=True, slots=True)
class PlanOptions:
    """Options of `plan` and `bulk`.

    material, machine: names in the shop data; None = the shop's default.
    stock: None = next preferred bar. shop_dir: folder with machine.toml, tools.toml, materials.toml.
    units_out: unit of texts for people; None = the drawing's.
    """

    material: str | None = None
    machine: str | None = None
    stock: StockOption | None = None
    shop_dir: Path | None = None
    units_out: Unit | None = None
