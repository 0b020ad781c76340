"""The plan document keeps the promises of docs/outputs.md: keys, order, units, geometry."""

from __future__ import annotations

import json
import math

import pytest
from shapely import Polygon

from dxf2turn.errors import BrokenInvariant
from dxf2turn.features.recognise import recognise
from dxf2turn.geometry.point import Point
from dxf2turn.job import Job
from dxf2turn.options import DrawingOptions
from dxf2turn.output import json_doc
from dxf2turn.output.model import OutputOptions
from dxf2turn.output.polygons import one_holder, one_keep_out
from dxf2turn.units import Unit
from tests.features.shapes import C, contour
from tests.output import jobs

MM, INCH = OutputOptions(), OutputOptions(Unit.INCH)

# The keys of the document in the order that the interface contract lists them.
TOP = ["format", "drawing", "part", "features", "findings", "tools", "setups", "verification", "times"]
DRAWING = ["file", "sha256", "dxf_version", "unit", "unit_source", "view", "scale", "repairs"]
REPAIR = ["code", "text", "moved_mm", "handles", "at"]
PART = ["length_mm", "max_diameter_mm", "volume_mm3", "mass_kg", "material", "contour", "target_contour"]
FEATURE = ["id", "kind", "side", "z_mm", "r_mm", "segments", "note"]
FINDING = ["code", "severity", "text", "hint", "z_mm", "r_mm", "drawing_xy", "handles", "measured", "limit"]
FINDING += ["unit", "source"]
TOOL = ["kind", "insert", "holder_style", "nose_radius_mm", "width_mm", "outline", "holder", "note"]
SETUP = ["no", "flipped", "stock_outline", "jaws", "grip", "grip_length_mm", "support", "support_outline"]
SETUP += ["prepare", "tool_change", "steps"]
STEP = ["no", "operation", "tool", "side", "spindle", "feed_mm_per_rev", "depth_mm", "passes", "features"]
STEP += ["why", "cut_time_s", "rapid_time_s", "moves"]
VERIFICATION = ["gouge_mm3", "max_gouge_mm", "left_mm3", "max_left_mm", "rapid_contacts", "holder_contacts"]
VERIFICATION += ["jaw_contacts", "ok"]
TIMES = ["cut_s", "rapid_s", "tool_change_s", "total_s", "bound_s"]
OWN_KEYS = {
    "chamfer": ["axial_mm", "radial_mm", "angle_deg"],
    "cylinder": ["diameter_mm"],
    "face": [],
    "fillet": ["radius_mm"],
    "groove": [
        "width_mm",
        "depth_mm",
        "floor_diameter_mm",
        "form",
        "corner_radius_mm",
        "purpose",
        "standard",
    ],
    "thread": ["designation", "major_diameter_mm", "minor_diameter_mm", "pitch_diameter_mm", "pitch_mm"]
    + ["starts", "hand", "form_angle_deg", "class", "taper", "source", "standard"]
    + ["cut_from_diameter_mm", "cut_to_diameter_mm", "run_in_mm", "run_out_mm"]
    + ["full_thread_mm", "limits_mm", "limits_source", "relief", "start_chamfer", "entry"],
}


@pytest.fixture(scope="module")
def doc() -> dict:
    return json.loads(json_doc.render(jobs.job(), MM))


def test_keys_and_their_order(doc: dict) -> None:
    """Every object has exactly the keys of the contract, in its order."""
    assert list(doc) == TOP
    assert list(doc["drawing"]) == DRAWING
    assert list(doc["drawing"]["repairs"][0]) == REPAIR
    assert list(doc["part"]) == PART
    assert all(list(item) == FINDING for item in doc["findings"])
    assert all(list(tool) == TOOL for tool in doc["tools"].values())
    assert all(list(setup) == SETUP for setup in doc["setups"])
    assert all(list(step) == STEP for step in doc["setups"][0]["steps"])
    assert list(doc["verification"]) == VERIFICATION
    assert list(doc["times"]) == TIMES


def test_keys_of_each_feature_kind(doc: dict) -> None:
    """A feature has the common keys, then those of its kind."""
    for feature in doc["features"]:
        assert list(feature) == FEATURE + OWN_KEYS[feature["kind"]]


def test_moves_are_diameters_and_arcs_have_radii(doc: dict) -> None:
    """x is twice r, the centre of an arc is [z, r], and both ends of an arc are equally far from it."""
    moves = doc["setups"][0]["steps"][1]["moves"]
    arc = next(move for move in moves if move["type"] == "arc")
    before = moves[moves.index(arc) - 1]

    assert arc["x"] == 22.4 and arc["centre"] == [-33.8, 11.2] and arc["clockwise"] is True
    ends = [(before["z"], before["x"] / 2), (arc["z"], arc["x"] / 2)]
    assert math.isclose(*(math.dist(end, arc["centre"]) for end in ends), abs_tol=1e-6)


def test_move_types_carry_their_rates(doc: dict) -> None:
    """Feed and arc moves have a feed, thread moves a lead, rapids neither."""
    keys = {"rapid": set(), "feed": {"feed"}, "arc": {"centre", "clockwise", "feed"}, "thread": {"lead"}}
    for step in doc["setups"][0]["steps"]:
        for move in step["moves"]:
            assert set(move) == {"type", "z", "x"} | keys[move["type"]]


