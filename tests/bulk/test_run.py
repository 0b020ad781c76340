"""Whole bulk runs: isolation, resume, several parts on a sheet, exit codes."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from dxf2turn import cli
from dxf2turn.bulk import pool
from dxf2turn.bulk.model import BulkOptions
from dxf2turn.bulk.run import options_key, run_bulk
from dxf2turn.options import PlanOptions
from dxf2turn.units import Unit
from tests.bulk.workers import behave
from tests.pin import PIN, dxf

ROOT = Path(__file__).parent.parent.parent
OPEN = dxf(points=PIN[:3])


def silent(text: str) -> None:
    """Say nothing."""


@pytest.fixture
def drawings(tmp_path: Path) -> Path:
    folder = tmp_path / "in"
    folder.mkdir()
    return folder


@pytest.fixture
def out(tmp_path: Path) -> Path:
    return tmp_path / "out"


@pytest.fixture
def behaving(monkeypatch: pytest.MonkeyPatch) -> None:
    """Workers do as the drawing's name says instead of planning."""
    monkeypatch.setattr(pool, "convert", behave)


def statuses(out: Path) -> dict[str, str]:
    lines = [json.loads(text) for text in (out / "results.jsonl").read_text(encoding="utf-8").splitlines()]
    return {part["name"]: part["status"] for line in lines for part in line["parts"]}


@pytest.mark.usefixtures("behaving")
def test_one_bad_drawing_costs_one_line(drawings: Path, out: Path) -> None:
    """One hangs, one kills its process, one eats memory, one raises: exactly these four fail."""
    names = [f"good{n}" for n in range(8)] + ["hang", "die", "greedy", "odd"]
    for name in names:
        (drawings / f"{name}.dxf").write_text(name)
    options = BulkOptions(out, workers=2, timeout_s=3.0, memory_mb=1024)

    result = run_bulk([str(drawings)], options, silent, silent)

    found = statuses(out)
    assert (result.total, result.failed) == (12, 4)
    assert found["hang"] == "timeout" and found["die"] == "crashed"
    assert found["greedy"] == "memory" and found["odd"] == "defect"
    assert all(found[f"good{n}"] == "planned" and (out / f"good{n}.txt").exists() for n in range(8))


@pytest.mark.usefixtures("behaving")
def test_resume_does_only_what_is_new_changed_failed_or_lost(drawings: Path, out: Path) -> None:
    """Of five drawings: one changed, one with a file missing, one new; two are left alone."""
    for name in ("kept1", "kept2", "changed", "lost"):
        (drawings / f"{name}.dxf").write_text(name)
    options = BulkOptions(out, workers=1)
    run_bulk([str(drawings)], options, silent, silent)
    (drawings / "changed.dxf").write_text("other")
    (drawings / "new.dxf").write_text("new")
    (out / "lost.txt").unlink()
    done: list[str] = []

    result = run_bulk([str(drawings)], options, silent, lambda text: done.append(json.loads(text)["name"]))

    assert sorted(done) == ["changed", "lost", "new"] and result.skipped == 2
    assert (out / "changed.txt").read_text() == "other"
    assert result.total == 5 and result.failed == 0


@pytest.mark.usefixtures("behaving")
def test_force_does_all_again(drawings: Path, out: Path) -> None:
    """Nothing is skipped without resume."""
    (drawings / "a.dxf").write_text("a")
    run_bulk([str(drawings)], BulkOptions(out, workers=1), silent, silent)
    result = run_bulk([str(drawings)], BulkOptions(out, workers=1, resume=False), silent, silent)
    assert result.skipped == 0


def test_key_of_the_options_changes_with_what_decides_a_result(out: Path) -> None:
    """Another material or unit of texts is another result; workers and time limit are not."""
    usual = BulkOptions(out)
    assert options_key(usual) == options_key(replace(usual, workers=7, timeout_s=1.0))
    for plan in (PlanOptions(material="C45E"), PlanOptions(units_out=Unit.INCH)):
        assert options_key(usual) != options_key(replace(usual, plan=plan))


