"""A profile as a DXF file in memory, drawn in the many ways designers draw a turned part.

    built = build(profile, "full view", seed=3)
    job = recognise(read(built.data, built.options, built.name), built.options)
    assert_same_profile(job.contour.profile, profile, built.tolerance)

`WAYS` lists the ways. `drawing_of(view)` makes the reader's `Drawing` of a view without a file.
"""

from __future__ import annotations

import io
import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import ezdxf
from ezdxf.document import Drawing as Document
from ezdxf.layouts import BaseLayout
from ezdxf.math import BSpline, ConstructionArc

from dxf2turn.contour.model import Profile
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.options import DrawingOptions
from tests import strokes as draw
from tests.drawn import EXACT, INCH, LAYERS, MM, assert_same_profile, drawing_of
from tests.strokes import Place, Stroke, View


@dataclass(frozen=True, slots=True)
class Built:
    """A drawing in memory: its bytes, the options it asks for, how close the contour must come (mm)."""

    name: str
    data: bytes
    options: DrawingOptions
    tolerance: float = EXACT


@dataclass(slots=True)
class Pen:
    """Draws strokes into a new DXF document."""

    version: str = "R2010"
    unit: int = MM
    splines: bool = False
    mirrored_extrusion: bool = False
    doc: Document = field(init=False)
    space: BaseLayout = field(init=False)

    def __post_init__(self) -> None:
        self.doc = ezdxf.new(self.version, setup=["linetypes"])
        if self.version != "R12":
            self.doc.header["$INSUNITS"] = self.unit
            self.doc.header["$MEASUREMENT"] = 0 if self.unit == INCH else 1
        for name, (colour, linetype) in LAYERS.items():
            self.doc.layers.add(name, color=colour, linetype=linetype)
        self.space = self.doc.modelspace()

    def view(self, view: View) -> Pen:
        for stroke in view.strokes:
            self.stroke(stroke)
        for hatch in view.hatches:
            self.hatch(hatch)
        return self

    def stroke(self, stroke: Stroke) -> None:
        attributes = {"layer": stroke.layer}
        if stroke.linetype is not None:
            attributes["linetype"] = stroke.linetype
        if len(stroke.segments) > 1:
            self._polyline(stroke, attributes)
        elif isinstance(stroke.segments[0], Line):
            self.space.add_line(*_ends(stroke.segments[0]), dxfattribs=attributes)
        elif self.splines:
            self._spline(stroke.segments[0], attributes)
        else:
            self._arc(stroke.segments[0], attributes)

    def _arc(self, arc: Arc, attributes: dict[str, object]) -> None:
        a0, a1 = (arc.end_angle, arc.start_angle) if arc.clockwise else (arc.start_angle, arc.end_angle)
        centre = arc.centre
        if self.mirrored_extrusion:
            centre = Point(-centre.x, centre.y)
            a0, a1 = math.pi - a1, math.pi - a0
            attributes = attributes | {"extrusion": (0, 0, -1)}
        self.space.add_arc(centre, arc.radius, math.degrees(a0), math.degrees(a1), dxfattribs=attributes)

    def _spline(self, arc: Arc, attributes: dict[str, object]) -> None:
        a0, a1 = (arc.end_angle, arc.start_angle) if arc.clockwise else (arc.start_angle, arc.end_angle)
        shape = ConstructionArc(arc.centre, arc.radius, math.degrees(a0), math.degrees(a1))
        self.space.add_spline(dxfattribs=attributes).apply_construction_tool(BSpline.from_arc(shape))

    def _polyline(self, stroke: Stroke, attributes: dict[str, object]) -> None:
        points = [(*segment.start, _bulge(segment)) for segment in stroke.segments]
        if not stroke.closed:
            points.append((*stroke.segments[-1].end, 0.0))
        if self.mirrored_extrusion:
            points = [(-x, y, -bulge) for x, y, bulge in points]
            attributes = attributes | {"extrusion": (0, 0, -1)}
        add = self.space.add_polyline2d if self.version == "R12" else self.space.add_lwpolyline
        add(points, format="xyb", close=stroke.closed, dxfattribs=attributes)

    def hatch(self, outline: tuple[Segment, ...]) -> None:
        hatch = self.space.add_hatch(color=8, dxfattribs={"layer": "SECTION"})
        hatch.set_pattern_fill("ANSI31", scale=1.0)
        hatch.paths.add_polyline_path(
            [(*segment.start, _bulge(segment)) for segment in outline], is_closed=True
        )

    def text(self, text: str, at: Point, height: float = 2.5) -> None:
        self.space.add_text(text, height=height, dxfattribs={"layer": "NOTES"}).set_placement(at)

    def length(self, a: Point, b: Point, at: Point, angle_deg: float = 0.0, text: str = "<>") -> None:
        """A linear dimension with its line through `at`."""
        made = self.space.add_linear_dim(
            base=at, p1=a, p2=b, angle=angle_deg, text=text, dxfattribs={"layer": "NOTES"}
        )
        made.render()

    def data(self) -> bytes:
        out = io.StringIO()
        self.doc.write(out)
        return out.getvalue().encode("cp1252" if self.doc.dxfversion < "AC1021" else "utf-8")