def test_contour_closes_and_runs_counter_clockwise(doc: dict) -> None:
    """Each piece starts where the last ended; shapely's signed area says the turning sense."""
    pieces = doc["part"]["contour"]
    for piece, after in zip(pieces, pieces[1:] + pieces[:1]):
        assert piece["to"] == after["from"]
    assert Polygon([piece["from"] for piece in pieces]).exterior.is_ccw


def test_document_is_in_mm_whatever_the_text_unit() -> None:
    """The unit of the texts does not change one byte."""
    assert json_doc.render(jobs.job(), MM) == json_doc.render(jobs.job(), INCH)


def test_an_unplanned_job_has_the_same_keys_and_is_not_ok() -> None:
    """What was not reached is null or empty, and the verdict is no."""
    doc = json_doc.document(Job(jobs.drawing()))

    assert list(doc) == TOP
    assert doc["part"] is None and doc["setups"] == [] and doc["times"] is None
    assert doc["verification"]["ok"] is False


def test_two_tools_of_one_name_are_a_defect() -> None:
    """A tool id stands for one shape only."""
    from dataclasses import replace

    job = jobs.job()
    assert job.plan is not None
    setup = job.plan.setups[0]
    other = replace(setup.steps[1], tool=replace(jobs.TURNING, nose_radius=0.4))
    plan = replace(job.plan, setups=(replace(setup, steps=(setup.steps[0], other)),))

    with pytest.raises(BrokenInvariant, match="T1"):
        json_doc.document(replace(job, plan=plan))


def test_touching_pieces_become_one_polygon() -> None:
    """Two boxes that share an edge are one box."""
    left = (Point(0, 0), Point(1, 0), Point(1, 1), Point(0, 1))
    right = tuple(Point(p.x + 1, p.y) for p in left)

    shape = Polygon(one_keep_out((left, right)))

    assert shape.equals(Polygon([(0, 0), (2, 0), (2, 1), (0, 1)]))


def test_pieces_apart_become_one_valid_polygon_that_keeps_off_the_work() -> None:
    """Jaws on the left and a centre on the right are joined where no work is: above r = 0 nothing is added
    between them."""
    jaws = (Point(-60, 17.5), Point(-60, 47.5), Point(-85, 47.5), Point(-85, 17.5))
    centre = (Point(1, 0), Point(40, 0), Point(40, 5), Point(10, 5))

    shape = Polygon(one_keep_out((jaws, centre)))

    assert shape.is_valid and shape.exterior.is_ccw
    assert shape.contains(Polygon(jaws)) and shape.contains(Polygon(centre).buffer(-1e-9))
    work = Polygon([(-85, 0), (1, 0), (1, 60), (-59, 60), (-59, 17), (-85, 17)])
    assert shape.intersection(work).area < 1e-9


def test_holder_pieces_that_differ_by_rounding_become_one_polygon() -> None:
    """Two pieces whose common edge differs in the last digits are one piece, and nothing is added."""
    left = (Point(0, 0), Point(1, 0), Point(1, 1), Point(0, 1))
    right = (Point(1.00000000004, 0), Point(2, 0), Point(2, 1), Point(1.00000000004, 1))

    shape = Polygon(one_holder((left, right)))

    assert shape.is_valid and abs(shape.area - 2.0) < 1e-6
    assert shape.bounds == (0.0, 0.0, 2.0, 1.0)


def test_holder_pieces_apart_are_joined_by_the_shortest_way() -> None:
    """What is added lies between them."""
    left = (Point(0, 0), Point(1, 0), Point(1, 1), Point(0, 1))
    right = tuple(Point(p.x + 1.5, p.y) for p in left)

    shape = Polygon(one_holder((left, right)))

    assert shape.is_valid and all(abs(a - b) < 0.006 for a, b in zip(shape.bounds, (0.0, 0.0, 2.5, 1.0)))
    assert abs(shape.area - 2.0) < 0.5 * 0.01 + 1e-4


def test_no_minus_zero_and_no_nan(doc: dict) -> None:
    """Numbers are finite and zero has no sign."""
    text = json_doc.render(jobs.job(), MM)

    assert "-0.0," not in text and "-0.0]" not in text and "-0.0}" not in text
    assert "NaN" not in text and "Infinity" not in text


def test_segments_of_a_partial_thread_count_in_the_contour_written() -> None:
    """A thread over part of a cylinder cuts it: contour, target contour and segment numbers agree."""
    drawn = contour([C(0, 0), C(0, 12), C(-60, 12), C(-60, 0)])
    part = recognise(drawn, DrawingOptions(threads=("M12@0..-20",)))
    doc = json_doc.document(Job(jobs.drawing(), contour=drawn, part=part))
    sides = doc["part"]["contour"], doc["part"]["target_contour"]
    highest = max(index for feature in doc["features"] for index in feature["segments"])

    assert [len(side) for side in sides] == [len(part.profile.segments)] * 2
    assert highest < len(sides[0])