def test_real_drawings_from_the_command_line(
    drawings: Path, out: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A good one, an open one, one that is no drawing: exit 1, all outputs of the good one, three lines."""
    (drawings / "pin.dxf").write_bytes(dxf())
    (drawings / "open.DXF").write_bytes(OPEN)
    (drawings / "text.dxf").write_bytes(b"no drawing")

    code = cli.run(["bulk", str(drawings), "-o", str(out), "--workers", "1", "--json"])
    lines = [json.loads(text) for text in capsys.readouterr().out.splitlines()]

    assert code == 1
    assert statuses(out) == {"pin": "planned", "open": "stopped", "text": "unreadable"}
    assert len(lines) == 3
    assert (out / "pin.plan.json").exists() and (out / "summary.csv").exists()
    assert not list(out.glob("open.*")) and not list(out.glob(".*"))


def test_sources_that_are_not_there_are_exit_2(out: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Before a folder is made."""
    assert cli.run(["bulk", "missing.dxf", "-o", str(out)]) == 2
    assert "missing.dxf" in capsys.readouterr().err and not out.exists()


def test_wrong_shop_files_end_the_run_once(drawings: Path, out: Path, tmp_path: Path) -> None:
    """Exit 4, not a failed line for each drawing."""
    (drawings / "pin.dxf").write_bytes(dxf())
    assert cli.run(["bulk", str(drawings), "-o", str(out), "--shop", str(tmp_path / "none"), "-q"]) == 4


def test_an_unknown_material_ends_the_run_once(
    drawings: Path, out: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit 2 with its name, not a failed line for each drawing."""
    (drawings / "pin.dxf").write_bytes(dxf())
    assert cli.run(["bulk", str(drawings), "-o", str(out), "--material", "unobtainium"]) == 2
    assert "unobtainium" in capsys.readouterr().err and not out.exists()


def test_every_part_of_a_sheet_is_planned(drawings: Path, out: Path) -> None:
    """Two pins on one sheet: NAME-1 and NAME-2, one line."""
    other = tuple((float(z) + 200, float(r) * 2) for z, r in PIN)
    (drawings / "sheet.dxf").write_bytes(dxf(more=other))
    result = run_bulk([str(drawings)], BulkOptions(out, workers=1), silent, silent)

    assert statuses(out) == {"sheet-1": "planned", "sheet-2": "planned"}
    assert (result.total, result.failed) == (1, 0)
    sizes = [json.loads((out / f"sheet-{n}.plan.json").read_text("utf-8"))["part"] for n in (1, 2)]
    assert sorted(part["max_diameter_mm"] for part in sizes) == [20.0, 40.0]


@pytest.mark.skipif(not hasattr(signal, "SIGINT") or os.name != "posix", reason="needs POSIX signals")
def test_an_interrupt_leaves_valid_results_and_exit_130(drawings: Path, out: Path) -> None:
    """Ctrl-C in the middle: 130, whole lines only, and the next run goes on from there."""
    for name in ("a1", "a2", "hang1", "hang2"):
        (drawings / f"{name}.dxf").write_text(name)
    code = (
        "import sys; from dxf2turn.bulk import pool; from tests.bulk.workers import behave; "
        f"pool.convert = behave; from dxf2turn.cli import main; "
        f"main(['bulk', {str(drawings)!r}, '-o', {str(out)!r}, '--workers', '1', '--json'])"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", f"if __name__ == '__main__':\n    {code}"],
        cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True,
    )  # fmt: skip
    assert process.stdout is not None
    seen = [json.loads(process.stdout.readline())["name"] for _ in range(2)]
    os.killpg(process.pid, signal.SIGINT)
    process.communicate(timeout=30)

    assert process.returncode == 130
    assert set(seen) == {"a1", "a2"} == set(statuses(out))
    assert (out / "summary.csv").exists()


def test_no_process_is_left_behind(drawings: Path, out: Path) -> None:
    """After a run its workers are gone."""
    import multiprocessing

    (drawings / "pin.dxf").write_bytes(b"no drawing")
    run_bulk([str(drawings)], BulkOptions(out, workers=2), silent, silent)
    time.sleep(0)
    assert not multiprocessing.active_children()


@pytest.mark.usefixtures("behaving")
@pytest.mark.skipif(sys.platform != "linux", reason="only there a name may be any bytes")
def test_file_name_that_is_no_text_costs_nothing(drawings: Path, out: Path) -> None:
    """A name with bytes that are no UTF-8, or with control characters, is planned, and known on resume."""
    for raw in (b"\xff\xfe.dxf", b"a\nb.dxf", b"plain.dxf"):
        (drawings / os.fsdecode(raw)).write_text("drawing")
    lines: list[str] = []
    options = BulkOptions(out, workers=1)

    first = run_bulk([str(drawings)], options, silent, lines.append)
    again = run_bulk([str(drawings)], options, silent, lines.append)

    assert (first.failed, again.skipped) == (0, 3)
    assert sorted(statuses(out)) == ["__", "a_b", "plain"]
    assert all(line.encode("utf-8") for line in lines)


@pytest.mark.usefixtures("behaving")
def test_the_last_line_says_where_the_table_is(drawings: Path, out: Path) -> None:
    """A person who ran it overnight finds the list of what to look at."""
    (drawings / "good.dxf").write_text("drawing")
    said: list[str] = []

    run_bulk([str(drawings)], BulkOptions(out, workers=1), said.append, silent)

    assert said[-1].endswith("summary.csv") and (out / "summary.csv").exists()
