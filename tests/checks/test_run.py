"""The runner: order, skips, crashes; the page of rules; every rule tested both ways."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from dxf2turn.checks.limits import limit, statements
from dxf2turn.checks.model import Case, Check, Outcome, always
from dxf2turn.checks.page import page
from dxf2turn.checks.run import CHECKS, check_results, run_checks, run_one
from dxf2turn.contour.model import Frame
from dxf2turn.errors import BadShopData
from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.point import Point
from dxf2turn.tables import rows
from tests.checks.kit import SHOP, C, case_of

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
SPOOL = case_of(
    [C(0, 0), C(0, 60), C(-12, 60), C(-12, 36), C(-12.4, 36), C(-12.4, 60), C(-40, 60), C(-40, 0)]
)


def test_a_part_that_can_not_be_made_is_stopped_with_its_place() -> None:
    """A groove narrower than any blade stops, with place, measured value, limit and source."""
    findings = run_checks(SPOOL.part, SPOOL.contour, SHOP)
    (stop,) = [finding for finding in findings if finding.severity is Severity.STOP]
    assert stop.code == "checks/groove-width"
    assert (stop.measured, stop.limit) == (pytest.approx(0.4), 1.0)
    assert stop.where.z == pytest.approx(-12.2) and stop.where.r == pytest.approx(30.0)
    assert stop.hint and stop.source.startswith("rule T04")


def test_findings_carry_the_place_in_the_drawing() -> None:
    """With a frame, the finding names drawing coordinates in the drawing's own unit (inch here)."""
    frame = Frame(Point(10.0, 5.0), (1.0, 0.0), (0.0, 1.0), 25.4)
    contour = replace(SPOOL.contour, frame=frame)
    stop = next(f for f in run_checks(SPOOL.part, contour, SHOP) if f.severity is Severity.STOP)
    assert stop.where.drawing_xy == pytest.approx((10.0 - 12.2 / 25.4, 5.0 + 30.0 / 25.4))


def test_a_good_part_has_no_stop() -> None:
    """A plain stepped shaft is not stopped by anything."""
    case = case_of([C(0, 0), C(0, 20, chamfer=1), C(-30, 20), C(-30, 40), C(-60, 40), C(-60, 0)])
    assert all(f.severity is not Severity.STOP for f in run_checks(case.part, case.contour, SHOP))


def test_skips_are_visible_with_their_reason() -> None:
    """Every rule has an outcome; a skipped one says why."""
    results = check_results(SPOOL.part, SPOOL.contour, SHOP)
    assert [result.check for result in results] == [check.id for check in CHECKS]
    skipped = {result.check: result.reason for result in results if result.outcome is Outcome.SKIP}
    assert "no thread" in skipped["thread-runout"] and "no hole" in skipped["thin-wall"]
    assert all(skipped.values())


def test_a_crash_becomes_a_finding_and_the_rest_go_on() -> None:
    """A rule that raises is reported by name; it does not stop the job."""

    def broken(_: Case) -> Iterator[Finding]:
        raise ZeroDivisionError("division by zero")
        yield

    result = run_one(Check("broken", "", (), always, broken), SPOOL)
    (finding,) = result.findings
    assert result.outcome is Outcome.CRASH
    assert finding.code == "checks/crash" and finding.severity is Severity.FIX
    assert "'broken'" in finding.text and "ZeroDivisionError" in finding.text


def test_equal_parts_give_equal_findings() -> None:
    """Running twice gives the same findings in the same order."""
    assert run_checks(SPOOL.part, SPOOL.contour, SHOP) == run_checks(SPOOL.part, SPOOL.contour, SHOP)


def test_ids_are_unique_and_plain() -> None:
    """Ids are words with hyphens, each once."""
    ids = [check.id for check in CHECKS]
    assert len(ids) == len(set(ids))
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)*", name) for name in ids)


def test_every_rule_file_is_in_the_list() -> None:
    """No rule is forgotten: every file with a CHECK is run."""
    folder = ROOT / "dxf2turn" / "checks"
    files = {path.stem for path in folder.glob("*.py") if "\nCHECK = " in path.read_text(encoding="utf-8")}
    assert {check.id.replace("-", "_") for check in CHECKS} == files


def test_every_rule_has_a_reason_and_known_sources() -> None:
    """Each rule says why, and each of its table rules has a statement and a source."""
    for check in CHECKS:
        assert check.why.endswith(".")
        for rule in check.rules:
            assert all(statements(rule))


def test_every_rule_is_tested_both_ways() -> None:
    """Each rule has a test that expects nothing and one that expects a finding."""
    text = "\n".join(path.read_text(encoding="utf-8") for path in sorted(HERE.glob("test_*.py")))
    for check in CHECKS:
        uses = re.findall(rf'(not found|severities|outcome)\(\s*"{check.id}"', text)
        assert {"severities", "outcome"} & set(uses), f"{check.id} has no failing test"
        listed = re.search(rf'for check in \([^)]*"{check.id}"', text)
        assert "not found" in uses or listed, f"{check.id} has no passing test"


def test_thresholds_have_source_and_standing() -> None:
    """Every row of the threshold table is traceable."""
    for row in rows("check_limits"):
        assert row.text("source") and row.text("status") and row.text("statement") and row.text("unit")
        row.number("value")


def test_every_threshold_belongs_to_a_rule() -> None:
    """No row of the threshold table is left over."""
    used = {rule for check in CHECKS for rule in check.rules}
    assert {row["rule"] for row in rows("check_limits")} == used


def test_missing_threshold_is_an_error() -> None:
    """A threshold that the table lacks is named."""
    with pytest.raises(BadShopData, match="no row for rule T99"):
        limit("T99", "nothing")


def test_page_is_up_to_date() -> None:
    """docs/checks.md is what the rules say."""
    assert (ROOT / "docs" / "checks.md").read_text(encoding="utf-8") == page()
