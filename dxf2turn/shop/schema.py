"""The shop files as pydantic models: what a person may write, with units in the key names.

Strict: no extra keys, no text where a number belongs, no nan or inf. Lengths mm, diameters where the key
says so, angles in degrees. `load.py` turns the errors into sentences.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, model_validator

Positive = Annotated[float, Field(gt=0.0, le=1e6)]
Size = Annotated[float, Field(ge=0.001, le=5000.0)]  # a length of a tool, mm
NotNegative = Annotated[float, Field(ge=0.0, le=1e6)]
Share = Annotated[float, Field(gt=0.0, le=1.0)]
Angle = Annotated[float, Field(gt=0.0, le=180.0)]
Name = Annotated[str, Field(min_length=1, max_length=60, pattern=r"^[^\x00-\x1f]+$")]
Text = Annotated[str, Field(max_length=500)]
Pair = Annotated[list[NotNegative], Field(min_length=2, max_length=2)]
Group = Literal["P", "M", "K", "N", "S", "H"]
Hand = Literal["right", "left", "neutral"]
Side = Literal["right", "left"]


def _hollow(tube: list[float]) -> list[float]:
    """The bore of a tube is smaller than its outside. Raises ValueError."""
    if tube[1] >= tube[0]:
        raise ValueError("must be [outside diameter, bore], the bore smaller than the outside diameter")
    return tube


Tube = Annotated[list[Size], Field(min_length=2, max_length=2), AfterValidator(_hollow)]
ToolMaterial = Literal["carbide", "HSS"]


class Entry(BaseModel):
    """What all tables share."""

    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False, frozen=True)


class ToolEntry(Entry):
    """What all tools share."""

    id: Name
    material: ToolMaterial = "carbide"
    note: Text = ""


class Turning(ToolEntry):
    """A turning tool for outside work and facing."""

    insert: Name
    style: Name
    hand: Hand
    max_depth_mm: Size
    shank_mm: Size = 20.0


class Bar(ToolEntry):
    """What all bars for inside work share. offset_mm: from the bar's axis to the tip."""

    bar_mm: Size
    offset_mm: Size
    least_bore_mm: Size
    overhang_mm: Size
    bar_material: Literal["steel", "carbide", "damped"] = "steel"

    @model_validator(mode="after")
    def fits_its_bore(self) -> Bar:
        """The tip stands out of the bar, and both together pass the least bore."""
        if self.offset_mm <= 0.5 * self.bar_mm:
            raise ValueError(
                "offset_mm must be more than half of bar_mm: the tip has to stand out of the bar"
            )
        if self.offset_mm + 0.5 * self.bar_mm > self.least_bore_mm:
            raise ValueError("the bar does not pass its own least_bore_mm: offset_mm + bar_mm / 2 is larger")
        return self


class Boring(Bar):
    """A boring bar with an ISO 1832 insert, or ground tip given by corner angle and size.

    edges_only: too slim for its length to bore with, it only breaks the edge at the far end of a bore.
    """

    style: Name
    max_depth_mm: Size
    insert: Name | None = None
    corner_angle_deg: Annotated[float, Field(ge=30.0, le=90.0)] | None = None
    inscribed_circle_mm: Size | None = None
    nose_radius_mm: Size | None = None
    edges_only: bool = False

    @model_validator(mode="after")
    def one_shape(self) -> Boring:
        """Either an insert or all three of the ground tip."""
        ground = (self.corner_angle_deg, self.inscribed_circle_mm, self.nose_radius_mm)
        if (self.insert is None) != all(value is not None for value in ground) or (
            self.insert is not None and any(value is not None for value in ground)
        ):
            raise ValueError(
                "give either insert, or corner_angle_deg, inscribed_circle_mm and nose_radius_mm together"
            )
        return self


class Blade(ToolEntry):
    """Grooving, parting and face grooving: a blade with two corners of one radius."""

    width_mm: Size
    corner_radius_mm: Size
    reach_mm: Size

    @model_validator(mode="after")
    def corners_fit(self) -> Blade:
        """A full-radius blade has a corner radius of half its width."""
        if self.corner_radius_mm > 0.5 * self.width_mm:
            raise ValueError("corner_radius_mm is more than half of width_mm")
        return self


class Grooving(Blade):
    """Outside. hand: the side of the blade on which the shank does not stand out (right: the left side)."""

    hand: Side = "right"
    shank_mm: Size = 20.0


class FaceGrooving(Blade):
    """Into a face. The outer diameter of the first plunge lies within first_groove_mm."""

    first_groove_mm: Pair
    shank_mm: Size = 20.0


class InsideGrooving(Bar):
    """A grooving bar. reach_mm: depth of the groove, on the radius."""

    width_mm: Size
    corner_radius_mm: Size
    reach_mm: Size

    @model_validator(mode="after")
    def fits(self) -> InsideGrooving:
        """Corners fit the blade, the blade fits its bar."""
        if self.corner_radius_mm > 0.5 * self.width_mm:
            raise ValueError("corner_radius_mm is more than half of width_mm")
        if self.reach_mm > self.offset_mm - 0.5 * self.bar_mm:
            raise ValueError("reach_mm is more than the blade stands out of the bar (offset_mm - bar_mm / 2)")
        return self


