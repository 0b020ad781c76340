"""Runs one rule on a small part given by its corners, in the packaged shop or a changed one."""

from __future__ import annotations

from dataclasses import replace

from dxf2turn.checks.model import Case, CheckResult
from dxf2turn.checks.run import CHECKS, run_one
from dxf2turn.contour.model import PlacedNote
from dxf2turn.features.model import Feature
from dxf2turn.features.recognise import recognise
from dxf2turn.findings import Severity
from dxf2turn.options import DrawingOptions
from dxf2turn.shop.load import load_shop
from dxf2turn.shop.model import Shop
from tests.features.shapes import C, contour, dimension, note

SHOP = load_shop(None)
STOP, FIX, NOTE = Severity.STOP, Severity.FIX, Severity.NOTE

__all__ = [
    "FIX",
    "NOTE",
    "SHOP",
    "STOP",
    "C",
    "case_of",
    "dimension",
    "found",
    "note",
    "outcome",
    "severities",
]


def case_of(
    outer: list[C],
    inner: list[C] | None = None,
    notes: tuple[PlacedNote, ...] = (),
    threads: tuple[str, ...] = (),
    shop: Shop = SHOP,
) -> Case:
    """The case of a part before a shop."""
    drawn = contour(outer, inner, notes)
    return Case(recognise(drawn, DrawingOptions(threads=threads)), drawn, shop)


def outcome(check: str, case: Case) -> CheckResult:
    """The outcome of one rule by its id. A crash fails the test."""
    rule = next(rule for rule in CHECKS if rule.id == check)
    result = run_one(rule, case)
    assert result.outcome.value != "crash", result.findings
    return result


def found(check: str, case: Case) -> list[str]:
    """The texts of one rule's findings."""
    return [finding.text for finding in outcome(check, case).findings]


def severities(check: str, case: Case) -> list[Severity]:
    """The severities of one rule's findings."""
    return [finding.severity for finding in outcome(check, case).findings]


def without(shop: Shop, *kinds: str) -> Shop:
    """A shop whose crib lacks some kinds of tools."""
    return replace(shop, tools=tuple(tool for tool in shop.tools if tool.kind not in kinds))


def with_feature(case: Case, feature: Feature) -> Case:
    """The case with one more feature, for kinds that only notes bring about."""
    return replace(case, part=replace(case.part, features=(*case.part.features, feature)))
