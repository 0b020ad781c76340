"""Plans for both lathes in all sorts of materials, judged by an outsider: torque, speeds, rates."""

from __future__ import annotations

import random
from copy import deepcopy
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from dxf2turn import pipeline
from dxf2turn.approve import with_plan
from dxf2turn.contour.model import Profile
from dxf2turn.findings import stops
from dxf2turn.job import Job
from dxf2turn.options import PlanOptions
from dxf2turn.output.json_doc import document
from dxf2turn.shop.load import load_shop
from tests.loads import lathe, loads, overloads
from tests.planning.hand_parts import BUSH, STEPPED, contour_of, part_of, solid
from tests.random_parts import random_profile
from tests.replay import replay

SHOP = load_shop(None)
DRAWING = Path(__file__).parents[2] / "drawings" / "good" / "drain_plug.dxf"
DISC = solid([(0, 33), (-1, 34), (-6, 34), (-6, 20), (-12, 20), (-12, 34), (-19, 34), (-20, 33)])
PARTS: dict[str, Profile] = {
    "stepped": STEPPED, "bush": BUSH, "disc": DISC, "random": random_profile(random.Random(5)),
}  # fmt: skip
CASES = [
    ("stepped", "Wrenfell 160", "X5CrNi18-10"), ("stepped", "Ostermoor 42", "TiAl6V4"),
    ("bush", "Wrenfell 160", "EN AW-6082"), ("bush", "Ostermoor 42", "EN-GJL-250"),
    ("disc", "Wrenfell 160", "C45E"), ("disc", "Wrenfell 160", "TiAl6V4"), ("random", "Wrenfell 160", "POM"),
]  # fmt: skip


@cache
def planned(name: str, machine: str, material: str) -> tuple[Job, dict[str, Any]]:
    """The job of a part with its document; the drawing of another one lends its name only."""
    profile = PARTS[name]
    blank = pipeline.recognise(pipeline.read(DRAWING))
    job = Job(drawing=blank.drawing, contour=contour_of(profile), part=part_of(profile))
    done = with_plan(job, SHOP, PlanOptions(machine=machine, material=material))
    return done, document(done)


@pytest.mark.parametrize(("name", "machine", "material"), CASES)
def test_no_step_asks_for_more_than_the_lathe_has(name: str, machine: str, material: str) -> None:
    """At every place: torque and power by Kienzle, rev/min, feed rate, thread rate."""
    job, doc = planned(name, machine, material)
    assert not job.stopped, [f.text for f in stops(job.findings)]
    assert overloads(doc, lathe(doc, machine)) == []


@pytest.mark.parametrize(("name", "machine", "material"), CASES)
def test_the_plan_passes_an_outside_replay(name: str, machine: str, material: str) -> None:
    """What was lowered for the lathe's sake changed nothing of the part."""
    assert replay(planned(name, machine, material)[1])["ok"]


def test_the_outsider_finds_what_is_too_much() -> None:
    """The same plan with twice the feed, or on a slow spindle, is named in the steps that are too much."""
    doc = deepcopy(planned("disc", "Wrenfell 160", "C45E")[1])
    of = lathe(doc, "Wrenfell 160")
    heavy = {load.step for load in loads(doc, of) if load.what == "torque" and load.share > 0.8}
    assert heavy
    for setup in doc["setups"]:
        for step in setup["steps"]:
            step["moves"] = [{**m, "feed": 2.0 * m["feed"]} if "feed" in m else m for m in step["moves"]]
    assert heavy <= {load.step for load in overloads(doc, of) if load.what == "torque"}
    of.machine["max_rpm"] = 1.0
    assert {load.what for load in overloads(doc, of)} >= {"torque", "rev/min"}
