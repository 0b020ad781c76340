"""The pictures: well-formed, self-contained, exact arcs, the same bytes each time."""

from __future__ import annotations

import math
import re
import struct
import xml.etree.ElementTree as ElementTree
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.contour.model import Candidate
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Bounds
from dxf2turn.job import Job
from dxf2turn.output import png, preview, svg
from dxf2turn.output.display import View, spread
from dxf2turn.output.figure_part import needs_section, root_lines, silhouette
from dxf2turn.output.legend import wrapped
from dxf2turn.output.model import OutputOptions
from tests.output import jobs

HOSTILE = '</title><script>alert(1)</script>\x00&".dxf'
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def text() -> str:
    return svg.render(preview.display(jobs.job(), OutputOptions()))


def test_svg_is_well_formed_and_holds_nothing_foreign(text: str) -> None:
    """An XML parser reads it; no script, no reference to anything outside."""
    root = ElementTree.fromstring(text)
    kinds = {element.tag.removeprefix(SVG) for element in root.iter()}

    assert root.tag == f"{SVG}svg"
    assert not kinds & {"script", "image", "use", "foreignObject", "a", "style"}
    assert "href" not in text


def test_hostile_name_is_text(text: str) -> None:
    """Markup and forbidden characters of a file name can't leave their element."""
    job = jobs.job(source=jobs.drawing(HOSTILE))
    root = ElementTree.fromstring(svg.render(preview.display(job, OutputOptions())))
    assert not list(root.iter(f"{SVG}script"))


def test_arcs_are_arc_commands(text: str) -> None:
    """The fillet R2 is an A command in the part's outline, not a row of chords."""
    assert re.search(r"A[\d.]+ [\d.]+ 0 0 [01] ", text)


def test_arc_turns_the_same_way_on_the_page() -> None:
    """Looking at the page, a clockwise arc of the (z, r) plane is clockwise above the axis (SVG sweep flag 1:
    positive angle direction, SVG 1.1 section 8.3.8) and mirrored below it."""
    arc = Arc(Point(0, 1), Point(1, 0), Point(0, 0), True)
    view = View(10.0, Point(100.0, 100.0))
    flags = [
        re.search(r" 0 0 ([01]) ", svg._command(half.segment(arc))).group(1) for half in (view, view.below())
    ]
    assert flags == ["1", "0"]


def test_png_is_as_wide_as_the_page_and_the_same_each_time(text: str) -> None:
    """Width and height stand in the IHDR chunk (PNG specification, 11.2.2)."""
    data = png.render(text)
    width, height = struct.unpack(">II", data[16:24])

    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert width == 1600 and 600 < height < 2500
    assert data == png.render(text)


def test_picture_uses_the_shipped_font_only(text: str) -> None:
    """Text makes marks: with the words taken out, the picture is another one."""
    bare = re.sub(r"<text[^>]*>[^<]*</text>", "", text)
    assert png.render(bare) != png.render(text)


def test_every_feature_has_a_balloon(text: str) -> None:
    """Each id stands on the page as a text of its own."""
    words = {element.text for element in ElementTree.fromstring(text).iter(f"{SVG}text")}
    assert {feature.id for feature in jobs.FEATURES} <= words


def test_every_step_with_moves_has_its_path(text: str) -> None:
    """One group a step, with its number where cutting starts."""
    root = ElementTree.fromstring(text)
    titles = [element.text for element in root.iter(f"{SVG}title")]
    assert [t for t in titles if t and t.startswith("step ")] == [
        f"step {step.no}: {step.operation}" for step in jobs.STEPS if step.moves
    ]


def test_thread_root_is_drawn_at_the_minor_diameter() -> None:
    """ISO 6410-1: a narrow line at the root, as long as the thread: M20x1.5, d3 18.16."""
    thread = next(feature for feature in jobs.FEATURES if feature.kind == "thread")
    (line,) = root_lines(jobs.PROFILE, thread)

    assert math.isclose(line.start.y, 18.16 / 2) and math.isclose(line.end.y, 18.16 / 2)
    assert (line.start.x, line.end.x) == (-1.5, -18.0)


def test_a_solid_shaft_is_shown_uncut() -> None:
    """Nothing inside: a view from outside says everything."""
    assert not needs_section(jobs.PROFILE)


def test_silhouette_is_closed() -> None:
    """What is seen from outside is one closed outline."""
    outline = silhouette(jobs.PROFILE)
    assert outline[0].start == outline[-1].end
    assert all(a.end == b.start for a, b in zip(outline, outline[1:]))


def test_sheet_picture_numbers_the_candidates() -> None:
    """With several parts on the sheet each one is framed, with its number for --part and its size."""
    job = jobs.job()
    assert job.contour is not None
    found = (
        Candidate(1, Bounds(0, 0, 50, 30), 50.0, 30.0),
        Candidate(2, Bounds(80, 0, 120, 60), 40.0, 60.0, "end view beside it"),
    )
    from dxf2turn.geometry.segment import Line
    from dxf2turn.reading.model import Curve, Origin

    curve = Curve((Line(Point(0, 0), Point(120, 60)),), Origin("1", "LINE", "0"))
    several = Job(
        drawing=replace(job.drawing, curves=(curve,)),
        clean=job.clean,
        contour=replace(job.contour, profile=None, candidates=found),
    )
    words = svg.render(preview.features_display(several, OutputOptions()))

    assert ">1</text>" in words and "\u230030 x 50 mm" in words
    assert ">2</text>" in words and "\u230060 x 40 mm" in words


@given(
    st.lists(st.floats(-500, 2000), max_size=30).map(sorted),
    st.floats(1, 60),
)
@settings(max_examples=100, deadline=None, derandomize=True)
def test_spread_keeps_order_gap_and_limits(wanted: list[float], gap: float) -> None:
    """Labels stay in order, inside the limits, and apart by the gap where there is room for it."""
    places = spread(wanted, gap, 0.0, 1500.0)
    room = (len(wanted) - 1) * gap < 1500.0

    assert len(places) == len(wanted)
    assert all(-1e-6 <= place <= 1500.0 + 1e-6 for place in places)
    for a, b in zip(places, places[1:]):
        assert b - a >= (gap if room else 0.0) - 1e-6


def test_spread_leaves_alone_what_has_room() -> None:
    """Labels that don't meet stand where they were wanted."""
    assert spread([10.0, 100.0, 300.0], 34.0, 0.0, 1500.0) == [10.0, 100.0, 300.0]


def test_long_words_are_wrapped_and_cut() -> None:
    """No line is wider than its column."""
    lines = wrapped("word " * 40 + "x" * 300, 200.0)
    assert len(lines) <= 4