def _ends(line: Line) -> tuple[Point, Point]:
    return line.start, line.end


def _bulge(segment: Segment) -> float:
    return math.tan(segment.sweep / 4.0) if isinstance(segment, Arc) else 0.0


# ---- the ways -------------------------------------------------------------------------------------------


def _half_lines(profile: Profile, rng: random.Random) -> Built:
    view = draw.split(draw.shuffled(draw.half_lines(profile), rng), rng)
    return _finish(Pen().view(_with_axis(view, profile)))


def _half_no_axis(profile: Profile, rng: random.Random) -> Built:
    """A solid half profile whose own side on the axis is drawn; a hole needs the centre line."""
    if "inside" in profile.roles:
        return _half_lines(profile, rng)
    return _finish(Pen().view(draw.shuffled(View(draw.loose(profile.segments)), rng)))


def _half_polyline(profile: Profile, rng: random.Random) -> Built:
    return _finish(Pen("R2000").view(_with_axis(draw.half_polyline(profile), profile)))


def _full_view(profile: Profile, rng: random.Random) -> Built:
    return _finish(Pen().view(_with_axis(draw.shuffled(draw.full_view(profile), rng), profile)))


def _full_view_plain(profile: Profile, rng: random.Random) -> Built:
    return _finish(Pen("R2013").view(draw.shuffled(draw.full_view_plain(profile), rng)))


def _half_section(profile: Profile, rng: random.Random) -> Built:
    return _finish(Pen("R2018").view(_with_axis(draw.half_section(profile), profile)))


def _section(profile: Profile, rng: random.Random) -> Built:
    return _finish(Pen("R2007").view(_with_axis(draw.section(profile), profile)))


def _both_in_one(profile: Profile, rng: random.Random) -> Built:
    """Both halves in one polyline; a part with a hole is drawn as two closed polylines."""
    if "inside" not in profile.roles:
        return _finish(Pen().view(_with_axis(draw.both_in_one(profile), profile)))
    upper = Stroke(profile.segments, closed=True)
    return _finish(Pen().view(_with_axis(View((upper, *draw.other_half([upper]))), profile)))


def _upright(profile: Profile, rng: random.Random) -> Built:
    view = _with_axis(draw.half_lines(profile), profile)
    return _finish(Pen().view(Place(0.0, 1.0, mirrored=rng.random() < 0.5, x=60.0, y=15.0).view(view)))


def _off_origin(profile: Profile, rng: random.Random) -> Built:
    view = draw.shuffled(_with_axis(draw.half_lines(profile), profile), rng)
    return _finish(Pen().view(Place(x=185.25, y=-70.5, mirrored=True).view(view)))


def _slanted(profile: Profile, rng: random.Random) -> Built:
    view = _with_axis(draw.full_view(profile), profile)
    return _finish(Pen().view(Place(0.8, 0.6, x=100.0, y=20.0).view(view)))


def _front_left(profile: Profile, rng: random.Random) -> Built:
    view = draw.shuffled(_with_axis(draw.half_lines(profile), profile), rng)
    made = Pen("R12").view(Place(-1.0, 0.0, mirrored=True, x=10.0, y=5.0).view(view))
    return _finish(made, DrawingOptions(front="left"))


def _inch(profile: Profile, rng: random.Random) -> Built:
    view = _with_axis(draw.half_polyline(profile), profile)
    return _finish(Pen(unit=INCH).view(Place(scale=1.0 / 25.4, x=3.0, y=1.0).view(view)))


def _block(profile: Profile, rng: random.Random) -> Built:
    """The view lies in a block at half size and mirrored; the insert puts it right."""
    pen = Pen()
    sheet, pen.space = pen.space, pen.doc.blocks.new("PART_VIEW")
    pen.view(Place(-1.0, 0.0, mirrored=True, scale=0.5).view(_with_axis(draw.full_view(profile), profile)))
    pen.space = sheet
    pen.space.add_blockref("PART_VIEW", (40.0, 30.0), dxfattribs={"xscale": -2.0, "yscale": 2.0})
    return _finish(pen)


def _dirty_half(profile: Profile, rng: random.Random) -> Built:
    view = draw.dirty(draw.split(draw.shuffled(draw.half_lines(profile), rng), rng), rng)
    return replace(_finish(Pen().view(_with_axis(view, profile))), tolerance=0.012)


