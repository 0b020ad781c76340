"""The outsider's replay: what it may import, what it says of a document's form, how it is called."""

from __future__ import annotations

import ast
import copy
import json
from pathlib import Path

import pytest

from tests import replay as outsider
from tests.removal.document import document
from tests.removal.plans import bored, stepped, threaded
from tests.replay import replay

FILES = sorted(Path(outsider.__file__).parent.glob("replay*.py"))
ALLOWED = {
    "__future__",
    "collections",
    "json",
    "math",
    "numpy",
    "pathlib",
    "shapely",
    "sys",
    "tests",
    "typing",
}


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name)
def test_it_imports_nothing_of_the_package(file: Path) -> None:
    """Only the standard library, numpy and shapely, and its own files."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        for name in names:
            assert name.split(".")[0] in ALLOWED
            assert not name.startswith("tests.") or name.startswith("tests.replay")


def test_a_contour_that_is_open() -> None:
    """A gap in the target contour is a fault of the form."""
    doc = document(*stepped())
    doc["part"]["target_contour"][2]["to"] = [-25.0, 10.5]
    assert "form" in {t["kind"] for t in replay(doc)["troubles"]}


def test_a_contour_that_runs_clockwise() -> None:
    """The contract says counter-clockwise."""
    doc = document(*stepped())
    pieces = doc["part"]["contour"]
    turned = [{**p, "from": p["to"], "to": p["from"]} for p in reversed(pieces)]
    doc["part"]["contour"] = turned
    assert any("counter-clockwise" in t["text"] for t in replay(doc)["troubles"])


def test_an_unknown_format() -> None:
    """Another format is refused by name."""
    assert not replay({**document(*stepped()), "format": "dxf2turn-plan/9"})["ok"]


def test_a_target_contour_that_is_missing_is_the_contour() -> None:
    """Without a target the drawn contour counts."""
    doc = document(*stepped())
    doc["part"]["target_contour"] = []
    assert replay(doc)["ok"]


def test_holder_and_jaws_as_one_polygon() -> None:
    """The contract's single polygon reads like a list with one, and null like none."""
    doc = document(*stepped())
    one = copy.deepcopy(doc)
    one["setups"][0]["jaws"] = doc["setups"][0]["jaws"][0]
    one["tools"]["T1"]["holder"] = doc["tools"]["T1"]["holder"][0]
    one["tools"]["T3"]["holder"] = None
    assert replay(one)["ok"]


def test_left_over_is_explained_by_a_finding_at_its_place_only() -> None:
    """A planner's finding explains left-over within 1 mm of its place, as thick as it says; no other does."""
    doc = document(*bored())
    doc["setups"][0]["steps"] = [s for s in doc["setups"][0]["steps"] if s["operation"] != "bore"]
    said = {"code": "planning/unreached", "severity": "fix", "z_mm": -10.0, "r_mm": 8.0, "measured": 4.0}
    assert replay({**doc, "findings": [said]})["max_left_unexplained_mm"] == 0.0
    wrong: list[dict] = [{"z_mm": -25.0}, {"r_mm": 14.0}, {"code": "reading/no-unit"}, {"measured": 1.0}]
    for other in ({**said, **one} for one in wrong):
        assert replay({**doc, "findings": [other]})["max_left_unexplained_mm"] > 3.0


def test_a_root_in_the_document_wins_over_the_minor_diameter() -> None:
    """`cut_to_diameter_mm`, where the document has it, says how deep the thread goes."""
    doc = document(*threaded())
    doc["features"][0]["minor_diameter_mm"] += 0.4
    assert replay(doc)["ok"]
    del doc["features"][0]["cut_to_diameter_mm"]
    assert not replay(doc)["ok"]


def test_the_command_prints_the_verdict(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 0 for a good document, 1 as soon as one is not."""
    good, bad = tmp_path / "good.plan.json", tmp_path / "bad.plan.json"
    doc = document(*stepped())
    good.write_text(json.dumps(doc), encoding="utf-8")
    doc["setups"][0]["steps"].pop()
    bad.write_text(json.dumps(doc), encoding="utf-8")
    assert outsider.main([str(good)]) == 0
    assert outsider.main([str(good), str(bad)]) == 1
    assert "max_left_mm: 60.0" in capsys.readouterr().out
