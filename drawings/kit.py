"""A little drafting kit for the demo drawings: outlines from corner points, then a DXF with ezdxf.

Lengths are in the drawing's unit, z along the axis (0 at the front face, the part at z <= 0), d a diameter.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from pathlib import Path

import ezdxf
from ezdxf.document import Drawing as Document
from ezdxf.layouts import Modelspace

ezdxf.options.write_fixed_meta_data_for_testing = True  # equal input gives equal bytes

Point = tuple[float, float]


@dataclass(frozen=True)
class Corner:
    """A corner of an outline: place, and how it is broken.

    chamfer: leg along both sides; radius: of a tangent arc; bulge: the side that starts here is an arc
    (tan of a quarter of its sweep, positive counter-clockwise in z right, r up).
    """

    z: float
    d: float
    chamfer: float = 0.0
    radius: float = 0.0
    bulge: float = 0.0


@dataclass(frozen=True)
class Vertex:
    """A finished vertex in (z, r) and the bulge of the side that starts at it."""

    z: float
    r: float
    bulge: float = 0.0


def vertices(corners: list[Corner]) -> list[Vertex]:
    """Corner points with chamfers and radii worked in (only between straight sides)."""
    out: list[Vertex] = []
    for index, corner in enumerate(corners):
        here = (corner.z, corner.d / 2.0)
        if not corner.chamfer and not corner.radius:
            out.append(Vertex(*here, corner.bulge))
            continue
        before = corners[index - 1]
        after = corners[(index + 1) % len(corners)]
        u = _unit(here, (before.z, before.d / 2.0))
        v = _unit(here, (after.z, after.d / 2.0))
        if corner.chamfer:
            reach, bulge = corner.chamfer, 0.0
        else:
            angle = math.acos(max(-1.0, min(1.0, u[0] * v[0] + u[1] * v[1])))
            reach = corner.radius / math.tan(angle / 2.0)
            turn = math.copysign(math.pi - angle, -(u[0] * v[1] - u[1] * v[0]))
            bulge = math.tan(turn / 4.0)
        out.append(Vertex(here[0] + reach * u[0], here[1] + reach * u[1], bulge))
        out.append(Vertex(here[0] + reach * v[0], here[1] + reach * v[1], corner.bulge))
    return out


def _unit(a: Point, b: Point) -> Point:
    length = math.hypot(b[0] - a[0], b[1] - a[1])
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length)


@dataclass
class Sheet:
    """One drawing. `unit`: 4 mm, 1 inch (the codes of $INSUNITS)."""

    version: str = "R2010"
    unit: int = 4
    height: float = 2.5
    half: list[Vertex] = field(default_factory=list)  # the part's true outline, for the tests
    doc: Document = field(init=False)

    def __post_init__(self) -> None:
        self.doc = ezdxf.new(self.version, setup=["linetypes"])
        self.doc.header["$INSUNITS"] = self.unit
        self.doc.header["$MEASUREMENT"] = 1 if self.unit == 4 else 0
        for name, colour, linetype in (
            ("PART", 7, "CONTINUOUS"),
            ("AXIS", 1, "CENTER"),
            ("THIN", 3, "CONTINUOUS"),
            ("HIDDEN", 4, "DASHED"),
            ("NOTES", 2, "CONTINUOUS"),
            ("SECTION", 8, "CONTINUOUS"),
            ("SHEET", 9, "CONTINUOUS"),
        ):
            self.doc.layers.add(name, color=colour, linetype=linetype)

    @property
    def space(self) -> Modelspace:
        return self.doc.modelspace()

    def axis(self, z_from: float, z_to: float, y: float = 0.0) -> None:
        self.space.add_line((z_from, y), (z_to, y), dxfattribs={"layer": "AXIS"})

    def polyline(
        self, outline: list[Vertex], layer: str = "PART", mirror: bool = False, close: bool = True
    ) -> None:
        self.half = self.half or outline
        sign = -1.0 if mirror else 1.0
        points = [(v.z, sign * v.r, sign * v.bulge) for v in outline]
        if self.doc.dxfversion == "AC1009":
            self.space.add_polyline2d(points, format="xyb", close=close, dxfattribs={"layer": layer})
        else:
            self.space.add_lwpolyline(points, format="xyb", close=close, dxfattribs={"layer": layer})

    def loose(
        self,
        outline: list[Vertex],
        layer: str = "PART",
        mirror: bool = False,
        close: bool = True,
        bored: bool = False,
    ) -> None:
        """The outline as single lines and arcs; a solid part's sides at y = 0, on the axis, are left out."""
        self.half = self.half or outline
        sign = -1.0 if mirror else 1.0
        sides = list(zip(outline, outline[1:] + outline[:1])) if close else list(zip(outline, outline[1:]))
        for a, b in sides:
            start, end = (a.z, sign * a.r), (b.z, sign * b.r)
            if a.bulge == 0.0:
                if bored or not (a.r == 0.0 and b.r == 0.0):
                    self.space.add_line(start, end, dxfattribs={"layer": layer})
            else:
                centre, a0, a1, radius = ezdxf.math.bulge_to_arc(start, end, sign * a.bulge)
                self.space.add_arc(
                    centre, radius, math.degrees(a0), math.degrees(a1), dxfattribs={"layer": layer}
                )

    def edges(self, places: list[tuple[float, float]]) -> None:
        """Edges across a full view: (z, d)."""
        for z, d in places:
            self.space.add_line((z, -d / 2.0), (z, d / 2.0), dxfattribs={"layer": "PART"})

    def text(self, text: str, z: float, y: float) -> None:
        self.space.add_text(text, height=self.height, dxfattribs={"layer": "NOTES"}).set_placement((z, y))

    def leader(self, text: str, tip: Point, knee: Point) -> None:
        self.space.add_leader([tip, knee], override={"dimasz": self.height}, dxfattribs={"layer": "NOTES"})
        self.text(text, knee[0] + self.height * 0.4, knee[1] - self.height / 2.0)

    def length(self, z1: float, r1: float, z2: float, r2: float, y: float, text: str = "<>") -> None:
        """A horizontal dimension between two points of the outline."""
        dim = self.space.add_linear_dim(
            base=(0.0, y),
            p1=(z1, r1),
            p2=(z2, r2),
            text=text,
            override=self._style(),
            dxfattribs={"layer": "NOTES"},
        )
        dim.render()

    def diameter(self, z: float, d: float, at: float, text: str = "%%c<>") -> None:
        """A vertical dimension across the axis at z, its line at `at`."""
        dim = self.space.add_linear_dim(
            base=(at, 0.0),
            p1=(z, -d / 2.0),
            p2=(z, d / 2.0),
            angle=90,
            text=text,
            override=self._style(),
            dxfattribs={"layer": "NOTES"},
        )
        dim.render()

    def _style(self) -> dict[str, float | int]:
        return {
            "dimtxt": self.height,
            "dimasz": self.height,
            "dimexe": self.height / 3,
            "dimexo": self.height / 4,
            "dimgap": self.height / 4,
            "dimdec": 3 if self.unit == 1 else 2,
            "dimzin": 8,
            "dimtad": 1,
        }

    def hatch(self, outline: list[Vertex], mirror: bool = False) -> None:
        sign = -1.0 if mirror else 1.0
        hatch = self.space.add_hatch(color=8, dxfattribs={"layer": "SECTION"})
        hatch.set_pattern_fill("ANSI31", scale=0.5)
        hatch.paths.add_polyline_path([(v.z, sign * v.r, sign * v.bulge) for v in outline], is_closed=True)

    def frame(self, corner: Point, width: float, height: float, title: str, lines: tuple[str, ...]) -> None:
        """Border and title block."""
        x, y = corner
        for inset in (0.0, 5.0):
            self.space.add_lwpolyline(
                [
                    (x + inset, y + inset),
                    (x + width - inset, y + inset),
                    (x + width - inset, y + height - inset),
                    (x + inset, y + height - inset),
                ],
                close=True,
                dxfattribs={"layer": "SHEET"},
            )
        left, bottom = x + width - 95.0, y + 5.0
        for row in range(len(lines) + 1):
            self.space.add_line(
                (left, bottom + 8.0 * (row + 1)),
                (left + 90.0, bottom + 8.0 * (row + 1)),
                dxfattribs={"layer": "SHEET"},
            )
        self.space.add_line(
            (left, bottom), (left, bottom + 8.0 * (len(lines) + 1)), dxfattribs={"layer": "SHEET"}
        )
        for row, text in enumerate((*lines, title)):
            self.text(text, left + 2.0, bottom + 8.0 * row + 2.5)

    def save(self, path: Path) -> None:
        self.doc.saveas(path)
