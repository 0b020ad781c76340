"""The results file: whole lines, torn ends, one writer."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from dxf2turn.bulk import summary
from dxf2turn.bulk.model import PLANNED, STOPPED, TIMEOUT, Outcome, Record, Source
from dxf2turn.bulk.results import Results
from dxf2turn.errors import BadOptions


def line(name: str, status: str = PLANNED, **values: object) -> dict:
    outcome = Outcome(name, status, **values)  # type: ignore[arg-type]
    return Record(Source(Path(f"{name}.dxf"), name, "key"), (outcome,)).line()


def test_lines_come_back(tmp_path: Path) -> None:
    """What was appended is there when the file is opened again."""
    with Results(tmp_path) as results:
        results.append(line("a"))
    with Results(tmp_path) as results:
        results.append(line("b"))
        assert [item["name"] for item in results.lines()] == ["a", "b"]


@pytest.mark.parametrize("torn", [b'{"drawing": "c.d', b"\x00\x00\x00", b"{}"])
def test_a_torn_last_line_is_dropped(torn: bytes, tmp_path: Path) -> None:
    """After a power cut the file is valid again and the next line stands alone."""
    with Results(tmp_path) as results:
        results.append(line("a"))
    with open(tmp_path / "results.jsonl", "ab") as file:
        file.write(torn)
    with Results(tmp_path) as results:
        results.append(line("b"))

    lines = (tmp_path / "results.jsonl").read_text(encoding="utf-8").splitlines()
    assert [json.loads(text)["name"] for text in lines] == ["a", "b"]


def test_damaged_lines_inside_are_passed_over(tmp_path: Path) -> None:
    """A line that is no JSON does not take the others with it."""
    (tmp_path / "results.jsonl").write_bytes(b"nonsense\n" + json.dumps(line("a")).encode() + b"\n[1]\n")
    with Results(tmp_path) as results:
        assert [item["name"] for item in results.lines()] == ["a"]


def test_a_second_run_in_the_same_folder_is_refused(tmp_path: Path) -> None:
    """Two writers would tear each other's lines."""
    pytest.importorskip("fcntl")
    with Results(tmp_path), pytest.raises(BadOptions, match="another"), Results(tmp_path):
        pass


def test_summary_is_worst_first() -> None:
    """Failures on top, then stops by the number of findings, good ones last."""
    lines = [
        line("good"),
        line("bad", STOPPED, stop=1),
        line("worse", STOPPED, stop=3),
        line("worst", TIMEOUT, text="=slow"),
    ]
    rows = list(csv.DictReader(io.StringIO(summary.render(lines))))

    assert [row["name"] for row in rows] == ["worst", "worse", "bad", "good"]
    assert rows[0]["text"] == "'=slow"
