"""Setup sheet, step table and feature table of a hand-made job."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from dxf2turn.geometry.point import Vector
from dxf2turn.job import Job
from dxf2turn.output import csv_table, features_table, markdown
from dxf2turn.output.model import OutputOptions
from dxf2turn.units import Unit
from tests.output import jobs

MM, INCH = OutputOptions(), OutputOptions(Unit.INCH)


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def hostile() -> Job:
    """The job with a reason that a spreadsheet would run."""
    job = jobs.job()
    assert job.plan is not None
    setup = job.plan.setups[0]
    step = replace(setup.steps[0], why="=HYPERLINK(1)|x")
    setup = replace(setup, steps=(step, *setup.steps[1:]))
    return replace(job, plan=replace(job.plan, setups=(setup,)))


def test_step_table_has_a_row_a_step_and_units_in_the_names() -> None:
    """Six steps, six rows; X columns are diameters in the unit that the column names."""
    rows = rows_of(csv_table.render(jobs.job(), MM))

    assert [row["no"] for row in rows] == ["10", "20", "30", "40", "50", "60"]
    assert (rows[1]["x_from_mm"], rows[1]["x_to_mm"]) == ("12.000", "30.000")
    assert (rows[1]["z_from_mm"], rows[1]["z_to_mm"]) == ("2.000", "-52.000")


def test_step_table_in_inch() -> None:
    """30 mm are 1.1811 inch; the drawing's unit does not matter when another is asked for."""
    rows = rows_of(csv_table.render(jobs.job(), INCH))
    assert rows[1]["x_to_inch"] == "1.1811"


def test_no_formula_reaches_a_spreadsheet() -> None:
    """A text that starts like a formula gets an apostrophe; negative numbers stay numbers."""
    row = rows_of(csv_table.render(hostile(), MM))[0]

    assert row["why"].startswith("'=")
    assert float(rows_of(csv_table.render(jobs.job(), MM))[1]["z_to_mm"]) == -52.0


def test_sheet_starts_with_cautions_and_holds_every_chapter() -> None:
    """Cautions stand before anything that could be run; the rest follows in working order."""
    text = markdown.render(jobs.job(), MM)
    chapters = [line[3:] for line in text.splitlines() if line.startswith("## ")]

    assert chapters[0] == "Cautions"
    for wanted in ("Setup 1", "First part: measure", "Corner table", "Features", "Findings"):
        assert wanted in chapters


def test_sheet_names_touch_off_values_and_grip() -> None:
    """The facing tool touches the raw face, later ones the finished face."""
    text = markdown.render(jobs.job(), MM)

    assert "raw face: Z 1.000" in text and "finished face: Z 0.000" in text
    assert "three-jaw chuck on the bar" in text


def test_tube_is_named_plainly_in_the_unit_asked_for() -> None:
    """Stock, grip, what is done first and the other ways: the tube with its bore, in mm or in inch."""
    job = jobs.job()
    assert job.plan is not None
    tube = "tube 50.8 x 25.4 mm"
    hollow = tuple(segment.moved(Vector(0.0, 12.7)) for segment in job.plan.setups[0].stock)
    setup = replace(
        job.plan.setups[0], stock=hollow, grip=f"{tube}, 25.4 mm in the jaws", prepare="saw 76.2 mm"
    )
    others = ((f"one setup from {tube}", 60.0),)
    plan = replace(job.plan, stock_text=f"round {tube}: why", setups=(setup,), alternatives=others)
    for options, words, first in ((MM, tube, "saw 76.2 mm"), (INCH, "tube 2 x 1 inch", "saw 3 inch")):
        text = markdown.render(replace(job, plan=plan), options)
        assert f"- Stock: round {words}: why" in text and f"- one setup from {words}: 1 min" in text
        assert f"- Grip: {words}, " in text and f"- First: {first}" in text
        assert ", bore \u2300" in text


def test_sheet_escapes_markup_of_names() -> None:
    """A drawing's name is text, not markup."""
    text = markdown.render(jobs.job(source=jobs.drawing("a|b*<img src=x>.dxf")), MM)
    assert "a\\|b\\*\\<img src=x\\>.dxf" in text


def test_sheet_tables_are_rectangular() -> None:
    """Every row of a table has as many cells as its heading."""
    width = 0
    for line in markdown.render(hostile(), MM).splitlines():
        cells = line.replace("\\|", "").count("|")
        if not line.startswith("|"):
            width = 0
        elif width == 0:
            width = cells
        assert not line.startswith("|") or cells == width


def test_corner_table_gives_centre_and_radius_of_arcs() -> None:
    """The fillet R2 about X 24 Z -33."""
    assert "| 2.000 | 24.000 | -33.000 | F7 |" in markdown.render(jobs.job(), MM)


@pytest.mark.parametrize("words", ["thread M20x1.5", "square groove 4 wide", "chamfer 1.5 x 45"])
def test_feature_table_names_features_as_the_trade_does(words: str) -> None:
    """Name and sizes in one line."""
    assert words in features_table.render_text(jobs.job(), MM)


def test_a_job_without_part_still_gives_a_table() -> None:
    """Nothing recognised is an empty table, not an error."""
    assert features_table.render_text(Job(jobs.drawing()), MM) == "\n"
    assert len(features_table.render_csv(Job(jobs.drawing()), MM).splitlines()) == 1