class ThreadForm(Entry):
    """The tooth of a threading tool. profile "partial" fits every pitch of its range."""

    profile: Literal["M", "UN", "G", "NPT", "Tr", "ACME", "Rd", "partial"]
    form_angle_deg: Annotated[float, Field(ge=10.0, le=90.0)]
    pitch_mm: Pair
    nose_radius_mm: Size
    tip_flat_mm: NotNegative = 0.0
    half_width_mm: Size

    @model_validator(mode="after")
    def rising(self) -> ThreadForm:
        """The least pitch comes first."""
        if not 0.0 < self.pitch_mm[0] <= self.pitch_mm[1]:
            raise ValueError("pitch_mm must be [least, largest], both above 0")
        return self


class Threading(ToolEntry, ThreadForm):
    """Outside threading. hand: the side on which nothing stands out beyond half_width_mm (right: left)."""

    height_mm: Size
    hand: Side = "right"
    shank_mm: Size = 20.0


class InsideThreading(Bar, ThreadForm):
    """A threading bar."""


class AxisTool(ToolEntry):
    """Everything that works on the axis. reach_mm: how deep it may go."""

    material: ToolMaterial = "HSS"
    diameter_mm: Size
    reach_mm: Size


class Drill(AxisTool):
    """A twist drill."""

    point_angle_deg: Annotated[float, Field(ge=60.0, lt=180.0)] = 118.0


class FlatDrill(AxisTool):
    """Cuts a flat bottom."""


class CentreDrill(ToolEntry):
    """ISO 6411 form A: pilot diameter, 60 degree cone up to the body.

    Form B: from `protected_from_mm` a protecting cone of 120 degrees. Form R: an arc of `round_mm` in place
    of the cone. diameter_mm: largest of the hole. number: of an inch size, ASME B94.11M.
    """

    material: ToolMaterial = "HSS"
    diameter_mm: Size
    pilot_mm: Size
    body_mm: Size
    protected_from_mm: Size | None = None
    round_mm: Size | None = None
    number: Name | None = None


class Reamer(AxisTool):
    """grade: of the hole it leaves, e.g. "H7"."""

    grade: Name = "H7"
    lead_mm: Size = 1.0


class Tap(AxisTool):
    """A machine tap. lead_pitches: length of its chamfer in pitches."""

    pitch_mm: Size
    thread: Name
    hand: Side = "right"
    lead_pitches: Size = 3.0


class Knurl(ToolEntry):
    """A knurling wheel. form: DIN 82 letters, e.g. "RAA" or "RGE"."""

    material: ToolMaterial = "HSS"
    form: Name
    pitch_mm: Size
    width_mm: Size


class ToolsFile(Entry):
    """tools.toml."""

    turning: list[Turning] = []
    grooving: list[Grooving] = []
    parting: list[Grooving] = []
    face_grooving: list[FaceGrooving] = []
    threading: list[Threading] = []
    boring: list[Boring] = []
    inside_grooving: list[InsideGrooving] = []
    inside_threading: list[InsideThreading] = []
    centre_drill: list[CentreDrill] = []
    drill: list[Drill] = []
    flat_drill: list[FlatDrill] = []
    reamer: list[Reamer] = []
    tap: list[Tap] = []
    knurl: list[Knurl] = []


class MaterialEntry(Entry):
    """One work material."""

    name: Name
    group: Group
    description: Text
    kc11_n_per_mm2: Positive
    mc: Annotated[float, Field(ge=0.0, lt=1.0)]
    density_kg_per_m3: Positive
    youngs_modulus_n_per_mm2: Positive
    speed_class: Name
    also: list[Name] = []
    source: Text


class CuttingEntry(Entry):
    """One row of the cutting table. Ranges are [least, largest]."""

    speed_class: Name
    operation: Literal[
        "rough", "finish", "face rough", "face finish", "groove", "part", "thread",
        "bore rough", "bore finish", "centre drill", "drill", "ream", "tap", "knurl",
    ]  # fmt: skip
    tool: ToolMaterial
    speed_m_per_min: Pair
    feed_mm_per_rev: Pair | None = None
    depth_mm: Pair | None = None
    source: Text

    @model_validator(mode="after")
    def rising(self) -> CuttingEntry:
        """The least value comes first, no speed is 0."""
        if not 0.0 < self.speed_m_per_min[0] <= self.speed_m_per_min[1]:
            raise ValueError("speed_m_per_min must be [least, largest], both above 0")
        for name, pair in (("feed_mm_per_rev", self.feed_mm_per_rev), ("depth_mm", self.depth_mm)):
            if pair is not None and not 0.0 < pair[0] <= pair[1]:
                raise ValueError(f"{name} must be [least, largest], both above 0")
        return self


class MaterialsFile(Entry):
    """materials.toml. bars_mm: diameters of round bar on the rack; bars_inch_mm: inch sizes, in mm.

    tubes_mm: [outside diameter, bore] of tube, in the materials of the ISO 513 groups tube_groups.
    """

    default: Name
    bars_mm: Annotated[list[Positive], Field(min_length=1)]
    bars_inch_mm: list[Positive] = []
    tubes_mm: list[Tube] = []
    tube_groups: list[Group] = []
    material: Annotated[list[MaterialEntry], Field(min_length=1)]
    cutting: Annotated[list[CuttingEntry], Field(min_length=1)]
