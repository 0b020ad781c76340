"""The command line: exit codes, what goes where, nothing half-written."""

from __future__ import annotations

import json
import os
from dataclasses import replace
from pathlib import Path

import pytest

from dxf2turn import cli, cli_run
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.geometry.point import Point
from dxf2turn.job import Job
from tests.output import jobs
from tests.pin import PIN, dxf

ENDINGS = {
    "plan.json", "steps.md", "steps.csv", "preview.svg", "preview.png", "report.html", "program.nc",
    "marked.dxf",
}  # fmt: skip


@pytest.fixture
def pin(tmp_path: Path) -> Path:
    """A drawing that can be planned."""
    file = tmp_path / "pin.dxf"
    file.write_bytes(dxf())
    return file


@pytest.fixture
def planned(monkeypatch: pytest.MonkeyPatch) -> Job:
    """Every drawing becomes the hand-made job."""
    job = jobs.job(source=jobs.drawing("pin.dxf"))
    monkeypatch.setattr(cli_run.pipeline, "plan", lambda *_: job)
    monkeypatch.setattr(cli_run.pipeline, "recognise", lambda *_: job)
    return job


@pytest.fixture
def stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every drawing becomes a job that a finding stops."""
    where = Location(Point(3.0, 4.0), -3.0, 4.0, ("2F",), "OUTLINE")
    stop = Finding("checks/x", Severity.STOP, "the groove is too narrow", "make it wider", where, 0.4, 1.0)
    job = replace(jobs.job(source=jobs.drawing("pin.dxf")), checks=(stop,), plan=None, removal=None)
    monkeypatch.setattr(cli_run.pipeline, "plan", lambda *_: job)
    monkeypatch.setattr(cli_run.pipeline, "recognise", lambda *_: job)


def files(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()} if folder.exists() else set()


def test_a_plan_from_file_to_files(pin: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The whole main job on a real file: all outputs, exit code 0, the document says the plan is good."""
    code = cli.run(["plan", str(pin), "-o", str(tmp_path / "out")])
    out = capsys.readouterr()

    assert code == 0, out.err
    assert files(tmp_path / "out") == {f"pin.{ending}" for ending in ENDINGS}
    doc = json.loads((tmp_path / "out" / "pin.plan.json").read_text(encoding="utf-8"))
    assert doc["verification"]["ok"] is True
    assert (doc["part"]["length_mm"], doc["part"]["max_diameter_mm"]) == (30.0, 20.0)
    assert "Removal check: passed" in out.out


@pytest.mark.usefixtures("planned")
def test_equal_input_gives_equal_files(pin: Path, tmp_path: Path) -> None:
    """Two runs, the same bytes in every file."""
    for name in ("one", "two"):
        assert cli.run(["plan", str(pin), "-o", str(tmp_path / name), "-q"]) == 0
    for file in files(tmp_path / "one"):
        assert (tmp_path / "one" / file).read_bytes() == (tmp_path / "two" / file).read_bytes()