def _dirty_full(profile: Profile, rng: random.Random) -> Built:
    view = draw.dirty(draw.shuffled(draw.full_view(profile), rng), rng)
    return replace(_finish(Pen().view(_with_axis(view, profile))), tolerance=0.012)


def _splines(profile: Profile, rng: random.Random) -> Built:
    pen = Pen(splines=True).view(_with_axis(draw.half_lines(profile), profile))
    return replace(_finish(pen), tolerance=0.002)


def _extrusion(profile: Profile, rng: random.Random) -> Built:
    pen = Pen("R2004", mirrored_extrusion=True)
    return _finish(pen.view(_with_axis(draw.half_polyline(profile), profile)).view(View(())))


def _sheet(profile: Profile, rng: random.Random) -> Built:
    """A sheet with frame, title block, end view, texts and dimensions around a full view."""
    pen = Pen("R2013")
    pen.view(_with_axis(draw.full_view(profile), profile))
    length, radius = profile.length, profile.max_radius
    end_view(pen, profile, Point(radius + 40.0, 0.0))
    frame(pen, Point(-length - 60.0, -radius - 80.0), Point(2.0 * radius + 90.0, radius + 60.0))
    pen.length(Point(0.0, radius), Point(-length, radius), Point(0.0, radius + 15.0))
    top = max(profile.segments, key=lambda s: s.bounds.max_y).start
    pen.length(Point(top.x, -top.y), top, Point(-length - 20.0, 0.0), 90.0, "%%c<>")
    pen.text("ISO 2768-m", Point(-length, -radius - 20.0))
    return _finish(pen)


def end_view(pen: Pen, profile: Profile, centre: Point) -> None:
    """Circles of the steps, with a cross of centre lines."""
    radii = sorted({round(s.start.y, 6) for s in draw.drawn(profile) if s.start.y > 0.0})
    for radius in radii:
        pen.space.add_circle(centre, radius, dxfattribs={"layer": "PART"})
    reach = radii[-1] + 4.0
    for arm in (Vector(reach, 0.0), Vector(0.0, reach)):
        pen.stroke(Stroke((Line(centre + -arm, centre + arm),), "AXIS"))


def frame(pen: Pen, low: Point, high: Point) -> None:
    """Two borders and a title block with its rows and texts."""
    for inset in (0.0, 5.0):
        a, b = Point(low.x + inset, low.y + inset), Point(high.x - inset, high.y - inset)
        corners = (a, Point(b.x, a.y), b, Point(a.x, b.y))
        sides = tuple(Line(p, q) for p, q in zip(corners, corners[1:] + corners[:1]))
        pen.stroke(Stroke(sides, "SHEET", closed=True))
    left, bottom, right = high.x - 95.0, low.y + 5.0, high.x - 5.0
    for row in range(1, 5):
        y = bottom + 8.0 * row
        pen.stroke(Stroke((Line(Point(left, y), Point(right, y)),), "SHEET"))
        pen.text(("TARNBECK PUMP", "C45", "SCALE 1:1", "A3")[row - 1], Point(left + 2.0, y - 5.5))
    pen.stroke(Stroke((Line(Point(left, bottom), Point(left, bottom + 32.0)),), "SHEET"))


def _with_axis(view: View, profile: Profile) -> View:
    return replace(view, strokes=(*view.strokes, draw.centre_line(profile)))


def _finish(pen: Pen, options: DrawingOptions | None = None) -> Built:
    return Built("part.dxf", pen.data(), options or DrawingOptions())


WAYS: dict[str, Callable[[Profile, random.Random], Built]] = {
    "half lines": _half_lines,
    "half without centre line": _half_no_axis,
    "half polyline": _half_polyline,
    "full view": _full_view,
    "full view without centre line": _full_view_plain,
    "half-section": _half_section,
    "section": _section,
    "both halves in one polyline": _both_in_one,
    "upright": _upright,
    "off the origin": _off_origin,
    "slanted": _slanted,
    "front left, R12": _front_left,
    "inch": _inch,
    "scaled mirrored block": _block,
    "dirty half": _dirty_half,
    "dirty full view": _dirty_full,
    "arcs as splines": _splines,
    "mirrored extrusion": _extrusion,
    "sheet": _sheet,
}


def build(profile: Profile, way: str, seed: int = 0) -> Built:
    """The profile drawn in one of WAYS; the seed shuffles, splits and dirties."""
    built = WAYS[way](profile, random.Random(seed))
    return replace(built, name=f"{way.replace(' ', '_')}.dxf")


__all__ = [
    "EXACT",
    "INCH",
    "LAYERS",
    "MM",
    "WAYS",
    "Built",
    "Pen",
    "assert_same_profile",
    "build",
    "drawing_of",
]