@pytest.mark.usefixtures("planned")
def test_json_alone_is_on_standard_output(pin: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`--json` gives one document and nothing else there, with and without findings."""
    for command, form in (("plan", "plan"), ("check", "check"), ("features", "features")):
        assert cli.run([command, str(pin), "--json"]) == 0
        assert json.loads(capsys.readouterr().out)["format"] == f"dxf2turn-{form}/1"


@pytest.mark.usefixtures("planned")
def test_without_folder_the_sheet_is_printed(pin: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The setup sheet on standard output, findings on standard error, worst first."""
    assert cli.run(["plan", str(pin)]) == 0
    out = capsys.readouterr()

    assert out.out.startswith("# Setup sheet")
    assert out.err.index("fix: ") < out.err.index("note: ")


@pytest.mark.usefixtures("planned")
def test_quiet_says_nothing(pin: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With -q and a folder a good run is silent."""
    assert cli.run(["plan", str(pin), "-o", str(tmp_path / "out"), "-q"]) == 0
    out = capsys.readouterr()
    assert (out.out, out.err) == ("", "")


@pytest.mark.usefixtures("stopped")
@pytest.mark.parametrize("quiet", [[], ["-q"]])
def test_a_stopping_finding_is_exit_1_with_place_and_advice(
    quiet: list[str], pin: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What, where (layer, handle, coordinates), what to do; no file is written."""
    code = cli.run(["plan", str(pin), "-o", str(tmp_path / "out"), *quiet])
    err = capsys.readouterr().err

    assert code == 1
    for words in ("too narrow", "X 8.000 Z -3.000", "drawing (3, 4)", "'OUTLINE'", "2F", "make it wider"):
        assert words in err
    assert files(tmp_path / "out") == set()


@pytest.mark.usefixtures("stopped")
def test_a_stopped_run_leaves_an_earlier_good_set_alone(pin: Path, tmp_path: Path) -> None:
    """Files of an earlier run stay as they are, to the byte."""
    out = tmp_path / "out"
    out.mkdir()
    (out / "pin.plan.json").write_text("earlier")

    assert cli.run(["plan", str(pin), "-o", str(out), "-q"]) == 1
    assert files(out) == {"pin.plan.json"} and (out / "pin.plan.json").read_text() == "earlier"


@pytest.mark.usefixtures("stopped")
def test_check_writes_the_marked_drawing_whatever_it_finds(pin: Path, tmp_path: Path) -> None:
    """Exit 1, and the drawing for the designer is there."""
    assert cli.run(["check", str(pin), "-o", str(tmp_path / "out"), "-q"]) == 1
    assert files(tmp_path / "out") == {"pin.marked.dxf"}


@pytest.mark.usefixtures("planned")
def test_features_writes_table_and_picture(pin: Path, tmp_path: Path) -> None:
    """-o gives the labelled picture."""
    assert cli.run(["features", str(pin), "-o", str(tmp_path / "out"), "-q"]) == 0
    assert files(tmp_path / "out") == {"pin.features.csv", "pin.features.svg", "pin.features.png"}


@pytest.mark.parametrize(
    "words",
    [
        ["nonsense"],
        ["plan"],
        ["plan", "x.dxf", "--nonsense"],
        ["plan", "x.dxf", "--units", "cubit"],
        ["plan", "x.dxf", "--gap", "nan"],
        ["plan", "x.dxf", "--gap", "0"],
        ["plan", "x.dxf", "--scale", "0"],
        ["plan", "x.dxf", "--scale", "inf"],
        ["plan", "x.dxf", "--axis", "1,2,3"],
        ["plan", "x.dxf", "--axis", "1,2,1,2"],
        ["plan", "x.dxf", "--stock", "40"],
        ["plan", "x.dxf", "--stock", "40x-3"],
        ["plan", "x.dxf", "--stock", "40x100x40"],
        ["plan", "x.dxf", "--part", "0"],
        ["bulk", "x.dxf"],
        ["shop", "--init", "a", "--shop", "b"],
    ],
)
def test_wrong_usage_is_exit_2(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Said on standard error, without a traceback."""
    assert cli.run(words) == 2
    out = capsys.readouterr()
    assert out.err and "Traceback" not in out.err and out.out == ""


def test_no_arguments_show_the_help_with_exit_2(capsys: pytest.CaptureFixture[str]) -> None:
    """Help for someone who just types the name."""
    assert cli.run([]) == 2
    assert "Examples:" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["material", "machine"])
def test_an_unknown_name_is_exit_2_with_the_known_ones(
    name: str, pin: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A material or machine that the shop does not have."""
    assert cli.run(["plan", str(pin), f"--{name}", "unobtainium", "--json"]) == 2
    assert "unobtainium" in capsys.readouterr().err


@pytest.mark.usefixtures("planned")
def test_a_bad_output_folder_is_exit_2_before_any_work(
    pin: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """-o under a file: nothing is planned first."""
    monkeypatch.setattr(cli_run.pipeline, "read", lambda *_: pytest.fail("it went on"))
    for command in ("plan", "check", "features"):
        assert cli.run([command, str(pin), "-o", str(pin / "out")]) == 2
    assert "not a folder" in capsys.readouterr().err


BAD_FILES: dict[str, bytes] = {
    "empty": b"",
    "text": b"Dear machinist, please make this part.\n",
    "zip": b"PK\x03\x04" + bytes(200),
    "nothing drawn": dxf(points=(), axis=False),
    "not finite": dxf(points=((0, 0), (0, "nan"), (-30, 10), (-30, 0))),
    "huge": dxf(points=((0, 0), (0, 1e300), (-30, 1e300), (-30, 0))),
}


@pytest.mark.parametrize("content", BAD_FILES.values(), ids=BAD_FILES.keys())
def test_what_is_no_drawing_of_a_turned_part_is_exit_3(
    content: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One to a few lines naming the file, no traceback, nothing written."""
    file = tmp_path / "bad.dxf"
    file.write_bytes(content)
    code = cli.run(["plan", str(file), "-o", str(tmp_path / "out")])
    err = capsys.readouterr().err

    assert code == 3, err
    assert "bad.dxf" in err and "Traceback" not in err and len(err.splitlines()) <= 6
    assert not (tmp_path / "out").exists()


def test_a_missing_file_and_a_folder_are_exit_3(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Both are named."""
    for place in (tmp_path / "missing.dxf", tmp_path):
        assert cli.run(["check", str(place)]) == 3
        assert place.name in capsys.readouterr().err


BAD_OUTLINES: dict[str, tuple[tuple[float | str, float | str], ...]] = {
    "open": ((0, 0), (0, 9), (-1, 10), (-29, 10), (-30, 9), (-30, 2)),
    "crosses itself": ((0, 0), (0, 9), (-20, 10), (-20, 4), (-10, 14), (-30, 10), (-30, 0)),
    "crosses the axis": ((0, 0), (0, 9), (-10, 10), (-15, -8), (-20, 10), (-30, 10), (-30, 0)),
}


@pytest.mark.parametrize("points", BAD_OUTLINES.values(), ids=BAD_OUTLINES.keys())
def test_a_faulty_outline_is_exit_1_with_a_place(
    points: tuple[tuple[float | str, float | str], ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The drawing was read; a finding says what is wrong and where."""
    file = tmp_path / "bad.dxf"
    file.write_bytes(dxf(points=points))
    code = cli.run(["check", str(file)])
    out = capsys.readouterr()

    assert code == 1, out
    assert "stop:" in out.out and "drawing (" in out.out and "bad.dxf" in out.err


def test_no_unit_is_assumed_and_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file without unit gives a plan in mm, with a finding that names the assumption."""
    file = tmp_path / "pin.dxf"
    file.write_bytes(dxf(insunits=None))
    assert cli.run(["features", str(file), "--json"]) == 0
    doc = json.loads(capsys.readouterr().out)

    assert doc["drawing"]["unit_source"] == "assumed"
    assert any("unit" in finding["text"] for finding in doc["findings"])


def test_options_reach_the_drawing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """--units wins over the header; --front turns the part round."""
    file = tmp_path / "pin.dxf"
    file.write_bytes(dxf())
    assert cli.run(["features", str(file), "--json", "--units", "inch", "--front", "left"]) == 0
    doc = json.loads(capsys.readouterr().out)

    assert doc["part"]["length_mm"] == 30 * 25.4
    chamfer = next(feature for feature in doc["features"] if feature["kind"] == "chamfer")
    assert chamfer["z_mm"][1] == pytest.approx(-30 * 25.4)


def test_wrong_shop_files_are_exit_4(pin: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """File and key are named."""
    shop = tmp_path / "shop"
    assert cli.run(["shop", "--init", str(shop)]) == 0
    text = (shop / "machine.toml").read_text(encoding="utf-8")
    (shop / "machine.toml").write_text(text.replace("power_kw", "powerkw", 1), encoding="utf-8")
    capsys.readouterr()

    for words in (["shop", "--shop", str(shop)], ["plan", str(pin), "--shop", str(shop)]):
        assert cli.run(words) == 4
        err = capsys.readouterr().err
        assert "machine.toml" in err and "power" in err


def test_init_never_overwrites(tmp_path: Path) -> None:
    """A second --init into the same folder is refused."""
    assert cli.run(["shop", "--init", str(tmp_path / "shop")]) == 0
    assert cli.run(["shop", "--init", str(tmp_path / "shop")]) == 4


def test_shop_shows_tools_materials_machines(capsys: pytest.CaptureFixture[str]) -> None:
    """As a table and as a document."""
    assert cli.run(["shop"]) == 0
    text = capsys.readouterr().out
    assert all(word in text for word in ("Machines", "Tools", "Materials", "Round bars"))

    assert cli.run(["shop", "--json"]) == 0
    doc = json.loads(capsys.readouterr().out)
    assert doc["format"] == "dxf2turn-shop/1" and doc["tools"] and doc["materials"] and doc["machines"]


def test_a_defect_is_exit_70_and_one_line_says_where(
    pin: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A crash of the program is no traceback for the user."""

    def crash(*_: object) -> None:
        raise ZeroDivisionError("float division by zero")

    monkeypatch.setattr(cli_run.pipeline, "plan", crash)
    monkeypatch.delenv("DXF2TURN_DEBUG", raising=False)
    assert cli.run(["plan", str(pin), "--json"]) == 70
    out = capsys.readouterr()
    assert "ZeroDivisionError" in out.err and "report" in out.err and "Traceback" not in out.err
    assert out.out == ""


def test_an_interrupt_is_exit_130(
    pin: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Ctrl-C."""

    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(cli_run.pipeline, "plan", interrupt)
    assert cli.run(["plan", str(pin), "--json"]) == 130
    assert "interrupted" in capsys.readouterr().err


@pytest.mark.usefixtures("planned")
def test_no_colour_in_pipes(pin: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Escape sequences never reach a file or another program."""
    assert cli.run(["check", str(pin)]) == 0
    out = capsys.readouterr()
    assert "\x1b[" not in out.out + out.err


def test_pin_is_what_the_tests_say() -> None:
    """The pin is 20 thick and 30 long."""
    assert max(float(r) for _, r in PIN) == 10 and min(float(z) for z, _ in PIN) == -30


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no pipes in the file system")
def test_a_pipe_in_place_of_a_file_does_not_hang(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A thing that is neither file nor folder is refused instead of waited for."""
    pipe = tmp_path / "pipe.dxf"
    os.mkfifo(pipe)
    assert cli.run(["check", str(pipe)]) == 3
